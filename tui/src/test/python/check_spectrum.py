#!/usr/bin/env python3
"""Checks `cairn compare --json` and `cairn check --print --json` against numpy, from the definitions alone.

    check_spectrum.py --compare compare.json --stems FOLDER --other FILE
    check_spectrum.py --make-print mix.wav --lag FRAMES --stems FOLDER
    check_spectrum.py --check check.json --stems FOLDER --other mix.wav

Bands follow definitions.md, 7, and IEC 61260-1:2014, base ten; the offset is the largest absolute value of the whole
cross-correlation, taken at once over the full length. Prints `same: ...` and exits with 0, or the differences and 1.
"""

import argparse
import json
import struct
import sys

import numpy as np

import cairn_reference as reference

BAND_TOLERANCE_DB = 0.001


def long_term(x, rate):
    """Power in 30 third-octave bands of x[2][frames], mean of both channels."""
    size = 65536 if rate <= 48000 else 131072 if rate <= 96000 else 262144
    n = np.arange(size)
    window = 0.5 - 0.5 * np.cos(2 * np.pi * n / size)
    starts = list(range(0, x.shape[1] - size + 1, size // 2))
    if not starts:
        x = np.pad(x, ((0, 0), (0, size - x.shape[1])))
        starts = [0]
    total = np.zeros(size // 2 + 1)
    windows = 0
    for start in starts:
        part = x[:, start:start + size]
        if np.max(np.abs(part)) > 10 ** (-70 / 20):
            total += np.sum(np.abs(np.fft.rfft(part * window, axis=1)) ** 2, axis=0) / 2
            windows += 1
    power = 2 * total / (windows * size * np.sum(window ** 2))
    power[0] /= 2
    power[-1] /= 2
    # Cumulative power up to a frequency: bin k spreads evenly over [k - 1/2, k + 1/2].
    below = np.concatenate(([0.0], np.cumsum(power)))
    edges_in_bins = np.arange(len(below)) - 0.5
    bin_hz = rate / size
    bands = []
    for index in range(-16, 14):
        low, high = (1000 * 10 ** (index / 10 + s / 20) / bin_hz for s in (-1, 1))
        bands.append(np.interp(high, edges_in_bins, below) - np.interp(low, edges_in_bins, below))
    return np.array(bands)


def stereo(path):
    audio = reference.decode(path)
    x = audio.samples.astype(np.float64)
    return (np.vstack((x, x)) if x.shape[0] == 1 else x), audio.rate


def check_compare(told, bus, rate, other, other_rate):
    here, there = long_term(bus, rate), long_term(other, other_rate)
    lines, largest = [], 0.0
    for band, row in enumerate(told["bands"]):
        for field, expected in (("hereDb", here[band]), ("thereDb", there[band] * 10 ** (told["gainDb"] / 10))):
            expected_db = 10 * np.log10(expected)
            difference = abs(row[field] - expected_db)
            if expected_db < -180:
                continue  # rounding dust: each transform has its own
            largest = max(largest, difference)
            if not difference <= BAND_TOLERANCE_DB:
                lines.append(f"{row['nominalHz']} Hz: {field} is {row[field]}, should be {expected_db:.4f}")
    return lines, f"{len(told['bands'])} bands, largest difference {largest:.5f} dB"


def check_offset(told, bus, other):
    size = 1 << (bus.shape[1] + other.shape[1] - 1).bit_length()
    product = sum(np.fft.rfft(o, size) * np.conj(np.fft.rfft(b, size)) for o, b in zip(other, bus))
    correlation = np.fft.irfft(product, size)
    at = int(np.argmax(np.abs(correlation)))
    lag = at - size if at > size // 2 else at
    lines = []
    if told["lagFrames"] != lag:
        lines.append(f"lagFrames is {told['lagFrames']}, should be {lag}")
    first, end = max(0, -lag), min(bus.shape[1], other.shape[1] - lag)
    b, o = bus[:, first:end], other[:, first + lag:end + lag]
    gain = np.sum(b * o) / np.sum(b * b)
    gain_db = 20 * np.log10(abs(gain))
    residual_db = 10 * np.log10(np.sum((o - gain * b) ** 2) / np.sum(o * o))
    if not abs(told["gainDb"] - gain_db) <= 0.001 or told["reversed"] != bool(gain < 0):
        lines.append(f"gainDb is {told['gainDb']} ({told['reversed']}), should be {gain_db:.4f} ({gain < 0})")
    if not abs(told["residualDb"] - residual_db) <= 0.01:
        lines.append(f"residualDb is {told['residualDb']}, should be {residual_db:.4f}")
    return lines, f"1 offset, {lag} samples, residual {residual_db:.2f} dB"


def make_print(path, bus, rate, lag):
    """Later by lag, 2 dB softer, upside down, with noise 40 dB under it; 32-bit float WAVE."""
    mix = np.zeros((2, bus.shape[1] + max(0, lag)))
    shifted = bus if lag >= 0 else bus[:, -lag:]
    start = max(0, lag)
    mix[:, start:start + shifted.shape[1]] = -(10 ** (-2 / 20)) * shifted
    noise = np.random.default_rng(5).standard_normal(mix.shape)
    mix += noise * 0.01 * np.sqrt(np.mean(mix ** 2) / np.mean(noise ** 2))
    data = mix.T.astype("<f4").tobytes()
    head = struct.pack("<HHIIHH", 3, 2, rate, rate * 8, 8, 32)
    with open(path, "wb") as out:
        out.write(b"RIFF" + struct.pack("<I", 36 + len(data)) + b"WAVE")
        out.write(b"fmt " + struct.pack("<I", 16) + head + b"data" + struct.pack("<I", len(data)) + data)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--compare")
    parser.add_argument("--check")
    parser.add_argument("--make-print")
    parser.add_argument("--lag", type=int, default=0)
    parser.add_argument("--stems", required=True)
    parser.add_argument("--other")
    options = parser.parse_args()
    session = reference.load_folder(options.stems)
    bus = session.bus(0, session.full_length())
    if options.make_print:
        make_print(options.make_print, bus, session.rate, options.lag)
        print("made: 1 mix")
        return 0
    other, other_rate = stereo(options.other)
    if options.compare:
        with open(options.compare, encoding="utf-8") as stream:
            lines, summary = check_compare(json.load(stream), bus, session.rate, other, other_rate)
    else:
        with open(options.check, encoding="utf-8") as stream:
            lines, summary = check_offset(json.load(stream)["print"], bus, other)
    for line in lines:
        print(line)
    if not lines:
        print("same: " + summary)
    return 1 if lines else 0


if __name__ == "__main__":
    sys.exit(main())
