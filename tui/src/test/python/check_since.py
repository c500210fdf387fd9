#!/usr/bin/env python3
"""Checks `since` in the output of `cairn list NEW --since OLD --json`: definitions.md, 5, comparing passes.

    check_since.py --json list.json --old FOLDER --new FOLDER

The whole buses are in memory here: the shift is looked for over the whole song at once, and every level is read off an
array. Prints one line a difference and exits with 1, or `same: N moments, gone G, lower L, still S, new W, shift F` and
exits with 0. Levels may differ by 0.0001 dB, twice what their last printed decimal leaves open.
"""

import argparse
import json
import sys

import numpy as np

import cairn_reference as reference

DB_TOLERANCE = 1e-4
GAP_SECONDS = 0.035
LOWER_DB = 0.1


def common_shift(old, new, rate):
    """The lag within a second at which the differences of both buses are most alike, and how much so."""
    a, b = np.diff(old, prepend=0.0), np.diff(new, prepend=0.0)
    # Longer than both by a second: no lag that is looked at wraps around.
    size = 1 << (max(a.shape[1], b.shape[1]) + rate).bit_length()
    cross = np.fft.irfft(sum(np.conj(np.fft.rfft(x, size)) * np.fft.rfft(y, size) for x, y in zip(a, b)), size)
    lags = np.concatenate((cross[-rate:], cross[:rate + 1]))
    best = int(np.argmax(np.abs(lags)))
    return best - rate, abs(lags[best]) / np.sqrt(np.sum(a * a) * np.sum(b * b))


def expected(old_session, new_session):
    """(shift, line, average peaks then and now, [(frame, dB, state, got dB)], peak frames over the line now)."""
    rate = old_session.rate
    gap = reference.round_half_up(GAP_SECONDS * rate)
    old = reference.Analysis(old_session, reference.Settings(), alike=False)
    new = reference.Analysis(new_session, reference.Settings(), alike=False)
    shift, alike = common_shift(old_session.bus(0, old_session.end), new_session.bus(0, new_session.end), rate)
    if alike < 0.5:
        raise reference.Unusable(f"the buses are alike by {alike:.2f} only")
    line = old.line.t
    rows = []
    covered = np.zeros(len(new.p), dtype=bool)
    for moment in old.moments:
        first = max(0, moment.first_over - gap + shift)
        end = max(first, min(len(new.p), moment.last_over + gap + 1 + shift))
        covered[first:end] = True
        q = float(np.max(new.p[first:end])) if end > first else 0.0
        got = reference.db(moment.peak) - reference.db(q)
        state = "gone" if q <= line else "lower" if got >= LOWER_DB else "still"
        rows.append((moment.frame, reference.db(moment.peak), state, got))
    fresh, listed = [], []
    for over in reference.spans(np.flatnonzero(new.p > line), gap):
        frame = int(over[np.argmax(new.p[over])])
        listed.append(frame)
        if not covered[frame]:
            fresh.append((frame, reference.db(new.p[frame]), "new", None))
    rows += sorted(fresh, key=lambda row: (-row[1], row[0]))
    return shift, line, old.line.average_peak, new.line.average_peak, rows, listed


def differs(told, should):
    if told is None or should is None or not np.isfinite(should):
        return not (told is None and (should is None or not np.isfinite(should)))
    return abs(told - should) > DB_TOLERANCE


def compare(told, old_session, new_session):
    """The differences, one line each, and the line that says what was the same."""
    shift, line, then, now, rows, listed_now = expected(old_session, new_session)
    since = told["since"]
    lines = []
    if since["shiftFrames"] != shift:
        lines.append(f"shiftFrames is {since['shiftFrames']}, should be {shift}")
    for name, level, should in (("since.averagePeakDb", since["averagePeakDb"], then),
                                ("bus.averagePeakDb", told["bus"]["averagePeakDb"], now),
                                ("bus.lineDb", told["bus"]["lineDb"], line)):
        if differs(level, reference.db(should)):
            lines.append(f"{name} is {level}, should be {reference.db(should):.4f}")
    if len(since["moments"]) != len(rows):
        lines.append(f"{len(since['moments'])} moments, should be {len(rows)}")
    for moment, (frame, level, state, got) in zip(since["moments"], rows):
        if moment["frame"] != frame or moment["state"] != state:
            lines.append(f"{moment['state']} at {moment['frame']}, should be {state} at {frame}")
        elif differs(moment["levelDb"], level) or differs(moment["gotDb"], got) or moment["toldDb"] is not None:
            lines.append(f"at {frame}: {moment}, should be {level:.4f}, got {got}")
    listed = [m["frame"] for m in told["moments"]]
    if listed_now != sorted(listed):
        lines.append(f"listed are {sorted(listed)}, over the held line are {listed_now}")
    count = {state: sum(row[2] == state for row in rows) for state in ("gone", "lower", "still", "new")}
    words = ", ".join(f"{state} {number}" for state, number in count.items())
    return lines, f"same: {len(rows)} moments, {words}, shift {shift}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", required=True, metavar="FILE")
    parser.add_argument("--old", required=True, metavar="FOLDER")
    parser.add_argument("--new", required=True, metavar="FOLDER")
    options = parser.parse_args()
    with open(options.json, encoding="utf-8") as stream:
        told = json.load(stream)
    try:
        lines, same = compare(told, reference.load_folder(options.old), reference.load_folder(options.new))
    except reference.Unusable as unusable:
        print(f"cannot check: {unusable}", file=sys.stderr)
        return 2
    print("\n".join(lines) if lines else same)
    return 1 if lines else 0


if __name__ == "__main__":
    sys.exit(main())
