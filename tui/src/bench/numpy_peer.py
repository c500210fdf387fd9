#!/usr/bin/env python3
"""A careful peer to measure against: sums 24-bit stereo WAVE stems in blocks, and keeps the peaks of
half-second windows of the bus and of every stem."""
import sys

import numpy as np

BLOCK = 24000
HEADER = 44


def main(paths):
    files = [open(path, "rb") for path in paths]
    for file in files:
        file.seek(HEADER)
    bus = np.empty((BLOCK, 2))
    wide = np.zeros((BLOCK * 2, 4), np.uint8)
    peaks = []
    while True:
        bus[:] = 0
        row = []
        length = 0
        for file in files:
            raw = np.frombuffer(file.read(BLOCK * 6), np.uint8)
            n = raw.size // 3
            if n == 0:
                continue
            length = max(length, n // 2)
            # The three bytes go into the upper ones of four, so that the sign is right.
            wide[:n, 1:] = raw[: n * 3].reshape(-1, 3)
            samples = wide[:n].view("<i4").reshape(-1, 2)
            row.append(max(int(samples.max()), -int(samples.min())))
            bus[: n // 2] += samples * 2.0**-31
        if length == 0:
            break
        peaks.append((np.abs(bus[:length]).max(), row))
    print(len(peaks), max(p for p, _ in peaks))


if __name__ == "__main__":
    main(sys.argv[1:])
