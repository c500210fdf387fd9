#!/usr/bin/env python3
"""Checks what `cairn plan --true-peak --json` tells: carries the marks out itself, sums afresh and oversamples.

    check_true_peak.py --plan plan.json --stems FOLDER --taps truepeak-fir.csv [the options of the run]

Bus peak before, after each mark and after all of them, and the moments that are left over the line. The filter is that of
ITU-R BS.1770-5, Annex 2, read from its table; phases and instants are those of definitions.md, 1.

Prints one line a difference and exits with 1, or `same: N marks, largest difference X dB` and exits with 0.
"""

import argparse
import json
import sys

import numpy as np

import cairn_reference as reference
import cairn_reference_fixes as fixes
from check_list import Differences
from check_plan import places_of

REACH = 6


class LevelLine:
    """A line that is the same everywhere."""

    def __init__(self, level):
        self.level = level

    def t_on(self, first, end):
        return np.full(end - first, self.level)


class TruePeaks:
    """p of a what-if bus at all five instants of each frame."""

    def __init__(self, whatif, taps):
        self.whatif = whatif
        self.taps = taps
        self.p = np.zeros(whatif.end - whatif.first)
        self.take(whatif.first, whatif.end)

    def take(self, first, end):
        """Takes p on the frames that a change of [first, end) touches."""
        first, end = self.whatif.cut(first - REACH, end + REACH)
        for a in range(first, end, 1 << 18):
            b = min(end, a + (1 << 18))
            block = np.zeros((2, b - a + 2 * REACH))
            lo, hi = self.whatif.cut(a - REACH, b + REACH)
            block[:, lo - (a - REACH):hi - (a - REACH)] = self.whatif.sum(lo, hi)
            self.p[a - self.whatif.first:b - self.whatif.first] = self.levels(block)

    def levels(self, block):
        frames = block.shape[1] - 2 * REACH
        levels = np.max(np.abs(block[:, REACH:REACH + frames]), axis=0)
        for phase in range(4):
            newest = REACH + (6 if phase < 2 else 5)
            value = np.zeros((2, frames))
            for tap in range(12):
                value += self.taps[tap, phase] * block[:, newest - tap:newest - tap + frames]
            levels = np.maximum(levels, np.max(np.abs(value), axis=0))
        return levels

    def peak_db(self):
        return reference.db(float(np.max(self.p)))


def compare(told, session, taps):
    differences = Differences()
    differences.same("root", "mode", told["mode"], "true-peak")
    line = reference.factor(told["lineDb"])
    whatif = fixes.WhatIf(session, LevelLine(line))
    peaks = TruePeaks(whatif, taps)
    differences.levels("plan", "peakBeforeDb", told["peakBeforeDb"], peaks.peak_db())
    for number, mark in enumerate(told["marks"], 1):
        for fix, _ in places_of(session, mark):
            peaks.take(*whatif.apply(fix))
        differences.levels(f"mark {number}", "peakAfterDb", mark["peakAfterDb"], peaks.peak_db())
    differences.levels("plan", "peakAfterDb", told["peakAfterDb"], peaks.peak_db())
    # The line is told with four decimals.
    for name, at in ("over", line * reference.factor(0.0001)), ("under", line * reference.factor(-0.0001)):
        over = whatif.first + np.flatnonzero(peaks.p > at)
        runs = reference.spans(over, reference.gap_frames(session.rate))
        frames = [int(run[np.argmax(peaks.p[run - whatif.first])]) for run in runs]
        open_frames = [o["moment"] for o in told["open"]]
        if name == "over" and not set(frames) <= set(open_frames):
            differences.add("plan", f"open is {open_frames}, should hold {frames}")
        if name == "under" and not len(open_frames) <= len(frames):
            differences.add("plan", f"open is {open_frames}, should be of {frames}")
    return differences


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--plan", required=True, metavar="FILE", help="what `cairn plan --true-peak --json` printed")
    parser.add_argument("--taps", required=True, metavar="FILE", help="the coefficients: a row a tap, a column a phase")
    reference.add_run_options(parser)
    options = parser.parse_args()
    with open(options.plan, encoding="utf-8") as stream:
        told = json.load(stream)
    taps = np.loadtxt(options.taps, delimiter=",", skiprows=1)[:, 1:]
    if taps.shape != (12, 4):
        print(f"cannot check: {options.taps} is not a table of 12 taps and 4 phases", file=sys.stderr)
        return 2
    try:
        differences = compare(told, reference.load_session(options), taps)
    except reference.Unusable as unusable:
        print(f"cannot check: {unusable}", file=sys.stderr)
        return 2
    return differences.verdict(f"{len(told['marks'])} marks")


if __name__ == "__main__":
    sys.exit(main())
