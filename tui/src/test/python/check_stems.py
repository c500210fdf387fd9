#!/usr/bin/env python3
"""Checks what `cairn stems --json` tells of settings for the whole song: it sums each of them through all of it.

    check_stems.py --moves stems.json --stems FOLDER [the options of the run]

definitions.md, 4 (whole-stem moves), in 64-bit floats: moments cleared, new and left at the held line, the highest
peak, frames clipped and the longest lobe. Of the fader steps it also tries all thirty, to see that the best was told.

Prints one line a difference and exits with 1, or `same: N settings, largest difference X dB` and exits with 0.
"""

import argparse
import json
import sys

import numpy as np

import cairn_reference as reference
from check_list import Differences


def moved(session, stem, kind, amount):
    """(y, y') of a stem over the whole session."""
    y = session.y(stem, session.first, session.end)
    if kind == "polarity":
        return y, -y
    if kind == "fader":
        return y, y * reference.factor(-amount)
    if kind == "ceiling":
        ceiling = reference.factor(amount)
        return y, np.clip(y, -ceiling, ceiling)
    out = np.zeros_like(y)
    if amount > 0:
        out[:, amount:] = y[:, :-amount]
    else:
        out[:, :amount] = y[:, -amount:]
    return y, out


def longest_lobe(y, ceiling):
    """The longest stretch of one channel beyond +ceiling, or beyond -ceiling."""
    longest = 0
    for channel in y:
        for side in (channel > ceiling, channel < -ceiling):
            edges = np.flatnonzero(np.diff(np.concatenate(([0], side.astype(np.int8), [0]))))
            if len(edges):
                longest = max(longest, int(np.max(edges[1::2] - edges[0::2])))
    return longest


def outcome(analysis, bus, stem, kind, amount):
    """(cleared, new, left, peak dB, clipped frames, longest lobe)."""
    session = analysis.session
    y, after = moved(session, stem, kind, amount)
    p = reference.level(bus - y + after)
    over = np.flatnonzero(p > analysis.line.t_on(session.first, session.end))
    gap = reference.gap_frames(session.rate)
    groups = reference.spans(over, gap)
    near = [(m.first_over - gap - session.first, m.last_over + gap - session.first) for m in analysis.moments]
    cleared = sum(1 for a, b in near if not np.any((over >= a) & (over <= b)))
    new = 0
    for group in groups:
        peak_at = int(group[np.argmax(p[group])])
        new += not any(a <= peak_at <= b for a, b in near)
    clipped = lobe = 0
    if kind == "ceiling":
        ceiling = reference.factor(amount)
        clipped = int(np.count_nonzero(np.any(np.abs(y) > ceiling, axis=0)))
        lobe = longest_lobe(y, ceiling)
    return cleared, new, len(groups), reference.db(float(np.max(p))), clipped, lobe


def left_after(session, bus, y, factor, line):
    """How many moments are left where a stem is turned down by a factor."""
    over = np.flatnonzero(reference.level(bus - y * (1 - factor)) > line)
    return len(reference.spans(over, reference.gap_frames(session.rate)))


def compare(told, session, settings):
    analysis = reference.Analysis(session, settings, alike=False)
    bus = session.bus(session.first, session.end)
    line = analysis.line.t_on(session.first, session.end)
    differences = Differences()
    if told["moments"] != len(analysis.moments):
        differences.add("moments", f"told {told['moments']}, found {len(analysis.moments)}")
    for move in told["settings"]:
        kind = move["kind"]
        stem = reference.find_stem(session, move["stem"])
        amount = move.get({"offset": "frames", "ceiling": "ceilingDb", "fader": "db"}.get(kind), 0)
        label = f"{kind} {amount} of '{move['stem']}'"
        cleared, new, left, peak, clipped, lobe = outcome(analysis, bus, stem, kind, amount)
        for field, found in (("cleared", cleared), ("new", new), ("left", left)):
            if move[field] != found:
                differences.add(label, f"{field} is told as {move[field]}, found {found}")
        differences.number(label, "peakAfterDb", move["peakAfterDb"], peak, 0.001)
        if kind == "ceiling":
            for field, found in (("clippedFrames", clipped), ("longestLobe", lobe)):
                if move[field] != found:
                    differences.add(label, f"{field} is told as {move[field]}, found {found}")
        if kind == "fader":
            y = session.y(stem, session.first, session.end)
            best = min(left_after(session, bus, y, reference.factor(-tenths / 10.0), line) for tenths in range(1, 31))
            if best != left:
                differences.add(label, f"another step leaves {best}, not {left}")
    return differences


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--moves", required=True, metavar="FILE", help="what `cairn stems --json` printed")
    reference.add_run_options(parser)
    options = parser.parse_args()
    try:
        with open(options.moves, encoding="utf-8") as stream:
            told = json.load(stream)
        session = reference.load_session(options)
        differences = compare(told, session, reference.load_settings(options, session))
    except reference.Unusable as unusable:
        print(f"cannot check: {unusable}", file=sys.stderr)
        return 2
    return differences.verdict(f"{len(told['settings'])} settings")


if __name__ == "__main__":
    sys.exit(main())
