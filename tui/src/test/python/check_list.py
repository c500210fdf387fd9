#!/usr/bin/env python3
"""Checks the output of `cairn list --json` against the independent calculation of cairn_reference.py.

    check_list.py --json list.json --stems FOLDER [the options of the run]

Prints one line a difference and exits with 1, or `same: N moments, largest difference X dB` and exits with 0. Levels
may differ by 0.001 dB. What is a matter of rounding (which of two equal loud parts, which of two equal contributions
comes first) is no difference. A field that is absent is not compared, but for those that every list has.
"""

import argparse
import json
import sys

import cairn_reference as reference
import cairn_reference_fixes as fixes

DB_TOLERANCE = 0.001
LINEAR_TOLERANCE = 1e-9
NOTHING_DB = -250.0


class Differences:
    """Collects differences, and the largest of the levels that passed."""

    def __init__(self):
        self.lines = []
        self.largest_db = 0.0

    def add(self, place, text):
        self.lines.append(f"{place}: {text}")

    def verdict(self, what):
        """Prints the differences, or that there are none among `what`; the exit status."""
        if self.lines:
            print("\n".join(self.lines))
            return 1
        print(f"same: {what}, largest difference {self.largest_db:.6f} dB")
        return 0

    def same(self, place, field, told, expected):
        if told != expected:
            self.add(place, f"{field} is {told}, should be {expected}")

    def levels(self, place, field, told, expected_db):
        """Compares levels in dB; null, minus infinity and rounding dust below -250 dB are the same."""
        nothing = expected_db is None or expected_db < NOTHING_DB
        if told is None or told < NOTHING_DB:
            if not nothing:
                self.add(place, f"{field} is {told}, should be {expected_db:.4f}")
            return
        if nothing:
            self.add(place, f"{field} is {told}, should be null")
            return
        difference = abs(told - expected_db)
        if not difference <= DB_TOLERANCE:
            self.add(place, f"{field} is {told}, should be {expected_db:.4f}")
        else:
            self.largest_db = max(self.largest_db, difference)

    def number(self, place, field, told, expected, tolerance):
        if told is None or not abs(told - expected) <= tolerance:
            self.add(place, f"{field} is {told}, should be {expected:.9f}")


def printed_tolerance(values):
    """Half a unit of the last decimal that a field is printed with, and never more than 0.00005."""
    decimals = max((len(repr(v).partition(".")[2]) for v in values if "e" not in repr(v)), default=4)
    return max(0.5 * 10.0 ** -max(4, decimals), 1e-9) * 1.001


def compare_stem(differences, analysis, told, stem):
    place = f"stem '{stem.name}'"
    session = analysis.session
    differences.same(place, "channels", told["channels"], stem.channels)
    differences.same(place, "frames", told["frames"], stem.frames)
    differences.same(place, "offset", told.get("offset", 0), stem.offset)
    differences.same(place, "polarity", told.get("polarity", 1), stem.polarity)
    differences.same(place, "muted", told.get("muted", False), stem.muted)
    differences.same(place, "soloed", told.get("soloed", False), stem.soloed)
    differences.levels(place, "gainDb", told.get("gainDb", 0.0), stem.gain_db)
    differences.levels(place, "peakDb", told["peakDb"], reference.db(analysis.stem_peaks[stem.index]))
    own = analysis.own_averages[stem.index]
    differences.levels(place, "averagePeakDb", told["averagePeakDb"], None if own is None else reference.db(own))
    if not session.is_heard(stem):
        return
    leads = sum(1 for m in analysis.moments if stem in m.leading())
    lone = sum(1 for m in analysis.moments if m.depth == 1 and m.contributions[0].stem is stem)
    differences.same(place, "moments", told["moments"], leads)
    differences.same(place, "loneMoments", told["loneMoments"], lone)


def compare_contributions(differences, place, session, told, moment, tolerances):
    expected = {c.stem.name: c for c in moment.contributions}
    names = [c["stem"] for c in told]
    if len(set(names)) != len(names):
        differences.add(place, "a stem contributes twice")
    for name in names:
        if name not in expected:
            differences.add(place, f"contribution of an unknown stem '{name}'")
    for name, c in expected.items():
        if name not in names and session.is_heard(c.stem):
            differences.add(place, f"no contribution of '{name}', should be {c.amplitude:.9f}")
    known = [c for c in told if c["stem"] in expected]
    for before, after in zip(known, known[1:]):
        a, b = expected[before["stem"]], expected[after["stem"]]
        if a.amplitude < b.amplitude - LINEAR_TOLERANCE:
            differences.add(place, f"'{a.stem.name}' comes before '{b.stem.name}', which contributes more")
        if a.amplitude == b.amplitude and a.stem.index > b.stem.index:
            differences.add(place, f"'{a.stem.name}' comes before '{b.stem.name}': a tie goes by stem order")
    for c in known:
        e = expected[c["stem"]]
        where = f"{place} stem '{e.stem.name}'"
        differences.number(where, "amplitude", c["amplitude"], e.amplitude, tolerances["amplitude"])
        differences.number(where, "share", c["share"], e.share, tolerances["share"])
        differences.levels(where, "aboveOwnAverageDb", c["aboveOwnAverageDb"], e.above_own_average_db)
        differences.levels(where, "peakWithoutDb", c["peakWithoutDb"], e.peak_without_db)


def compare_moment(differences, analysis, told, moment, tolerances):
    place = f"moment at {moment.frame}"
    session = analysis.session
    for field, expected in (("channel", moment.channel), ("firstOver", moment.first_over),
                            ("lastOver", moment.last_over), ("overFrames", moment.over_frames),
                            ("longestRun", moment.longest_run), ("depth", moment.depth), ("long", moment.long)):
        differences.same(place, field, told[field], expected)
    differences.number(place, "seconds", told["seconds"], moment.frame / session.rate, 0.5e-6 * 1.001)
    differences.levels(place, "levelDb", told["levelDb"], reference.db(moment.peak))
    differences.levels(place, "excessDb", told["excessDb"], moment.excess_db)
    compare_contributions(differences, place, session, told["contributions"], moment, tolerances)


def head_frame(analysis, moment):
    """Peak frame of the head that a moment is alike to: ranks may be swapped where excesses are all but equal."""
    return next(m.frame for m in analysis.moments if m.rank == moment.alike_to)


def why_not_alike(analysis, told_rank, moment):
    """What the reference found between a moment and the head that the list gives it."""
    heads = [m for m in analysis.moments if m.rank == told_rank]
    if not heads or heads[0].rank >= moment.rank:
        return ""
    return " (" + reference.are_alike(analysis.session, heads[0], moment)[1] + ")"


def compare_moments(differences, analysis, told, hidden):
    expected = {m.frame: m for m in analysis.moments}
    frames = [m["frame"] for m in told]
    if len(set(frames)) != len(frames):
        differences.add("moments", "one peak frame is listed twice")
    for frame in frames:
        if frame not in expected:
            differences.add(f"moment at {frame}", "is listed, should not be")
    for frame, moment in expected.items():
        if frame not in frames and not hidden(moment):
            differences.add(f"moment at {frame}", f"is not listed, level {reference.db(moment.peak):.4f}")
    every = [c for m in told for c in m["contributions"]]
    tolerances = {field: printed_tolerance([c[field] for c in every]) for field in ("amplitude", "share")}
    frame_of_rank = {m["rank"]: m["frame"] for m in told}
    known = [m for m in told if m["frame"] in expected]
    for before, after in zip(known, known[1:]):
        if before["rank"] >= after["rank"]:
            differences.add(f"moment at {after['frame']}", "does not come in the order of ranks")
    for m in known:
        moment = expected[m["frame"]]
        compare_moment(differences, analysis, m, moment, tolerances)
        place = f"moment at {moment.frame}"
        if m["rank"] != moment.rank:
            twin = next((o for o in analysis.moments if o.rank == m["rank"]), None)
            if twin is None or abs(twin.peak / twin.a - moment.peak / moment.a) > LINEAR_TOLERANCE:
                differences.add(place, f"rank is {m['rank']}, should be {moment.rank}")
            elif twin.peak / twin.a == moment.peak / moment.a:
                differences.add(place, f"rank is {m['rank']}, should be {moment.rank}: a tie goes by time")
        if "alikeTo" in m and frame_of_rank.get(m["alikeTo"], m["alikeTo"]) != head_frame(analysis, moment):
            differences.add(place, f"alikeTo is {m['alikeTo']}, should be {moment.alike_to}"
                            + why_not_alike(analysis, m["alikeTo"], moment))
        if "alike" in m:
            differences.same(place, "alike", m["alike"], moment.alike)


def compare_fix(differences, place, kind, told, found, line_db):
    """One least fix; null on both sides is the same."""
    if told is None or found is None:
        if told is not None or found is not None:
            shown = None if found is None else (found.fix.amount, found.cleared)
            differences.add(place, f"{kind} is {told}, should be {shown}")
        return
    where = f"{place} {kind}"
    differences.same(where, "cleared", told["cleared"], found.cleared)
    differences.levels(where, "leftDb", told["leftDb"], reference.db(found.left))
    if told["cleared"] and told["leftDb"] > line_db + DB_TOLERANCE:
        differences.add(where, "is cleared and leaves a level over the line")
    if kind == "nudge":
        differences.same(where, "frames", told["frames"], found.fix.amount)
        return
    differences.same(where, "range", [told["start"], told["end"]], [found.fix.start, found.fix.end])
    if kind == "trim":
        differences.number(where, "db", told["db"], found.fix.amount, LINEAR_TOLERANCE)
    else:
        differences.number(where, "ceilingDb", told["ceilingDb"], found.fix.amount, LINEAR_TOLERANCE)
        differences.same(where, "frames", told["frames"], found.clipped)
        differences.same(where, "longestLobe", told["longestLobe"], found.lobe)


def compare_fixes(differences, analysis, told, count, nudge_limit_ms):
    """The `fixes` of up to `count` moments, spread over the ranks, against brute force; returns how many were seen."""
    with_fixes = [m for m in told if "fixes" in m]
    if len(with_fixes) > count:
        with_fixes = [with_fixes[i * len(with_fixes) // count] for i in range(count)]
    expected = {m.frame: m for m in analysis.moments}
    whatif = fixes.WhatIf(analysis.session, analysis.line)
    for m in with_fixes:
        moment = expected.get(m["frame"])
        if moment is None:
            continue
        by_name = {f["stem"]: f for f in m["fixes"]}
        found = fixes.fixes_at(whatif, moment, nudge_limit_ms)
        differences.same(f"moment at {moment.frame}", "stems with fixes", sorted(by_name),
                         sorted(stem.name for stem, _, _, _ in found))
        for stem, hit, combs, kinds in found:
            if stem.name not in by_name:
                continue
            entry = by_name[stem.name]
            place = f"moment at {moment.frame} stem '{stem.name}'"
            differences.same(place, "hit", entry["hit"], [hit.start, hit.end])
            differences.same(place, "sustained", entry["sustained"], hit.sustained)
            if entry["nudge"] is not None:
                differences.same(place, "combs", sorted(entry["combs"]), sorted(combs))
            for kind, one in kinds.items():
                compare_fix(differences, place, kind, entry[kind], one, reference.db(moment.t))
    return len(with_fixes)


def compare(told, session, settings, hidden=lambda moment: False):
    """All differences between a list (parsed JSON) and the reference; and the reference's analysis."""
    differences = Differences()
    differences.same("root", "schema", told["schema"], "cairn-list/1")
    head, bus = told["session"], told["bus"]
    analysis = reference.Analysis(session, settings)
    differences.same("session", "mode", head["mode"], "sample-peak")
    differences.same("session", "sampleRate", head["sampleRate"], session.rate)
    differences.same("session", "frames", head["frames"], session.full_length())
    differences.same("session", "baseline", head["baseline"], settings.baseline)
    loud_part = head.get("loudPart")
    if loud_part is not None and tuple(loud_part) != analysis.loud_part:
        if settings.section is None and analysis.loud_part_tie(loud_part):
            settings.loud_part = tuple(loud_part)
            analysis = reference.Analysis(session, settings)
        else:
            differences.add("session", f"loudPart is {loud_part}, should be {list(analysis.loud_part)}")
    differences.same("session", "stems", [s["name"] for s in head["stems"]], [s.name for s in session.stems])
    for stem_told, stem in zip(head["stems"], session.stems):
        if stem_told["name"] == stem.name:
            compare_stem(differences, analysis, stem_told, stem)
    differences.levels("bus", "peakDb", bus["peakDb"], reference.db(analysis.peak))
    differences.same("bus", "peakFrame", bus["peakFrame"], analysis.peak_frame)
    differences.levels("bus", "averagePeakDb", bus["averagePeakDb"], reference.db(analysis.line.average_peak))
    line_varies = settings.baseline == "local" and settings.line_db is None
    if bus["lineDb"] is not None or not line_varies:
        differences.levels("bus", "lineDb", bus["lineDb"], reference.db(analysis.line.t))
    differences.same("bus", "windows", bus["windows"], len(analysis.window_peaks))
    if settings.tempo_map is None:
        differences.same("bus", "windowFrames", bus["windowFrames"], reference.round_half_up(0.5 * session.rate))
    compare_moments(differences, analysis, told["moments"], hidden)
    return differences, analysis


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", required=True, metavar="FILE", help="what `cairn list --json` printed")
    parser.add_argument("--hide", choices=["lone", "collisions"], help="moments that the run left out of its list")
    parser.add_argument("--fixes", type=int, default=0, metavar="N", help="check the fixes of up to N moments (slow)")
    parser.add_argument("--nudge-limit", type=float, default=3.0, metavar="MS")
    parser.add_argument("--show", action="store_true", help="print the reference's own moments as well")
    reference.add_run_options(parser)
    options = parser.parse_args()

    def hidden(moment):
        return options.hide == "lone" and moment.depth == 1 or options.hide == "collisions" and moment.depth > 1

    try:
        with open(options.json, encoding="utf-8") as stream:
            told = json.load(stream)
        session = reference.load_session(options)
        differences, analysis = compare(told, session, reference.load_settings(options, session), hidden)
        seen = 0
        if options.fixes > 0:
            seen = compare_fixes(differences, analysis, told["moments"], options.fixes, options.nudge_limit)
            if seen == 0 and any(not m.long for m in analysis.moments):
                differences.add("moments", "none has fixes: was the list made with --fixes?")
    except reference.Unusable as unusable:
        print(f"cannot check: {unusable}", file=sys.stderr)
        return 2
    if options.show:
        for m in analysis.moments:
            print(f"{m.rank:4d} {m.frame:9d} {m.excess_db:+8.4f} depth {m.depth} like {m.alike_to} x{m.alike} "
                  + ", ".join(f"{c.stem.name} {c.share:.2f}" for c in m.contributions[:4]))
    fixed = f" ({seen} with their fixes)" if seen else ""
    return differences.verdict(f"{len(analysis.moments)} moments{fixed}")


if __name__ == "__main__":
    sys.exit(main())
