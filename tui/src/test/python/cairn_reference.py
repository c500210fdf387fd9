#!/usr/bin/env python3
"""A second, independent calculation of what cairn shows: slow, obvious, faithful.

It follows definitions.md, sections 1, 2, 3, 4, 5 and 8, and formats.md, section by section, in 64-bit floats, and
shares no line with the Java program, so that the two can check each other. Left out: true-peak mode, left-alone stems,
yokes, the goal line, tone cost, whole-stem moves and MIDI tempo maps.

Shapes: a block of a stem or of the bus is `numpy.float64[2][frames]`, 1.0 = 0 dBFS. Frames are counted from 0; ranges
are half-open, [first, end), but a moment's `last_over` is inclusive.

Needs Python 3.9 and numpy; files that are not WAVE are decoded by ffmpeg. `cairn_reference.py --self-test` works
closed cases by hand.
"""

import json
import math
import os
import struct
import subprocess
import sys

import numpy as np

MINUS_INFINITY = float("-inf")
CHANNELS = 2


class Unusable(Exception):
    """Material or options that the calculation cannot work with; the text says what, where and why."""


def db(amplitude):
    """dB(x) = 20 log10(x), of 0: minus infinity."""
    return 20.0 * math.log10(amplitude) if amplitude > 0.0 else MINUS_INFINITY


def factor(decibels):
    """The linear value of a level in dB."""
    return 10.0 ** (decibels / 20.0)


def round_half_up(x):
    """definitions.md: round(x) is floor(x + 0.5)."""
    return int(math.floor(x + 0.5))


def frames_of_ms(ms, rate):
    """A limit given in ms becomes floor(ms * fs / 1000) frames."""
    return int(math.floor(ms * rate / 1000.0))


# --------------------------------------------------------------------------------------------------------------------
# Files


class Audio:
    """A decoded file: `samples[channels][frames]`, in the narrowest float type that holds each sample exactly."""

    def __init__(self, path, rate, samples, coding):
        self.path = path
        self.rate = rate
        self.samples = samples
        self.coding = coding

    @property
    def channels(self):
        return self.samples.shape[0]

    @property
    def frames(self):
        return self.samples.shape[1]


def decode(path):
    """Reads a WAVE file with the parser below, and anything else through ffmpeg."""
    with open(path, "rb") as stream:
        magic = stream.read(12)
    if magic[:4] in (b"RIFF", b"RF64", b"BW64") and magic[8:12] == b"WAVE":
        return decode_wave(path)
    return decode_with_ffmpeg(path)


def is_audio(path):
    """Whether a file starts like a WAVE, AIFF or FLAC file; its name plays no part."""
    with open(path, "rb") as stream:
        magic = stream.read(12)
    if magic[:4] in (b"RIFF", b"RF64", b"BW64"):
        return magic[8:12] == b"WAVE"
    if magic[:4] == b"FORM":
        return magic[8:12] in (b"AIFF", b"AIFC")
    return magic[:4] == b"fLaC"


def decode_wave(path):
    """RIFF, RF64 and BW64; PCM of 8 to 32 bits and IEEE float of 32 and 64 bits, plain or extensible."""
    with open(path, "rb") as stream:
        content = stream.read()
    position = 12
    layout = None
    data = None
    long_data_size = None
    while position + 8 <= len(content):
        name = content[position:position + 4]
        (size,) = struct.unpack_from("<I", content, position + 4)
        body = position + 8
        if name == b"ds64":
            (long_data_size,) = struct.unpack_from("<Q", content, body + 8)
        elif name == b"fmt ":
            tag, channels, rate, _, block, bits = struct.unpack_from("<HHIIHH", content, body)
            if tag == 0xFFFE:
                (tag,) = struct.unpack_from("<H", content, body + 24)
            layout = (tag, channels, rate, block, bits)
        elif name == b"data":
            if size == 0xFFFFFFFF and long_data_size is not None:
                size = long_data_size
            if size in (0, 0xFFFFFFFF) or body + size > len(content):
                size = len(content) - body
            data = content[body:body + size]
            if layout is not None:
                break
        position = body + size + (size & 1)
    if layout is None or data is None:
        raise Unusable(f"{path}: no fmt or no data chunk")
    tag, channels, rate, block, bits = layout
    width = block // channels
    data = data[:len(data) - len(data) % block]
    if tag == 3:
        flat = np.frombuffer(data, dtype={4: "<f4", 8: "<f8"}[width])
        coding = f"float {8 * width}"
    elif tag == 1:
        coding = f"PCM {bits}"
        if width == 1:
            flat = (np.frombuffer(data, np.uint8).astype(np.float32) - 128.0) / np.float32(128.0)
        elif width == 2:
            flat = np.frombuffer(data, "<i2").astype(np.float32) / np.float32(2.0**15)
        elif width == 3:
            octets = np.frombuffer(data, np.uint8).reshape(-1, 3).astype(np.int32)
            value = octets[:, 0] | (octets[:, 1] << 8) | (octets[:, 2] << 16)
            value = np.where(value >= 1 << 23, value - (1 << 24), value)
            flat = value.astype(np.float32) / np.float32(2.0**23)
        elif width == 4:
            flat = np.frombuffer(data, "<i4").astype(np.float64) / 2.0**31
        else:
            raise Unusable(f"{path}: PCM of {8 * width} bits")
    else:
        raise Unusable(f"{path}: coding {tag} is neither PCM nor IEEE float")
    return Audio(path, rate, np.ascontiguousarray(flat.reshape(-1, channels).T), coding)


def decode_with_ffmpeg(path):
    """Decodes to 64-bit floats, into which ffmpeg puts integers exactly (n / 2^31 of its 32-bit form)."""
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-select_streams", "a:0", "-show_entries", "stream=channels,sample_rate,codec_name",
         "-of", "json", path], check=True, stdout=subprocess.PIPE)
    stream = json.loads(probe.stdout)["streams"][0]
    decoding = ["ffmpeg", "-v", "error", "-nostdin", "-i", path, "-map", "a:0", "-f", "f64le", "-"]
    raw = subprocess.run(decoding, check=True, stdout=subprocess.PIPE).stdout
    channels = int(stream["channels"])
    flat = np.frombuffer(raw, "<f8").reshape(-1, channels).T
    narrow = flat.astype(np.float32)
    exact = narrow if np.array_equal(narrow.astype(np.float64), flat) else np.ascontiguousarray(flat)
    return Audio(path, int(stream["sample_rate"]), exact, stream["codec_name"])


def audio_files(folder):
    """Relative paths of the stems' files in stem order: by code point. Hidden files and archive litter passed over."""
    found = []
    for here, folders, files in os.walk(folder, followlinks=True):
        folders[:] = [f for f in folders if not f.startswith(".") and f != "__MACOSX"]
        for name in files:
            path = os.path.join(here, name)
            if not name.startswith(".") and is_audio(path):
                found.append(os.path.relpath(path, folder).replace(os.sep, "/"))
    return sorted(found)


def without_ending(path):
    """The path less the ending of its last name."""
    head, slash, name = path.rpartition("/")
    dot = name.rfind(".")
    return head + slash + (name[:dot] if dot > 0 else name)


def pair_key(path):
    """(path less the L or R, 'L' or 'R', name without that ending), or None for a name without such an ending."""
    stem_path = without_ending(path)
    if len(stem_path) >= 3 and stem_path[-1] in "LR" and stem_path[-2] in "._- ":
        return stem_path[:-1] + "|" + path[len(stem_path):], stem_path[-1], stem_path[:-2]
    return None


# --------------------------------------------------------------------------------------------------------------------
# Section 1: stems and bus


class Stem:
    """One stem and its fader. `samples[1 or 2][frames]`."""

    def __init__(self, name, samples, file=None):
        self.name = name
        self.file = file
        self.samples = samples
        self.gain_db = 0.0
        self.polarity = 1
        self.muted = False
        self.soloed = False
        self.offset = 0
        self.index = -1

    @property
    def channels(self):
        return self.samples.shape[0]

    @property
    def frames(self):
        return self.samples.shape[1]

    @property
    def end_on_bus(self):
        return self.frames + self.offset


class Session:
    """Stems in stem order with one rate, their faders, and the range [first, end) that stands for the session."""

    def __init__(self, rate, stems, mono_gain_db=0.0):
        self.rate = rate
        self.stems = stems
        self.mono_gain_db = mono_gain_db
        for index, stem in enumerate(stems):
            stem.index = index
        self.first = 0
        self.end = self.full_length()
        self.altered = {}

    def full_length(self):
        """N: the largest of stem length + max(0, offset), whatever is muted."""
        return max(stem.frames + max(0, stem.offset) for stem in self.stems)

    def settle(self):
        """Takes N anew after faders were set."""
        self.first = 0
        self.end = self.full_length()

    def cut(self, first, end):
        """A time range stands for the session cut to it."""
        self.first = max(0, first)
        self.end = min(self.full_length(), end)
        if self.end <= self.first:
            raise Unusable("the time range holds no frame")

    @property
    def length(self):
        return self.end - self.first

    def fader_factor(self, stem):
        """g_k with mute and solo left aside."""
        mono = factor(self.mono_gain_db) if stem.channels == 1 else 1.0
        return stem.polarity * factor(stem.gain_db) * mono

    def is_heard(self, stem):
        """Mute wins over solo; a solo anywhere silences all that are not soloed."""
        return not stem.muted and (stem.soloed or not any(s.soloed for s in self.stems))

    def y(self, stem, first, end, mute_aside=False, marks_aside=False):
        """y_k on [first, end), float64[2][end - first]; silence outside the session and outside the file."""
        out = np.zeros((CHANNELS, end - first))
        if stem.index in self.altered and not marks_aside:
            lo, hi = max(first, self.first), min(end, self.end)
            if hi > lo:
                held = self.altered[stem.index]
                out[:, lo - first:hi - first] = held[:, lo - self.first:hi - self.first]
            return out
        if not (mute_aside or self.is_heard(stem)):
            return out
        lo = max(first, self.first, stem.offset)
        hi = min(end, self.end, stem.end_on_bus)
        if hi > lo:
            x = stem.samples[:, lo - stem.offset:hi - stem.offset].astype(np.float64)
            out[:, lo - first:hi - first] = self.fader_factor(stem) * x
        return out

    def bus(self, first, end):
        """b on [first, end): product then sum, in stem order."""
        total = np.zeros((CHANNELS, end - first))
        for stem in self.stems:
            total += self.y(stem, first, end)
        return total


def level(block):
    """p[n]: the larger absolute value of the two channels."""
    return np.max(np.abs(block), axis=0)


# --------------------------------------------------------------------------------------------------------------------
# Section 2: average peak


class TempoMap:
    """Quarter notes a minute, meter and the time of bar 1 beat 1; all constant."""

    def __init__(self, tempo, denominator=4, bar_one_seconds=0.0):
        self.beat_seconds = 60.0 / tempo * 4.0 / denominator
        self.bar_one_seconds = bar_one_seconds

    def beat_frame(self, j, rate):
        return round_half_up(rate * (self.bar_one_seconds + j * self.beat_seconds))


def window_edges(session, tempo_map=None):
    """Edges e[0] = first .. e[W] = end; window j is [e[j], e[j + 1])."""
    if tempo_map is None:
        width = round_half_up(0.5 * session.rate)
        edges = list(range(session.first, session.end, width))
        return edges + [session.end]
    j = int(math.floor((session.first / session.rate - tempo_map.bar_one_seconds) / tempo_map.beat_seconds)) - 2
    edges = [session.first]
    while True:
        frame = tempo_map.beat_frame(j, session.rate)
        if frame >= session.end:
            return edges + [session.end]
        if frame > edges[-1]:
            edges.append(frame)
        j += 1


def window_peaks(p, edges):
    """w_j; `p[0]` is frame e[0]."""
    return [float(np.max(p[a - edges[0]:b - edges[0]])) for a, b in zip(edges, edges[1:])]


def passed_gates(peaks):
    """For each window whether it passes both gates."""
    floor = 10.0 ** (-70.0 / 20.0)
    loud = [w for w in peaks if w > floor]
    if not loud:
        return [False] * len(peaks)
    m1 = math.fsum(loud) / len(loud)
    gate = m1 * 10.0 ** (-10.0 / 20.0)
    return [w > floor and w > gate for w in peaks]


def gated_mean(peaks):
    """The average peak of these windows, or None where all are silent."""
    kept = [w for w, passed in zip(peaks, passed_gates(peaks)) if passed]
    return math.fsum(kept) / len(kept) if kept else None


def loud_part_energies(energies, edges, rate):
    """(sum of squares, first window, end window) of every stretch that may be the loud part, in time order."""
    count = len(energies)
    if edges[-1] - edges[0] < 30 * rate:
        return [(math.fsum(energies), 0, count)]
    stretches = []
    for i in range(count):
        j = i
        while j < count and edges[j] - edges[i] < 30 * rate:
            j += 1
        if edges[j] - edges[i] >= 30 * rate:
            stretches.append((math.fsum(energies[i:j]), i, j))
    return stretches


class Line:
    """A and T, by window where the baseline is local. Held: made once, from the bus without marks."""

    def __init__(self, edges, window_a, average_peak, margin_db=1.0, line_db=None):
        self.edges = np.array(edges)
        self.window_a = np.array(window_a)
        self.average_peak = average_peak
        if line_db is not None:
            self.window_t = np.full(len(window_a), factor(line_db))
            self.t = factor(line_db)
        else:
            self.window_t = self.window_a * factor(margin_db)
            self.t = average_peak * factor(margin_db)

    def windows_of(self, frames):
        return np.searchsorted(self.edges, frames, side="right") - 1

    def a_at(self, frame):
        return float(self.window_a[self.windows_of(frame)])

    def t_at(self, frame):
        return float(self.window_t[self.windows_of(frame)])

    def t_on(self, first, end):
        """T of each frame of [first, end)."""
        return self.window_t[self.windows_of(np.arange(first, end))]


# --------------------------------------------------------------------------------------------------------------------
# Section 3: moments above the line


class Contribution:
    def __init__(self, stem, amplitude, share):
        self.stem = stem
        self.amplitude = amplitude
        self.share = share
        self.above_own_average_db = None
        self.peak_without_db = None


class Moment:
    """A moment; `first_over` and `last_over` are both inclusive, `contributions` in falling order."""

    def __init__(self, first_over, last_over):
        self.first_over = first_over
        self.last_over = last_over
        self.rank = 0
        self.alike_to = 0
        self.alike = 0

    def makes_up(self):
        """Stem indices that make up the depth."""
        return {c.stem.index for c in self.contributions[:self.depth]}

    def share_of(self, index):
        return next(c.share for c in self.contributions if c.stem.index == index)

    def leading_contributions(self):
        """Contributions with a share of 0.10 and more, the largest first."""
        return [c for c in self.contributions if c.share >= 0.10]

    def leading(self):
        """Stems with a share of 0.10 and more, the largest first."""
        return [c.stem for c in self.leading_contributions()]


def depth_of(amplitudes, a, t):
    """Depth of contributions that are sorted downwards."""
    if amplitudes[0] > t:
        return 1
    total = amplitudes[0]
    for count in range(2, len(amplitudes) + 1):
        total += amplitudes[count - 1]
        if total > min(a, t):
            return count
    return len(amplitudes)


def gap_frames(rate):
    """G: 35 ms."""
    return round_half_up(0.035 * rate)


def spans(over, gap):
    """Groups of over frames (ascending) whose neighbours are at most `gap` apart."""
    if len(over) == 0:
        return []
    breaks = np.flatnonzero(np.diff(over) > gap)
    starts = np.concatenate(([0], breaks + 1))
    ends = np.concatenate((breaks + 1, [len(over)]))
    return [over[s:e] for s, e in zip(starts, ends)]


def longest_run(frames):
    """The most consecutive frames among ascending ones."""
    best = run = 1
    for before, here in zip(frames, frames[1:]):
        run = run + 1 if here == before + 1 else 1
        best = max(best, run)
    return best


def moment_of(session, line, over, p, p_first):
    """The moment of these over frames, with its contributions; `p[0]` is frame `p_first`."""
    m = Moment(int(over[0]), int(over[-1]))
    inside = p[m.first_over - p_first:m.last_over + 1 - p_first]
    m.frame = m.first_over + int(np.argmax(inside))
    m.peak = float(inside[m.frame - m.first_over])
    b = session.bus(m.frame, m.frame + 1)[:, 0]
    m.channel = 0 if abs(b[0]) >= abs(b[1]) else 1
    m.a = line.a_at(m.frame)
    m.t = line.t_at(m.frame)
    m.excess_db = db(m.peak) - db(m.a)
    m.over_frames = len(over)
    m.longest_run = longest_run([int(n) for n in over])
    m.long = m.last_over + 1 - m.first_over > frames_of_ms(100, session.rate)
    sign = 1.0 if b[m.channel] >= 0 else -1.0
    contributions = []
    for stem in session.stems:
        amplitude = sign * float(session.y(stem, m.frame, m.frame + 1)[m.channel, 0])
        contributions.append(Contribution(stem, amplitude, amplitude / m.peak))
    m.contributions = sorted(contributions, key=lambda c: (-c.amplitude, c.stem.index))
    m.depth = depth_of([c.amplitude for c in m.contributions], m.a, m.t)
    return m


def add_stem_figures(session, moment, own_averages):
    """Level against its own average peak, and peak without it, of each stem."""
    gap = gap_frames(session.rate)
    first, end = moment.first_over, moment.last_over + 1
    b = session.bus(first, end)
    for c in moment.contributions:
        near = float(np.max(level(session.y(c.stem, moment.frame - gap, moment.frame + gap + 1))))
        own = own_averages[c.stem.index]
        if own is not None and near > 0.0:
            c.above_own_average_db = db(near) - db(own)
        c.peak_without_db = db(float(np.max(level(b - session.y(c.stem, first, end)))))


def find_moments(session, line, p, p_first):
    """All moments of `p` (whose first value is frame `p_first`) in time order."""
    over = p_first + np.flatnonzero(p > line.t_on(p_first, p_first + len(p)))
    return [moment_of(session, line, group, p, p_first) for group in spans(over, gap_frames(session.rate))]


def rank(moments):
    """By excess downwards, then time upwards. The excess is compared on the linear scale, as p / A."""
    ordered = sorted(moments, key=lambda m: (-(m.peak / m.a), m.frame))
    for position, moment in enumerate(ordered):
        moment.rank = position + 1
    return ordered


def correlation(x, y, lag_limit):
    """Largest of |sum x[n] y[n+l]| / sqrt(sum x[n]^2 sum y[n+l]^2) over |l| <= lag_limit, and its lag.

    `x[channels][n]`; `y[channels][n + 2 lag_limit]` starts `lag_limit` frames earlier. Of silence: 0.
    """
    count = x.shape[1]
    power_x = float(np.sum(x * x))
    best, best_lag = 0.0, 0
    for lag in range(-lag_limit, lag_limit + 1):
        shifted = y[:, lag + lag_limit:lag + lag_limit + count]
        power = power_x * float(np.sum(shifted * shifted))
        value = abs(float(np.sum(x * shifted))) / math.sqrt(power) if power > 0.0 else 0.0
        if value > best:
            best, best_lag = value, lag
    return best, best_lag


def are_alike(session, head, other):
    """Whether a later-ranked moment is alike to a head; and the reason or figure, for messages."""
    if head.makes_up() != other.makes_up():
        return False, "other stems make up the depth"
    for index in head.makes_up():
        if abs(head.share_of(index) - other.share_of(index)) > 0.10:
            return False, f"shares of {session.stems[index].name} differ"
    reach = frames_of_ms(10, session.rate)
    lags = frames_of_ms(1, session.rate)
    lowest = 1.0
    for index in head.makes_up():
        stem = session.stems[index]
        x = session.y(stem, head.frame - reach, head.frame + reach + 1, marks_aside=True)[head.channel:head.channel + 1]
        y = session.y(stem, other.frame - reach - lags, other.frame + reach + 1 + lags, marks_aside=True)
        value, _ = correlation(x, y[head.channel:head.channel + 1], lags)
        lowest = min(lowest, value)
        if value < 0.9:
            return False, f"{stem.name} correlates {value:.4f}"
    return True, f"correlation {lowest:.4f}"


def group_alike(session, ranked):
    """Sets `alike_to` (rank of the head) and, on all of a group, `alike` (number that the head stands for)."""
    heads = []
    for moment in ranked:
        head = next((h for h in heads if are_alike(session, h, moment)[0]), None)
        if head is None:
            heads.append(moment)
            head = moment
        moment.alike_to = head.rank
    for moment in ranked:
        moment.alike = sum(1 for m in ranked if m.alike_to == moment.alike_to)


class Settings:
    """What decides the line. `section` is [from, to) in frames; `margin_db` gives way to `line_db`."""

    def __init__(self, baseline="loud", margin_db=1.0, line_db=None, section=None, tempo_map=None, loud_part=None):
        self.baseline = baseline
        self.margin_db = margin_db
        self.line_db = line_db
        self.section = section
        self.tempo_map = tempo_map
        self.loud_part = loud_part


class Analysis:
    """One pass: bus, windows, loud part, line, moments by rank, figures of each stem."""

    def __init__(self, session, settings, alike=True):
        self.session = session
        self.settings = settings
        self.p = np.empty(session.length)
        self.edges = window_edges(session, settings.tempo_map)
        energies = []
        for a, b in zip(self.edges, self.edges[1:]):
            block = session.bus(a, b)
            self.p[a - session.first:b - session.first] = level(block)
            energies.append(float(np.sum(block * block)))
        self.window_peaks = window_peaks(self.p, self.edges)
        self.stretches = loud_part_energies(energies, self.edges, session.rate)
        self.loud_windows = self._loud_windows()
        self.line = self._line()
        self.peak = float(np.max(self.p))
        self.peak_frame = session.first + int(np.argmax(self.p))
        self._stems()
        self.moments = rank(find_moments(session, self.line, self.p, session.first))
        for moment in self.moments:
            add_stem_figures(session, moment, self.own_averages)
        if alike:
            group_alike(session, self.moments)

    @property
    def loud_part(self):
        first, end = self.loud_windows
        return self.edges[first], self.edges[end]

    def loud_part_tie(self, loud_part):
        """Whether another stretch of frames has the greatest energy too, but for rounding."""
        best = max(s[0] for s in self.stretches)
        return any((self.edges[i], self.edges[j]) == tuple(loud_part) and energy >= best * (1.0 - 1e-9)
                   for energy, i, j in self.stretches)

    def _loud_windows(self):
        wanted = self.settings.loud_part
        if wanted is not None:
            return self.edges.index(wanted[0]), self.edges.index(wanted[1])
        section = self.settings.section
        if section is not None:
            pairs = list(zip(self.edges, self.edges[1:]))
            inside = [j for j, (a, b) in enumerate(pairs) if a >= section[0] and b <= section[1]]
            if not inside:
                inside = [j for j, (a, b) in enumerate(pairs) if b > section[0] and a < section[1]]
            if not inside:
                raise Unusable("the section holds no window")
            return inside[0], inside[-1] + 1
        best = self.stretches[0]
        for stretch in self.stretches[1:]:
            if stretch[0] > best[0]:
                best = stretch
        return best[1], best[2]

    def _line(self):
        peaks, settings = self.window_peaks, self.settings
        count = len(peaks)
        if settings.baseline == "loud":
            first, end = self.loud_windows
            a = gated_mean(peaks[first:end])
            by_window = None if a is None else [a] * count
        else:
            a = gated_mean(peaks)
            by_window = None if a is None else [a] * count
            if a is not None and settings.baseline == "local":
                passed = passed_gates(peaks)
                for j in range(count):
                    near = [peaks[i] for i in range(max(0, j - 16), min(count, j + 17)) if passed[i]]
                    by_window[j] = math.fsum(near) / len(near) if near else a
        if a is None:
            raise Unusable("the session is silent")
        return Line(self.edges, by_window, a, settings.margin_db, settings.line_db)

    def _stems(self):
        """Peak on the bus, and own average peak (mute and solo left aside) of each stem."""
        self.stem_peaks, self.own_averages = [], []
        for stem in self.session.stems:
            p = level(self.session.y(stem, self.session.first, self.session.end, mute_aside=True))
            self.own_averages.append(gated_mean(window_peaks(p, self.edges)))
            self.stem_peaks.append(float(np.max(p)) if self.session.is_heard(stem) else 0.0)


# --------------------------------------------------------------------------------------------------------------------
# Options that every checker understands


def add_run_options(parser):
    """Options of the run that is checked: the same names as the program's where there is one."""
    parser.add_argument("--stems", required=True, help="folder of stems")
    parser.add_argument("--no-pairs", action="store_true", help="two mono files L and R stay two stems")
    parser.add_argument("--gain", action="append", default=[], metavar="STEM=DB", help="fader of a stem")
    parser.add_argument("--polarity", action="append", default=[], metavar="STEM", help="polarity turned")
    parser.add_argument("--mute", action="append", default=[], metavar="STEM")
    parser.add_argument("--only", action="append", default=[], metavar="STEM", help="soloed")
    parser.add_argument("--offset", action="append", default=[], metavar="STEM=FRAMES", help="later; negative: earlier")
    parser.add_argument("--mono-gain", type=float, default=0.0, metavar="DB")
    parser.add_argument("--baseline", choices=["loud", "song", "local"], default="loud")
    parser.add_argument("--margin", type=float, default=1.0, metavar="DB")
    parser.add_argument("--line", type=float, metavar="DBFS")
    parser.add_argument("--section", metavar="FROM-TO", help="loud part; times as m:ss.mmm or in seconds")
    parser.add_argument("--from", dest="range_from", metavar="TIME", help="time range: its start")
    parser.add_argument("--to", dest="range_to", metavar="TIME", help="time range: its end, not included")
    parser.add_argument("--window", choices=["half", "beat"], default="half")
    parser.add_argument("--tempo", type=float, metavar="BPM", help="quarter notes a minute")
    parser.add_argument("--meter", default="4/4")
    parser.add_argument("--bar-one", type=float, default=0.0, metavar="SECONDS")


def frame_of_time(text, rate):
    """The frame of a time written as seconds or minutes:seconds."""
    minutes, _, seconds = text.rpartition(":")
    return round_half_up((60.0 * int(minutes or 0) + float(seconds)) * rate)


def split_assignment(text):
    name, equals, value = text.rpartition("=")
    if not equals:
        raise Unusable(f"'{text}' should read STEM=VALUE")
    return name, float(value)


def find_stem(session, name):
    """By name, file or file without its ending."""
    found = [s for s in session.stems if name in (s.name, s.file, without_ending(s.file or s.name))]
    if len(found) != 1:
        raise Unusable(f"{len(found)} stems are named '{name}'")
    return found[0]


def load_session(options):
    """The session that the options describe."""
    session = load_folder(options.stems, pairs=not options.no_pairs, mono_gain_db=options.mono_gain)
    for text in options.gain:
        name, value = split_assignment(text)
        find_stem(session, name).gain_db = value
    for text in options.offset:
        name, value = split_assignment(text)
        find_stem(session, name).offset = int(value)
    for name in options.polarity:
        find_stem(session, name).polarity = -1
    for name in options.mute:
        find_stem(session, name).muted = True
    for name in options.only:
        find_stem(session, name).soloed = True
    session.settle()
    if options.range_from is not None or options.range_to is not None:
        first = 0 if options.range_from is None else frame_of_time(options.range_from, session.rate)
        end = session.end if options.range_to is None else frame_of_time(options.range_to, session.rate)
        session.cut(first, end)
    return session


def load_settings(options, session):
    """The settings that the options describe."""
    tempo_map = None
    if options.window == "beat":
        if options.tempo is None:
            raise Unusable("--window beat needs --tempo")
        tempo_map = TempoMap(options.tempo, int(options.meter.split("/")[1]), options.bar_one)
    section = None
    if options.section is not None:
        section = [frame_of_time(text, session.rate) for text in options.section.split("-")]
    return Settings(options.baseline, options.margin, options.line, section, tempo_map)


def load_folder(folder, pairs=True, mono_gain_db=0.0):
    """Reads every stem of a folder; L/R pairs of mono files become one stem in the left file's place."""
    files = audio_files(folder)
    if not files:
        raise Unusable(f"{folder} holds no stems")
    audio = {file: decode(os.path.join(folder, file)) for file in files}
    rates = {a.rate for a in audio.values()}
    if len(rates) != 1:
        raise Unusable("rates differ: " + ", ".join(f"{f} {a.rate}" for f, a in audio.items()))
    right_of = {}
    if pairs:
        keyed = {}
        for file in files:
            key = pair_key(file)
            if key and audio[file].channels == 1:
                keyed.setdefault(key[0], {})[key[1]] = file
        right_of = {both["L"]: both["R"] for both in keyed.values() if len(both) == 2}
    plain = []
    for file in files:
        if file in right_of.values():
            continue
        if file in right_of:
            left, right = audio[file].samples, audio[right_of[file]].samples
            samples = np.zeros((2, max(left.shape[1], right.shape[1])), np.result_type(left, right))
            samples[0, :left.shape[1]] = left[0]
            samples[1, :right.shape[1]] = right[0]
            plain.append((pair_key(file)[2], file, samples))
        else:
            plain.append((without_ending(file), file, audio[file].samples))
    short = [path.rpartition("/")[2] for path, _, _ in plain]
    stems = []
    for (path, file, samples), name in zip(plain, short):
        stems.append(Stem(name if short.count(name) == 1 else path, samples, file))
    return Session(next(iter(rates)), stems, mono_gain_db)


def as_list(analysis):
    """The analysis in the shape of `cairn list --json` (formats.md); used to try the checkers on themselves."""
    def shown(amplitude):
        return round(db(amplitude), 4) if amplitude else None

    def shown_db(value):
        return None if value is None or value < -250.0 else round(value, 4)

    session = analysis.session
    return {
        "schema": "cairn-list/1",
        "session": {
            "folder": "", "sampleRate": session.rate, "frames": session.full_length(), "mode": "sample-peak",
            "baseline": analysis.settings.baseline, "loudPart": list(analysis.loud_part),
            "stems": [{
                "name": s.name, "file": s.file, "channels": s.channels, "frames": s.frames, "gainDb": s.gain_db,
                "polarity": s.polarity, "muted": s.muted, "soloed": s.soloed, "offset": s.offset,
                "peakDb": shown(analysis.stem_peaks[s.index]), "averagePeakDb": shown(analysis.own_averages[s.index]),
                "moments": sum(1 for m in analysis.moments if s in m.leading()),
                "loneMoments": sum(1 for m in analysis.moments if m.depth == 1 and m.contributions[0].stem is s),
            } for s in session.stems]},
        "bus": {"peakDb": shown(analysis.peak), "peakFrame": analysis.peak_frame,
                "averagePeakDb": shown(analysis.line.average_peak), "lineDb": shown(analysis.line.t),
                "windowFrames": round_half_up(0.5 * session.rate), "windows": len(analysis.window_peaks)},
        "moments": [{
            "rank": m.rank, "frame": m.frame, "seconds": round(m.frame / session.rate, 6), "channel": m.channel,
            "levelDb": shown(m.peak), "excessDb": round(m.excess_db, 4), "firstOver": m.first_over,
            "lastOver": m.last_over, "overFrames": m.over_frames, "longestRun": m.longest_run, "depth": m.depth,
            "long": m.long, "alikeTo": m.alike_to, "alike": m.alike,
            "contributions": [{
                "stem": c.stem.name, "amplitude": round(c.amplitude, 9), "share": round(c.share, 9),
                "aboveOwnAverageDb": shown_db(c.above_own_average_db), "peakWithoutDb": shown_db(c.peak_without_db),
            } for c in m.contributions],
        } for m in analysis.moments]}


if __name__ == "__main__":
    if sys.argv[1:] != ["--self-test"]:
        sys.exit("usage: cairn_reference.py --self-test")
    import self_test
    sys.exit(self_test.main())
