"""Closed cases, worked by hand, for cairn_reference.py and the checkers; run by `cairn_reference.py --self-test`.

Each function is one claim. Where the numbers come from is said in it: from arithmetic shown there, or from the closed
forms of summing theory (a sum of N equal crests, trains of impulses that meet every least common multiple).
"""

import copy
import math
import os
import shutil
import subprocess
import sys
import tempfile
import unittest

import numpy as np

import cairn_reference as reference
import cairn_reference_fixes as fixes
import check_list
import check_plan
import make_stems

RATE = 48000


def stem(name, samples):
    samples = np.atleast_2d(np.asarray(samples, dtype=np.float64))
    return reference.Stem(name, samples, name + ".wav")


def impulses(frames, length, amplitude):
    out = np.zeros(length)
    out[list(frames)] = amplitude
    return out


def cosine(hertz, amplitude, length, crest=0, rate=RATE):
    return amplitude * np.cos(2.0 * np.pi * hertz * (np.arange(length) - crest) / rate)


def session_of(*stems, rate=RATE):
    return reference.Session(rate, list(stems))


def analysis_of(*stems, rate=RATE, **settings):
    return reference.Analysis(session_of(*stems, rate=rate), reference.Settings(**settings))


def trains():
    """Impulses of 0.25 every 4800, 7200 and 12000 frames: they meet in threes every lcm = 72000 frames."""
    return [stem(f"train {period}", impulses(range(0, 72000, period), 72000, 0.25)) for period in (4800, 7200, 12000)]


class Summing(unittest.TestCase):
    def test_trains_of_impulses_meet_at_their_least_common_multiples(self):
        found = analysis_of(*trains(), line_db=reference.db(0.3))
        triple, *pairs = found.moments
        self.assertEqual(0, triple.frame)
        self.assertAlmostEqual(0.75, triple.peak, delta=1e-15)
        self.assertEqual([14400, 24000, 28800, 36000, 43200, 48000, 57600], [m.frame for m in pairs])
        together = [sorted(c.stem.index for c in m.leading_contributions()) for m in pairs]
        self.assertEqual([[0, 1], [0, 2], [0, 1], [1, 2], [0, 1], [0, 2], [0, 1]], together)
        self.assertEqual([2] * 8, [m.depth for m in found.moments], "two of 0.25 pass 0.3")

    def test_every_event_is_a_lone_peak_where_the_line_is_under_one_impulse(self):
        found = analysis_of(*trains(), line_db=reference.db(0.2))
        self.assertEqual(22, len(found.moments))
        self.assertEqual([1] * 22, [m.depth for m in found.moments])
        self.assertAlmostEqual(7.75 / 22, sum(m.peak for m in found.moments) / 22, delta=1e-12)

    def test_trains_against_their_average_peak(self):
        # Windows of 24000 frames: peaks 0.75, 0.5, 0.5; A = 1.75 / 3, T = A + 1 dB = 0.6545: only the triple is over,
        # and it takes all three stems to pass A.
        found = analysis_of(*trains())
        self.assertEqual([0.75, 0.5, 0.5], found.window_peaks)
        self.assertAlmostEqual(1.75 / 3, found.line.average_peak, delta=1e-15)
        self.assertEqual([(0, 3)], [(m.frame, m.depth) for m in found.moments])
        self.assertAlmostEqual(reference.db(0.75 / (1.75 / 3)), found.moments[0].excess_db, delta=1e-12)

    def test_equal_crests_share_equally(self):
        # N cosines of amplitude a at k * 100 Hz, all crests at frame 240: bus peak N a, share 1 / N.
        for count, a in ((2, 0.4), (3, 0.3), (4, 0.2), (5, 0.15), (8, 0.1)):
            stems = [stem(f"{k}", cosine(100 * k, a, RATE, 240)) for k in range(1, count + 1)]
            found = analysis_of(*stems, line_db=reference.db(0.99 * count * a))
            self.assertAlmostEqual(count * a, found.peak, delta=1e-9)
            for c in found.moments[0].contributions:
                self.assertAlmostEqual(1.0 / count, c.share, delta=1e-9)
            self.assertTrue(found.moments[0].long, "crests 10 ms apart link up over the whole second")

    def test_contributions_have_signs_and_the_bus_without_a_stem_follows(self):
        # Values 0.4, 0.3, -0.1 on one frame, bus 0.6; without each: 0.2, 0.3, 0.7.
        length = RATE
        stems = [stem(n, impulses([9000], length, v)) for n, v in (("a", 0.4), ("b", 0.3), ("c", -0.1))]
        found = analysis_of(*stems, line_db=reference.db(0.5))
        (moment,) = found.moments
        self.assertEqual(["a", "b", "c"], [c.stem.name for c in moment.contributions])
        for c, share, without in zip(moment.contributions, (2 / 3, 0.5, -1 / 6), (0.2, 0.3, 0.7)):
            self.assertAlmostEqual(share, c.share, delta=1e-12)
            self.assertAlmostEqual(reference.db(without), c.peak_without_db, delta=1e-9)

    def test_a_negative_peak_counts_with_signs_turned(self):
        stems = [stem("a", impulses([100], RATE, -0.4)), stem("b", impulses([100], RATE, -0.3)),
                 stem("c", impulses([100], RATE, 0.1))]
        (moment,) = analysis_of(*stems, line_db=reference.db(0.5)).moments
        self.assertEqual([0.4, 0.3, -0.1], [round(c.amplitude, 12) for c in moment.contributions])

    def test_stems_on_different_channels_do_not_add(self):
        left = stem("left", np.stack((impulses([100], RATE, 0.5), np.zeros(RATE))))
        right = stem("right", np.stack((np.zeros(RATE), impulses([100], RATE, 0.5))))
        found = analysis_of(left, right, line_db=reference.db(0.4))
        self.assertEqual([(0.5, 0, 1)], [(m.peak, m.channel, m.depth) for m in found.moments])

    def test_polarity_turned_makes_nothing(self):
        a, b = stem("a", cosine(100, 0.7, RATE)), stem("b", cosine(100, 0.7, RATE))
        b.polarity = -1
        with self.assertRaises(reference.Unusable):
            analysis_of(a, b)

    def test_faders_solo_mute_and_offset(self):
        a, b = stem("a", impulses([100], RATE, 0.5)), stem("b", impulses([100], RATE, 0.5))
        b.gain_db, b.offset = -20.0, 7
        session = session_of(a, b)
        self.assertEqual(RATE + 7, session.full_length())
        session.settle()
        bus = session.bus(0, 200)
        self.assertAlmostEqual(0.5, bus[1, 100], delta=1e-15)
        self.assertAlmostEqual(0.05, bus[0, 107], delta=1e-15)
        b.soloed = True
        self.assertEqual(0.0, session.bus(0, 200)[0, 100])
        b.muted = True
        self.assertEqual(0.0, float(np.max(np.abs(session.bus(0, 200)))))
        b.muted, b.soloed, b.offset = False, False, -101
        self.assertEqual(0.0, float(np.max(np.abs(session.bus(0, 99)))), "what falls before frame 0 is left out")


class AveragePeak(unittest.TestCase):
    def test_bed_with_two_impulses(self):
        # Ten windows: nine at 0.25, one at 0.2 + 0.18 where the sine passes zero: A = (9 * 0.25 + 0.38) / 10.
        length = 5 * RATE
        bed = 0.25 * np.sin(2.0 * np.pi * 100.0 * np.arange(length) / RATE)
        found = analysis_of(stem("bed", bed), stem("kick", impulses([4800], length, 0.2)),
                            stem("surdo", impulses([4800], length, 0.18)))
        self.assertAlmostEqual(0.263, found.line.average_peak, delta=1e-12)
        (moment,) = found.moments
        self.assertEqual((4800, 2), (moment.frame, moment.depth))
        self.assertEqual(["kick", "surdo", "bed"], [c.stem.name for c in moment.contributions])

    def test_gates(self):
        # m1 = (1 + 1 + 0.1) / 3 = 0.7; gate 0.7 * 10^(-0.5) = 0.2214; 0.1 falls out.
        self.assertEqual([True, True, False, False], reference.passed_gates([1.0, 1.0, 0.1, 1e-5]))
        self.assertEqual(1.0, reference.gated_mean([1.0, 1.0, 0.1, 1e-5]))
        self.assertIsNone(reference.gated_mean([0.0, 10.0 ** -3.5]), "-70 dBFS itself is dropped")

    def test_loud_part_is_the_loudest_half_minute(self):
        # 40 s at 1000 Hz: 0.1, but 0.4 from 8 s on: windows 16 to 75 are [8 s, 38 s), tied with later ones; first wins.
        rate = 1000
        level = np.full(40 * rate, 0.1)
        level[8 * rate:] = 0.4
        found = analysis_of(stem("a", level), rate=rate)
        self.assertEqual((8 * rate, 38 * rate), found.loud_part)
        self.assertEqual(0.4, round(found.line.average_peak, 12))
        song = analysis_of(stem("a", level), rate=rate, baseline="song")
        # Gate: m1 = (16 * 0.1 + 64 * 0.4) / 80 = 0.34, less 10 dB 0.1075: the quiet windows fall out.
        self.assertAlmostEqual(0.4, song.line.average_peak, delta=1e-12)

    def test_local_baseline_reads_sixteen_windows_on_either_side(self):
        # 100 windows: 0.2, then 0.4 from window 50 on. Window 40 sees 24..56: 26 of 0.2 and 7 of 0.4.
        rate = 1000
        level = np.full(50 * rate, 0.2)
        level[25 * rate:] = 0.4
        found = analysis_of(stem("a", level), rate=rate, baseline="local")
        self.assertAlmostEqual((26 * 0.2 + 7 * 0.4) / 33, found.line.a_at(40 * 500), delta=1e-12)
        self.assertAlmostEqual(0.2, found.line.a_at(0), delta=1e-12)

    def test_beat_windows_follow_the_tempo_before_bar_one_too(self):
        # 120 quarters a minute at 1000 Hz: beats of 500 frames; bar one at 0.2 s: edges 200, 700, ...
        session = session_of(stem("a", np.ones(1600)), rate=1000)
        self.assertEqual([0, 200, 700, 1200, 1600],
                         reference.window_edges(session, reference.TempoMap(120.0, 4, 0.2)))
        self.assertEqual([0, 250, 500, 750, 1000, 1250, 1500, 1600],
                         reference.window_edges(session, reference.TempoMap(120.0, 8, 0.0)))


class Moments(unittest.TestCase):
    def test_over_frames_thirty_five_ms_apart_belong_together(self):
        for distance, count in ((1680, 1), (1681, 2)):
            found = analysis_of(stem("a", impulses([1000, 1000 + distance], RATE, 0.5)), line_db=reference.db(0.4))
            self.assertEqual(count, len(found.moments))
            self.assertEqual(1000, found.moments[0].frame, "the first maximum, and time upwards on a tie")

    def test_one_stem_is_enough_only_above_the_line(self):
        # A = 0.5, T = 0.6: 0.55 alone passes A but not T, so the next one belongs to the depth as well.
        self.assertEqual(2, reference.depth_of([0.55, 0.10], 0.5, 0.6))
        self.assertEqual(1, reference.depth_of([0.61, 0.10], 0.5, 0.6))
        self.assertEqual(2, reference.depth_of([0.3, 0.25, 0.2], 0.5, 0.6))
        self.assertEqual(3, reference.depth_of([0.3, 0.25, 0.2], 0.7, 0.6), "the smaller of A and T")

    def test_longest_run(self):
        self.assertEqual(3, reference.longest_run([1, 2, 5, 6, 7, 9]))

    def test_a_time_range_keeps_frame_numbers(self):
        session = session_of(stem("a", impulses([1000, 30000], RATE, 0.5)))
        session.cut(20000, RATE)
        found = reference.Analysis(session, reference.Settings(line_db=reference.db(0.4)))
        self.assertEqual([30000], [m.frame for m in found.moments])
        self.assertEqual([20000, 44000, 48000], found.edges)

    def test_the_same_hit_again_is_alike_and_another_sound_is_not(self):
        length = 4 * RATE
        rng = np.random.default_rng(1)
        hit = np.exp(-np.arange(2000) / 300.0) * np.sin(2.0 * np.pi * 90.0 * np.arange(2000) / RATE)
        other = np.exp(-np.arange(2000) / 300.0) * rng.uniform(-1.0, 1.0, 2000)
        voice = np.zeros(length)
        for start, sound in ((20000, hit), (60000, 0.9 * hit), (100000, 0.8 * other / np.max(np.abs(other)))):
            voice[start:start + 2000] += sound
        found = analysis_of(stem("a", voice), line_db=reference.db(0.5))
        self.assertEqual([(1, 1), (2, 2), (2, 2)], sorted((m.alike_to, m.alike) for m in found.moments))

    def test_correlation_finds_the_lag(self):
        rng = np.random.default_rng(2)
        x = rng.uniform(-1.0, 1.0, (1, 200))
        y = np.zeros((1, 220))
        y[:, 10 + 7:10 + 7 + 200] = -0.3 * x
        value, lag = reference.correlation(x, y, 10)
        self.assertAlmostEqual(1.0, value, delta=1e-12)
        self.assertEqual(7, lag)
        self.assertEqual((0.0, 0), reference.correlation(0.0 * x, y, 10))


class Files(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)

    def write(self, name, content):
        path = os.path.join(self.folder, name)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "wb") as stream:
            stream.write(content)
        return path

    def test_every_coding_is_read_exactly_and_as_ffmpeg_reads_it(self):
        for coding, bits in (("u8", 8), ("i16", 16), ("i24", 24), ("i32", 32), ("f32", 0), ("f64", 0)):
            full = 2.0 ** (bits - 1) if bits else 1.0
            values = np.array([[0.0, 1.0 - 1.0 / full, -1.0, 1.0 / full, -1.0 / full, 0.375],
                               [0.5, -0.5, 0.25, -0.25, 0.125, -0.0625]])
            for extensible in (False, True):
                path = self.write(f"{coding}-{extensible}.wav",
                                  make_stems.wave_bytes(values, 44100, coding, extensible))
                mine = reference.decode_wave(path)
                self.assertEqual((44100, 2), (mine.rate, mine.channels))
                np.testing.assert_array_equal(values, mine.samples.astype(np.float64))
                if shutil.which("ffmpeg"):
                    other = reference.decode_with_ffmpeg(path)
                    np.testing.assert_array_equal(values, other.samples.astype(np.float64))

    @unittest.skipUnless(shutil.which("ffmpeg"), "needs ffmpeg")
    def test_flac_and_aiff_come_in_exactly(self):
        full = 2.0 ** 23
        values = np.random.default_rng(3).integers(-2**23, 2**23, (2, 6000)) / full
        values[0, :3] = -1.0, 1.0 - 1.0 / full, 1.0 / full
        source = self.write("a.wav", make_stems.wave_bytes(values, 48000, "i24"))
        for ending, coding in (("flac", "flac"), ("aif", "pcm_s24be")):
            path = os.path.join(self.folder, "b." + ending)
            subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-i", source, "-c:a", coding, path], check=True)
            self.assertTrue(reference.is_audio(path))
            np.testing.assert_array_equal(values, reference.decode(path).samples.astype(np.float64))

    def test_stem_order_names_and_pairs(self):
        mono = make_stems.wave_bytes(np.full((1, 10), 0.5), 48000, "i16")
        wide = make_stems.wave_bytes(np.full((2, 10), 0.5), 48000, "i16")
        for name in ("a/02 horn L.wav", "a/02 horn R.wav", "b/same.wav", "a/same.wav", "B.L.wav", "B.R.wav", "é.wav",
                     "z.wav", "wide_L.wav", "wide_R.wav", ".hidden.wav", "__MACOSX/x.wav", "a/._same.wav"):
            self.write(name, wide if name == "wide_R.wav" else mono)
        session = reference.load_folder(self.folder)
        self.assertEqual(["B", "02 horn", "a/same", "b/same", "wide_L", "wide_R", "z", "é"],
                         [s.name for s in session.stems])
        self.assertEqual([2, 2, 1, 1, 1, 2, 1, 1], [s.channels for s in session.stems])
        self.assertEqual(10, len(reference.load_folder(self.folder, pairs=False).stems))


class ListChecker(unittest.TestCase):
    """The checker passes the reference's own list, and sees each thing that is changed in it."""

    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)
        make_stems.write(11, self.folder, "twins", 24000, 5.0)
        self.session = reference.load_folder(self.folder)
        self.told = reference.as_list(reference.Analysis(self.session, reference.Settings()))

    def differences(self, told):
        return check_list.compare(told, self.session, reference.Settings())[0]

    def test_it_passes_the_same_list(self):
        found = self.differences(self.told)
        self.assertEqual([], found.lines)
        self.assertLess(found.largest_db, 0.0001)
        self.assertGreaterEqual(len(self.told["moments"]), 3)

    def test_it_sees_every_change(self):
        def moment(told):
            return told["moments"][1]

        def contribution(told):
            return moment(told)["contributions"][0]

        changes = {
            "peakDb": lambda t: t["bus"].update(peakDb=t["bus"]["peakDb"] + 0.0012),
            "lineDb": lambda t: t["bus"].update(lineDb=t["bus"]["lineDb"] - 0.0012),
            "averagePeakDb": lambda t: t["bus"].update(averagePeakDb=None),
            "loudPart": lambda t: t["session"].update(loudPart=[0, 12000]),
            "moments": lambda t: t["session"]["stems"][0].update(moments=99),
            "is not listed": lambda t: t["moments"].pop(),
            "firstOver": lambda t: moment(t).update(firstOver=moment(t)["firstOver"] + 1),
            "longestRun": lambda t: moment(t).update(longestRun=moment(t)["longestRun"] + 1),
            "depth": lambda t: moment(t).update(depth=moment(t)["depth"] + 1),
            "alikeTo": lambda t: moment(t).update(alikeTo=moment(t)["alikeTo"] + 1),
            "rank": lambda t: [m.update(rank=m["rank"] + 1) for m in t["moments"]],
            "levelDb": lambda t: moment(t).update(levelDb=moment(t)["levelDb"] + 0.0012),
            "amplitude": lambda t: contribution(t).update(amplitude=contribution(t)["amplitude"] + 0.0001),
            "peakWithoutDb": lambda t: contribution(t).update(peakWithoutDb=None),
            "contributes more": lambda t: moment(t)["contributions"].reverse(),
            "should not be": lambda t: moment(t).update(frame=moment(t)["frame"] + 1),
        }
        for word, change in changes.items():
            told = copy.deepcopy(self.told)
            change(told)
            lines = self.differences(told).lines
            self.assertTrue(any(word in line for line in lines), f"{word}: {lines}")


def what_if(*stems, line_db, rate=RATE):
    """The what-if at a given line, and the moments over it."""
    analysis = analysis_of(*stems, rate=rate, line_db=line_db)
    return fixes.WhatIf(analysis.session, analysis.line), analysis


def bell(length, frame, amplitude, rise=24, fall=400, hertz=200.0):
    """A struck sound whose largest sample is near `frame`, silent before and long after."""
    n = np.arange(length) - (frame - rise)
    envelope = np.where(n < 0, 0.0, np.minimum(1.0, n / rise) * np.exp(-np.maximum(0, n - rise) / fall))
    out = envelope * np.cos(2.0 * np.pi * hertz * (n - rise) / RATE)
    out[np.abs(out) < 1e-6] = 0.0
    return amplitude * out


class Hits(unittest.TestCase):
    def test_the_hit_lies_between_the_middles_of_two_rests(self):
        # One impulse at 10000 with cells of 48 frames: the latest rest of 8 cells that ends before cell 0 starts at
        # cell -8, its middle is 4 cells before the peak frame; the earliest after starts at cell 1, middle 5 cells on.
        session = session_of(stem("a", impulses([10000], RATE, 0.5)))
        hit = fixes.hit_of(session, session.stems[0], 10000)
        self.assertEqual((10000 - 4 * 48, 10000 + 5 * 48, False), (hit.start, hit.end, hit.sustained))

    def test_a_neighbour_nearer_than_a_rest_belongs_to_the_hit(self):
        # A second impulse 5 cells later leaves no rest of 8 cells between: rest from cell 6 on, middle cell 10.
        session = session_of(stem("a", impulses([10000, 10000 + 5 * 48], RATE, 0.5)))
        hit = fixes.hit_of(session, session.stems[0], 10000)
        self.assertEqual(10000 + 10 * 48, hit.end)

    def test_a_tone_is_sustained(self):
        session = session_of(stem("a", cosine(100, 0.5, RATE)))
        self.assertTrue(fixes.hit_of(session, session.stems[0], RATE // 2).sustained)

    def test_a_rest_may_be_a_tenth_as_loud_but_no_louder(self):
        for floor, sustained in ((0.05, False), (0.0501, True)):
            samples = np.full(RATE, floor)
            samples[24000] = 0.5
            session = session_of(stem("a", samples))
            self.assertEqual(sustained, fixes.hit_of(session, session.stems[0], 24000).sustained)

    def test_weight_is_a_raised_cosine_of_two_ms_about_each_edge(self):
        w = fixes.weight(0, 2000, 500, 1500, 96)
        self.assertEqual([452, 1547], [int(np.flatnonzero(w)[0]), int(np.flatnonzero(w)[-1])])
        self.assertAlmostEqual(1.0, w[499] + w[500], delta=1e-12)
        self.assertAlmostEqual(0.5 - 0.5 * math.cos(math.pi * 0.5 / 96), w[452], delta=1e-12)
        self.assertEqual(1.0, float(np.min(w[548:1452])))
        np.testing.assert_allclose(w, w[::-1], atol=1e-12)


class Fixes(unittest.TestCase):
    def test_nudging_one_of_two_equal_sines(self):
        # Far from the ramps the peak of two 100 Hz sines, one late by tau, is 2 a |cos(pi f tau)|.
        for shift in (12, 24, 48, 96, 120):
            session = session_of(stem("a", cosine(100, 0.4, RATE)), stem("b", cosine(100, 0.4, RATE)))
            whatif = fixes.WhatIf(session, reference.Line([0, RATE], [0.5], 0.5))
            whatif.apply(fixes.Fix("nudge", session.stems[1], shift, 10000, 30000))
            expected = 0.8 * abs(math.cos(math.pi * 100.0 * shift / RATE))
            self.assertAlmostEqual(expected, float(np.max(whatif.p[12000:28000])), delta=2e-5)
            self.assertAlmostEqual(0.8, float(whatif.p[40320]), delta=1e-12)

    def test_trimming_one_of_equal_coherent_stems(self):
        # ((N - 1) + 10^(-d/20)) / N; N = 4, d = 3: -0.6585 dB; N = 2, d = 6: -2.4919 dB.
        for count, d, change in ((4, 3.0, -0.6585), (2, 6.0, -2.491903)):
            stems = [stem(str(k), cosine(100, 0.2, RATE)) for k in range(count)]
            session = session_of(*stems)
            whatif = fixes.WhatIf(session, reference.Line([0, RATE], [0.5], 0.5))
            whatif.apply(fixes.Fix("trim", stems[0], d, 10000, 30000))
            self.assertAlmostEqual(change, reference.db(float(np.max(whatif.p[12000:28000])) / (0.2 * count)),
                                   delta=1e-4)

    def test_the_least_trim_is_the_first_tenth_that_clears(self):
        # Bells of 0.5 and 0.3 meet at 0.8; line 0.75: the first must fall to 0.45: 20 log10(0.5 / 0.45) = 0.915: 1.0.
        whatif, analysis = what_if(stem("a", bell(RATE, 20000, 0.5)), stem("b", bell(RATE, 20000, 0.3)),
                                   line_db=reference.db(0.75))
        (moment,) = analysis.moments
        (first, _, _, kinds), (_, _, _, other) = fixes.fixes_at(whatif, moment)
        self.assertEqual("a", first.name)
        self.assertEqual((1.0, True), (kinds["trim"].fix.amount, kinds["trim"].cleared))
        self.assertAlmostEqual(0.5 * 10 ** -0.05 + 0.3, kinds["trim"].left, delta=1e-9)
        # The second: 0.3 to 0.25: 1.584 dB: 1.6.
        self.assertEqual(1.6, other["trim"].fix.amount)

    def test_the_least_clip_is_the_highest_tenth_that_clears(self):
        # The first may keep 0.45 = -6.936 dBFS: ceiling -7.0.
        whatif, analysis = what_if(stem("a", bell(RATE, 20000, 0.5)), stem("b", bell(RATE, 20000, 0.3)),
                                   line_db=reference.db(0.75))
        (_, _, _, kinds), _ = fixes.fixes_at(whatif, analysis.moments[0])
        clip = kinds["clip"]
        self.assertEqual((-7.0, True), (clip.fix.amount, clip.cleared))
        self.assertEqual(clip.lobe, clip.clipped, "mono, one lobe")

    def test_a_clip_sets_whole_lobes_of_either_sign(self):
        samples = np.zeros(1000)
        samples[100:110] = 0.5
        samples[110:120] = -0.6
        samples[130:140] = 0.5
        session = session_of(stem("a", samples))
        whatif = fixes.WhatIf(session, reference.Line([0, 1000], [0.4], 0.4))
        first, end, changed, lobe, clipped = whatif.affected(
            fixes.Fix("clip", session.stems[0], reference.db(0.25), 105, 112))
        self.assertEqual((100, 120, 10, 20), (first, end, lobe, clipped))
        np.testing.assert_allclose(np.repeat([0.25, -0.25], 10), changed[0], atol=1e-15)

    def test_a_nudge_never_pushes_sound_out_of_its_file(self):
        samples = np.zeros(4000)
        samples[20] = 0.5
        session = session_of(stem("a", samples))
        whatif = fixes.WhatIf(session, reference.Line([0, 4000], [0.4], 0.4))
        hit = fixes.hit_of(session, session.stems[0], 20)
        self.assertTrue(fixes.may_nudge(whatif, session.stems[0], hit, -20))
        self.assertFalse(fixes.may_nudge(whatif, session.stems[0], hit, -21))
        self.assertTrue(fixes.may_nudge(whatif, session.stems[0], hit, 144))

    def test_the_least_nudge_parts_two_impulses_and_goes_later(self):
        whatif, analysis = what_if(stem("a", impulses([20000], RATE, 0.4)), stem("b", impulses([20000], RATE, 0.3)),
                                   line_db=reference.db(0.5))
        for _, _, combs, kinds in fixes.fixes_at(whatif, analysis.moments[0]):
            self.assertEqual((1, True), (kinds["nudge"].fix.amount, kinds["nudge"].cleared))
            self.assertAlmostEqual(0.4, kinds["nudge"].left, delta=1e-12)
            self.assertEqual(1, len(combs), "two impulses are the same sound")

    def test_a_fix_that_makes_louder_is_refused(self):
        # a = 0.6 at 20000; b has -0.1 there and 0.45 one frame on, where a has 0.3: nudging b earlier by one frame
        # puts 0.45 on 0.6 = 1.05, over and above the old highest 0.75.
        a = impulses([20000], RATE, 0.6) + impulses([20001], RATE, 0.3)
        b = impulses([20000], RATE, -0.1) + impulses([20001], RATE, 0.45)
        whatif, analysis = what_if(stem("a", a), stem("b", b), line_db=reference.db(0.7))
        (moment,) = analysis.moments
        hit = fixes.hit_of(analysis.session, analysis.session.stems[1], moment.frame)
        judged, _, _ = whatif.judge(fixes.fix_of("nudge", analysis.session.stems[1], moment, hit, -1), moment)
        self.assertEqual(fixes.REFUSED, judged.state)

    def test_a_trim_of_a_stem_that_eases_is_refused(self):
        a, b = stem("a", bell(RATE, 20000, 0.9)), stem("b", bell(RATE, 20000, -0.1))
        whatif, analysis = what_if(a, b, line_db=reference.db(0.7))
        hit = fixes.hit_of(analysis.session, b, 20000)
        self.assertIsNone(fixes.least_fix(whatif, analysis.moments[0], b, "trim", hit, fixes.trim_amounts()))


class Plans(unittest.TestCase):
    """The ladder by hand; and the checker passes the reference's own plan and sees each thing changed in it."""

    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)

    def test_ladder_counts_moments_and_heads(self):
        # Trains at a line of 0.3: peaks 0.75 once and 0.5 seven times; 20 log10(0.75 / 0.3) = 7.9588 dB in all,
        # 20 log10(0.75 / 0.5) = 3.5218: from 4.0 dB on all eight.
        rows = fixes.ladder(analysis_of(*trains(), line_db=reference.db(0.3)))
        self.assertEqual([1] * 7 + [8] * 9, [row[1] for row in rows])
        self.assertEqual(0.5, rows[0][0])
        self.assertAlmostEqual(7.9588, rows[-1][0], delta=1e-4)

    def plan(self, kind, seed):
        make_stems.write(seed, self.folder, kind, 24000, 5.0)
        session = reference.load_folder(self.folder)
        analysis = reference.Analysis(session, reference.Settings())
        planner = fixes.Planner(analysis)
        planner.run()
        return session, fixes.as_plan(analysis, planner)

    def test_the_checker_passes_the_reference_and_sees_every_change(self):
        session, told = self.plan("twins", 11)
        self.assertGreaterEqual(len(told["marks"]), 2)
        self.assertGreater(told["wonDb"], 0.5)
        same = check_plan.compare(copy.deepcopy(told), session, reference.Settings(), again=True)
        self.assertEqual([], same.lines)
        mark = told["marks"][0]
        amount = check_plan.AMOUNT_FIELD[mark["kind"]]
        changes = {
            "peakAfterDb": lambda t: t["marks"][0].update(peakAfterDb=mark["peakAfterDb"] - 0.0012),
            "wonDb": lambda t: t.update(wonDb=t["wonDb"] + 0.0012),
            "lineDb": lambda t: t.update(lineDb=t["lineDb"] + 0.0012),
            "cleared": lambda t: t.update(cleared=t["cleared"] - 1),
            "alteredSeconds": lambda t: t.update(alteredSeconds=t["alteredSeconds"] + 1e-5),
            "alteredShare": lambda t: t.update(alteredShare=t["alteredShare"] * 1.01),
            "not one that a plan": lambda t: t["marks"][0].update({amount: 400 * mark[amount]}),
            "moment": lambda t: t["marks"][0]["places"][0].update(moment=0),
            "should be [": lambda t: t["marks"][0]["places"][0].update(start=mark["places"][0]["start"] + 3000),
            "ladder": lambda t: t["ladder"].pop(),
            "by brute force": lambda t: t["marks"][0].update({amount: mark[amount] * 2}),
        }
        for word, change in changes.items():
            changed = copy.deepcopy(told)
            change(changed)
            lines = check_plan.compare(changed, session, reference.Settings(), again=word == "by brute force").lines
            self.assertTrue(any(word in line for line in lines), f"{word}: {lines}")

    def test_the_list_checker_passes_its_own_fixes_and_sees_changes(self):
        make_stems.write(11, self.folder, "twins", 24000, 5.0)
        session = reference.load_folder(self.folder)
        analysis = reference.Analysis(session, reference.Settings())
        whatif = fixes.WhatIf(session, analysis.line)
        told = reference.as_list(analysis)["moments"][:1]
        told[0]["fixes"] = fixes.as_fixes(whatif, analysis.moments[0])
        found = check_list.Differences()
        self.assertEqual(1, check_list.compare_fixes(found, analysis, told, 5, 3.0))
        self.assertEqual([], found.lines)
        entry = told[0]["fixes"][0]
        self.assertIsNotNone(entry["trim"])
        for word, change in {"db is": lambda e: e["trim"].update(db=e["trim"]["db"] + 0.1),
                             "leftDb": lambda e: e["clip"].update(leftDb=e["clip"]["leftDb"] - 0.0012),
                             "hit": lambda e: e.update(hit=[0, 10]),
                             "sustained": lambda e: e.update(sustained=not e["sustained"]),
                             "clip is None": lambda e: e.update(clip=None)}.items():
            changed = copy.deepcopy(told)
            change(changed[0]["fixes"][0])
            found = check_list.Differences()
            check_list.compare_fixes(found, analysis, changed, 5, 3.0)
            self.assertTrue(any(word in line for line in found.lines), f"{word}: {found.lines}")


def main():
    suite = unittest.defaultTestLoader.loadTestsFromModule(sys.modules[__name__])
    result = unittest.TextTestRunner(verbosity=1).run(suite)
    return 0 if result.wasSuccessful() and result.testsRun else 1
