#!/usr/bin/env python3
"""Makes a set of stems to measure with: stereo, 24-bit WAVE, music-like noise and tones with
about a hundred moments at which several stems crest together. Deterministic.

  make_set.py FOLDER [--stems 32] [--seconds 240] [--rate 48000] [--moments 100] [--bump 2] [--sparse]

More than a few hundred moments are spread evenly, so that they do not run into each other.
--sparse writes files of silence that take no room on the disk, to measure memory with.
"""
import argparse
import os
import struct
import sys

import numpy as np


def header(channels, rate, frames):
    """A RIFF/WAVE header for 24-bit PCM; RF64 is not needed for these lengths."""
    block = channels * 3
    data = frames * block
    return (
        struct.pack("<4sI4s", b"RIFF", 36 + data, b"WAVE")
        + struct.pack("<4sIHHIIHH", b"fmt ", 16, 1, channels, rate, rate * block, block, 24)
        + struct.pack("<4sI", b"data", data)
    )


def packed(samples):
    """24-bit little-endian bytes of float samples in [-1, 1), shape (frames, channels)."""
    whole = np.floor(samples * 8388608.0 + 0.5).astype("<i4")
    return whole.reshape(-1, 1).view(np.uint8)[:, :3].tobytes()


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder")
    parser.add_argument("--stems", type=int, default=32)
    parser.add_argument("--seconds", type=int, default=240)
    parser.add_argument("--rate", type=int, default=48000)
    parser.add_argument("--moments", type=int, default=100)
    parser.add_argument("--bump", type=float, default=2.0)
    parser.add_argument("--sparse", action="store_true")
    wanted = parser.parse_args()
    os.makedirs(wanted.folder, exist_ok=True)
    rate = wanted.rate
    frames = rate * wanted.seconds
    random = np.random.default_rng(7)
    if wanted.moments > 300:
        even = np.linspace(rate, frames - rate, wanted.moments)
        bumps = (even + random.integers(-rate // 400, rate // 400, wanted.moments)).astype(int)
    else:
        bumps = random.integers(rate, frames - rate, wanted.moments)
    for k in range(wanted.stems):
        path = os.path.join(wanted.folder, f"{k + 1:03d} stem.wav")
        size = 44 + frames * 6
        if os.path.exists(path) and os.path.getsize(path) == size:
            continue
        with open(path, "wb") as out:
            out.write(header(2, rate, frames))
            if wanted.sparse:
                # One loud sample at the start, so that the bus is not silent.
                out.write(packed(np.full((1, 2), 0.5 / wanted.stems)))
                out.truncate(size)
                continue
            random = np.random.default_rng(1000 + k)
            second = np.arange(rate) / rate
            tone = np.sin(2 * np.pi * (40 + 37 * k) * second)
            gain = 0.1 / np.sqrt(wanted.stems)
            for s in range(wanted.seconds):
                loud = 1.0 if 60 <= s < 120 or 160 <= s < 220 else 0.6
                noise = random.standard_normal((rate, 2)) * 0.15
                part = gain * loud * (noise + 0.8 * tone[:, None])
                for n in bumps[(bumps >= s * rate) & (bumps < (s + 1) * rate)]:
                    if (n + k) % 4 == 0:
                        at = n - s * rate
                        part[at : at + 3] += wanted.bump / wanted.stems
                out.write(packed(np.clip(part, -1, 1 - 2**-23)))
        print(path, file=sys.stderr)


if __name__ == "__main__":
    main()
