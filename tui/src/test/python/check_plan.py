#!/usr/bin/env python3
"""Checks that what `cairn plan --json` tells is what happens: it carries the marks out itself and sums afresh.

    check_plan.py --plan plan.json --stems FOLDER [--list list.json] [--win DB] [the options of the run]

The marks are taken in the order of the plan, each with the frames and the amount that stand there, and applied to the
64-bit samples of its stem as definitions.md 4 says. Then peak, moments over the held line, ladder, counts and altered
time are worked out anew and compared. `--again` also makes the whole plan anew by brute force and compares the marks
(slow; not for plans with left-alone or yoked stems).

Prints one line a difference and exits with 1, or `same: N marks, largest difference X dB` and exits with 0.
"""

import argparse
import json
import sys

import cairn_reference as reference
import cairn_reference_fixes as fixes
from check_list import Differences

AMOUNT_FIELD = {"nudge": "frames", "trim": "db", "clip": "ceilingDb"}


def places_of(session, mark):
    """The Fix and the told peak frame of each place of an entry of `marks`."""
    stem = reference.find_stem(session, mark["stem"])
    amount = mark[AMOUNT_FIELD[mark["kind"]]]
    return [(fixes.Fix(mark["kind"], stem, amount, p["start"], p["end"]), p["moment"]) for p in mark["places"]]


def check_geometry(differences, place, analysis, whatif, fix, frame, nudge_limit_ms):
    """Whether the settled frames follow from the peak frame of the place.

    A nudge has the hit itself. The span that a clip has, and that widens a trim, is that of the what-if moment when the
    mark was made, before other marks were dropped: it must hold the peak frame and stay in the neighbourhood.
    """
    near = [n for n in map(whatif.neighbourhood, analysis.moments) if n[0] <= frame < n[1]]
    if not near:
        differences.add(place, f"{frame} lies in the neighbourhood of no listed moment")
        return
    (first, end), = near
    hit = fixes.hit_of(analysis.session, fix.stem, frame, nudge_limit_ms)
    if fix.kind == "clip":
        right = first <= fix.start <= frame < fix.end <= end
        wanted = f"should hold the peak frame and lie in [{first}, {end})"
    elif fix.kind == "trim":
        right = min(hit.start, first) <= fix.start <= min(hit.start, frame) and (
            max(hit.end, frame + 1) <= fix.end <= max(hit.end, end))
        wanted = f"should be [{hit.start}, {hit.end}), widened by a span within [{first}, {end})"
    else:
        right = (fix.start, fix.end) == (hit.start, hit.end)
        wanted = f"should be [{hit.start}, {hit.end})"
        if hit.sustained:
            differences.add(place, "is a nudge of a sustained hit")
        if not fixes.may_nudge(whatif, fix.stem, hit, fix.amount):
            differences.add(place, "pushes sound out of its file")
    if not right:
        differences.add(place, f"[{fix.start}, {fix.end}) {wanted}")


def check_amount(differences, label, mark, rate, nudge_limit_ms):
    """The bounds of a planned fix: trim of 0.1 to 3 dB in tenths, nudge up to its limit, ceiling in tenths."""
    amount = mark[AMOUNT_FIELD[mark["kind"]]]
    if mark["kind"] == "nudge":
        right = isinstance(amount, int) and 1 <= abs(amount) <= reference.frames_of_ms(nudge_limit_ms, rate)
    else:
        right = abs(amount * 10.0 - reference.round_half_up(amount * 10.0)) < 1e-6
        right = right and (mark["kind"] == "clip" or 0.1 <= amount <= 3.0)
    if not right:
        differences.add(label, f"amount {amount} is not one that a plan may use")


def share_tolerance(value):
    """Half a unit of the last decimal printed, and never more than 0.00005."""
    text = f"{value!r}"
    decimals = 6 if "e" in text else len(text.partition(".")[2])
    return 0.5 * 10.0 ** -max(4, decimals) + 1e-12


def compare_marks(differences, told, analysis, whatif, nudge_limit_ms):
    """Carries the marks out and returns (affected frames in all, told peak frames)."""
    altered = 0
    frames = []
    for number, mark in enumerate(told["marks"], 1):
        label = f"mark {number}, {mark['kind']} of '{mark['stem']}'"
        if not mark["places"]:
            differences.add(label, "has no place")
        for fix, frame in places_of(analysis.session, mark):
            check_geometry(differences, f"{label} at {frame}", analysis, whatif, fix, frame, nudge_limit_ms)
            first, end = whatif.apply(fix)
            altered += end - first
            frames.append(frame)
        differences.levels(label, "peakAfterDb", mark["peakAfterDb"], reference.db(whatif.peak()))
        check_amount(differences, label, mark, analysis.session.rate, nudge_limit_ms)
    return altered, frames


def compare_ladder(differences, told, analysis):
    expected = fixes.ladder(analysis)
    if len(told) != len(expected):
        differences.add("ladder", f"has {len(told)} rows, should have {len(expected)}")
        return
    for row, (h, moments, heads) in zip(told, expected):
        place = f"ladder at {h:.4f} dB"
        differences.levels(place, "headroomDb", row["headroomDb"], h)
        differences.same(place, "moments", row["moments"], moments)
        differences.same(place, "fixes", row["fixes"], heads)


def compare_again(differences, told, analysis, nudge_limit_ms):
    """Makes the plan anew and compares it mark by mark, up to the first one that differs."""
    planner = fixes.Planner(analysis, nudge_limit_ms)
    planner.run()
    expected = fixes.as_plan(analysis, planner)["marks"]
    for number, (mark, mine) in enumerate(zip(told["marks"], expected), 1):
        amount = AMOUNT_FIELD[mine["kind"]]
        shown = (mark["stem"], mark["kind"], mark.get(amount), [p["moment"] for p in mark["places"]])
        wanted = (mine["stem"], mine["kind"], mine[amount], [p["moment"] for p in mine["places"]])
        if shown[:3] != wanted[:3] or sorted(shown[3]) != sorted(wanted[3]):
            differences.add(f"mark {number}", f"is {shown}, by brute force {wanted}")
            return
    differences.same("plan", "number of marks", len(told["marks"]), len(expected))


def compare(told, session, settings, listed=None, win_db=None, nudge_limit_ms=3.0, again=False):
    """All differences between a plan (parsed JSON) and what the reference finds after carrying it out."""
    differences = Differences()
    differences.same("root", "schema", told["schema"], "cairn-plan/1")
    analysis = reference.Analysis(session, settings)
    if win_db is not None:
        settings.line_db = reference.db(analysis.peak) - win_db
        analysis = reference.Analysis(session, settings)
    whatif = fixes.WhatIf(session, analysis.line)
    before = whatif.peak()
    differences.levels("plan", "lineDb", told["lineDb"], reference.db(analysis.line.t))
    differences.levels("plan", "peakBeforeDb", told["peakBeforeDb"], reference.db(before))
    if listed is not None:
        differences.levels("list", "peakDb", listed["bus"]["peakDb"], reference.db(before))
        if win_db is None:
            differences.levels("list", "lineDb", listed["bus"]["lineDb"], reference.db(analysis.line.t))
            differences.same("list", "peak frames", sorted(m["frame"] for m in listed["moments"]),
                             sorted(m.frame for m in analysis.moments))
    altered, frames = compare_marks(differences, told, analysis, whatif, nudge_limit_ms)
    after = whatif.peak()
    differences.levels("plan", "peakAfterDb", told["peakAfterDb"], reference.db(after))
    differences.levels("plan", "wonDb", told["wonDb"], reference.db(before) - reference.db(after))
    differences.same("plan", "fixes", told["fixes"], len(told["marks"]))
    differences.same("plan", "places", told["places"], len(frames))
    cleared, partly, left = fixes.outcome_counts(analysis, whatif, frames)
    differences.same("plan", "cleared", told["cleared"], cleared)
    differences.same("plan", "partlyCleared", told["partlyCleared"], partly)
    differences.same("plan", "left", told["left"], left)
    for m in whatif.moments():
        if not any(a <= m.frame < b for a, b in map(whatif.neighbourhood, analysis.moments)):
            differences.add(f"what-if moment at {m.frame}", "is new: the plan made it")
    gap = reference.gap_frames(session.rate)
    for number, mark in enumerate(told["marks"], 1):
        for _, frame in places_of(session, mark) if mark["cleared"] else []:
            if whatif.holds_over(*whatif.cut(frame - gap, frame + gap + 1)):
                differences.add(f"mark {number} at {frame}", "says cleared, but is over in the end")
    differences.number("plan", "alteredSeconds", told["alteredSeconds"], altered / session.rate, 0.5e-6 * 1.001)
    differences.number("plan", "alteredShare", told["alteredShare"], altered / (len(session.stems) * session.length),
                       share_tolerance(told["alteredShare"]))
    if "ladder" in told:
        compare_ladder(differences, told["ladder"], analysis)
    if again:
        compare_again(differences, told, analysis, nudge_limit_ms)
    return differences


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--plan", required=True, metavar="FILE", help="what `cairn plan --json` printed")
    parser.add_argument("--list", metavar="FILE", help="what `cairn list --json` printed for the same stems and line")
    parser.add_argument("--win", type=float, metavar="DB", help="the plan was for this much headroom")
    parser.add_argument("--nudge-limit", type=float, default=3.0, metavar="MS")
    parser.add_argument("--again", action="store_true", help="make the plan anew by brute force and compare")
    reference.add_run_options(parser)
    options = parser.parse_args()
    try:
        with open(options.plan, encoding="utf-8") as stream:
            told = json.load(stream)
        listed = None
        if options.list is not None:
            with open(options.list, encoding="utf-8") as stream:
                listed = json.load(stream)
        session = reference.load_session(options)
        differences = compare(told, session, reference.load_settings(options, session), listed, options.win,
                              options.nudge_limit, options.again)
    except reference.Unusable as unusable:
        print(f"cannot check: {unusable}", file=sys.stderr)
        return 2
    return differences.verdict(f"{len(told['marks'])} marks")


if __name__ == "__main__":
    sys.exit(main())
