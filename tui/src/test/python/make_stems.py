#!/usr/bin/env python3
"""Writes seeded random stems for tests: the same seed and kind give the same files, byte for byte.

    make_stems.py --seed S --to FOLDER [--kind KIND]

Kinds (without one, the seed picks): see KINDS. All are a few stems of a parade band that never was. Peaks may be loud:
these files are for programs, not for ears.
"""

import argparse
import os
import struct
import sys

import numpy as np

CODINGS = ("u8", "i16", "i24", "i32", "f32", "f64")


def wave_bytes(samples, rate, coding, extensible=False):
    """A WAVE file of `samples[channels][frames]`; integers are rounded and held within their range."""
    channels = samples.shape[0]
    flat = np.ascontiguousarray(samples.T).reshape(-1)
    bits = {"u8": 8, "i16": 16, "i24": 24, "i32": 32, "f32": 32, "f64": 64}[coding]
    if coding in ("f32", "f64"):
        data = flat.astype("<f4" if coding == "f32" else "<f8").tobytes()
    else:
        full = 2.0 ** (bits - 1)
        whole = np.clip(np.floor(flat * full + 0.5), -full, full - 1.0).astype(np.int64)
        if coding == "u8":
            data = (whole + 128).astype(np.uint8).tobytes()
        elif coding == "i24":
            data = whole.astype("<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
        else:
            data = whole.astype("<i2" if coding == "i16" else "<i4").tobytes()
    tag = 3 if coding[0] == "f" else 1
    block = channels * bits // 8
    layout = struct.pack("<HHIIHH", 0xFFFE if extensible else tag, channels, rate, rate * block, block, bits)
    if extensible:
        guid = struct.pack("<H", tag) + bytes.fromhex("000000001000800000aa00389b71")
        layout += struct.pack("<HHI", 22, bits, 3 if channels == 2 else 4) + guid
    chunks = b"fmt " + struct.pack("<I", len(layout)) + layout
    chunks += b"data" + struct.pack("<I", len(data)) + data + b"\0" * (len(data) & 1)
    return b"RIFF" + struct.pack("<I", 4 + len(chunks)) + b"WAVE" + chunks


class Band:
    """Draws voices of one song from one random generator. All return float64[frames]."""

    def __init__(self, generator, rate, seconds):
        self.random = generator
        self.rate = rate
        self.frames = int(round(seconds * rate))

    def tone(self, hertz, amplitude):
        phase = self.random.uniform(0.0, 2.0 * np.pi)
        return amplitude * np.sin(2.0 * np.pi * hertz * np.arange(self.frames) / self.rate + phase)

    def hits(self, period_seconds, amplitude, hertz, decay_seconds, jitter_seconds=0.0, spread=0.3):
        """Struck, decaying sounds on a grid, with loose timing and uneven strength."""
        out = np.zeros(self.frames)
        length = int(6 * decay_seconds * self.rate)
        t = np.arange(length) / self.rate
        start = 0.1
        while start * self.rate < self.frames:
            frame = max(0, int((start + self.random.normal(0.0, 1.0) * jitter_seconds) * self.rate))
            strength = amplitude * (1.0 + spread * self.random.uniform(-1.0, 1.0))
            shape = np.exp(-t / decay_seconds) * np.sin(2.0 * np.pi * hertz * t + self.random.uniform(0.0, 0.6))
            shape[:4] *= np.array([0.25, 0.5, 0.75, 1.0])[:len(shape)]
            end = min(self.frames, frame + length)
            if end > frame:
                out[frame:end] += strength * shape[:end - frame]
            start += period_seconds
        return out

    def clicks(self, period_frames, amplitude):
        out = np.zeros(self.frames)
        out[::period_frames] = amplitude
        return out

    def noise(self, amplitude):
        return amplitude * self.random.uniform(-1.0, 1.0, self.frames)

    def sub(self, amplitude, note_seconds=1.0):
        """A bass of 30, 40 and 60 Hz, one note at a time, with short fades."""
        out = np.zeros(self.frames)
        length = int(note_seconds * self.rate)
        fade = np.minimum(1.0, np.minimum(np.arange(length), np.arange(length)[::-1]) / (0.02 * self.rate))
        for start in range(0, self.frames, length):
            hertz = (30.0, 40.0, 60.0)[int(self.random.integers(3))]
            strength = amplitude * self.random.uniform(0.7, 1.0)
            note = strength * fade * np.sin(2.0 * np.pi * hertz * np.arange(length) / self.rate)
            end = min(self.frames, start + length)
            out[start:end] = note[:end - start]
        return out

    def envelope(self):
        """A song's slow rise and fall, one straight line a section."""
        points = int(self.random.integers(3, 7))
        gains = self.random.uniform(0.25, 1.0, points)
        return np.interp(np.arange(self.frames), np.linspace(0, self.frames, points), gains)

    def stereo(self, voice):
        side = self.random.uniform(0.3, 1.0)
        late = int(self.random.integers(0, 30))
        right = np.concatenate((np.zeros(late), voice[:len(voice) - late])) * side
        return np.stack((voice, right) if self.random.random() < 0.5 else (right, voice))


def percussion(band):
    """Struck drums of mixed width over held tones and a little noise."""
    stems = {
        "01 surdo": band.hits(0.5, 0.45, 62.0, 0.09, 0.002),
        "02 caixa": band.hits(0.25, 0.3, 190.0, 0.02, 0.003, 0.5),
        "03 tamborim": band.hits(0.25, 0.25, 1700.0, 0.004, 0.004, 0.6),
        "04 brass": band.tone(233.0, 0.08) + band.tone(349.0, 0.06),
        "05 crowd": band.noise(0.02),
    }
    shape = band.envelope()
    return {name: band.stereo(v * shape) if i % 2 else v[None, :] * shape
            for i, (name, v) in enumerate(stems.items())}


def clicks(band):
    """Single-frame impulses whose periods share multiples, over silence: many exact ties."""
    step = int(band.random.integers(band.rate // 20, band.rate // 8))
    return {f"{i + 1:02d} stick {i + 1}": band.clicks(step * multiple, 0.25)[None, :]
            for i, multiple in enumerate((4, 6, 10))}


def subs(band):
    """30, 40 and 60 Hz one note at a time under a kick: long and sustained moments."""
    return {"01 low": band.sub(0.4)[None, :], "02 kick": band.hits(0.5, 0.4, 55.0, 0.12)[None, :],
            "03 bass": band.stereo(band.sub(0.2, 0.25))}


def twins(band):
    """The same pattern again and again, so that many moments are alike, and a near copy of one stem beside it."""
    hit = band.hits(0.5, 0.4, 80.0, 0.05, 0.0, 0.0)
    layer = 0.5 * np.concatenate((np.zeros(9), hit[:-9])) + band.noise(0.004)
    return {"01 drum": hit[None, :], "02 drum layer": layer[None, :], "03 claps": band.hits(1.0, 0.3, 900.0, 0.008,
            0.001)[None, :], "04 pad": band.stereo(band.tone(110.0, 0.1))}


def dull(x, rate, poles):
    """x through poles at 4 kHz, one after another."""
    keep = np.exp(-2.0 * np.pi * 4000.0 / rate)
    for _ in range(poles):
        last = 0.0
        y = np.empty_like(x)
        for n, value in enumerate(x):
            last = keep * last + (1.0 - keep) * value
            y[n] = last
        x = y
    return x


def returns(band):
    """A struck sound and its dull return, which has a hiss of its own on top: they share their lower octaves alone."""
    envelope = np.zeros(band.frames)
    t = np.arange(int(0.08 * band.rate)) / band.rate
    for start in range(band.rate // 10, band.frames - len(t), band.rate // 2):
        envelope[start:start + len(t)] += np.exp(-t / 0.0125)
    dry = dull(band.noise(0.7) * envelope, band.rate, 1)
    hiss = band.noise(0.35) * envelope
    back = 2.0 * dull(dry, band.rate, 3) + hiss - dull(hiss, band.rate, 3)
    return {"01 caixa": dry[None, :], "02 caixa return": band.stereo(back),
            "03 claps": band.hits(0.5, 0.3, 900.0, 0.008, 0.0004)[None, :], "04 pad": band.stereo(band.tone(110.0, 0.05))}


def hot(band):
    """Float stems whose own peaks pass 1.0."""
    return {"01 drums": 3.0 * percussion(band)["01 surdo"], "02 low": band.sub(1.3)[None, :],
            "03 horns": band.stereo(band.tone(440.0, 0.3) + band.hits(0.75, 1.1, 300.0, 0.01))}


def odd(band):
    """Silence, a stem of one frame, stems of unequal length."""
    base = percussion(band)
    names = list(base)
    cut = {name: base[name][:, :max(1, int(band.frames * band.random.uniform(0.4, 1.0)))] for name in names[1:]}
    cut[names[0]] = base[names[0]]
    cut["06 nothing"] = np.zeros((1, band.frames // 2))
    cut["07 one sample"] = np.full((1, 1), 0.5)
    return cut


def pairs(band):
    """Two mono files for left and right, beside plain stems; folders as groups."""
    base = percussion(band)
    wide = band.stereo(band.hits(0.5, 0.3, 500.0, 0.01))
    return {"drums/01 surdo": base["01 surdo"], "drums/02 caixa": base["02 caixa"], "brass/04 brass L": wide[:1],
            "brass/04 brass R": wide[1:], "brass/05 tuba.L": base["04 brass"][:1], "crowd": base["05 crowd"]}


KINDS = {
    "percussion": (percussion, (8.0, 20.0)),
    "long": (percussion, (60.0, 70.0)),
    "clicks": (clicks, (4.0, 12.0)),
    "subs": (subs, (8.0, 16.0)),
    "twins": (twins, (6.0, 14.0)),
    "hot": (hot, (6.0, 12.0)),
    "odd": (odd, (6.0, 12.0)),
    "pairs": (pairs, (6.0, 12.0)),
    "returns": (returns, (6.0, 8.0)),
}


def write(seed, folder, kind=None, rate=None, seconds=None):
    """Writes the stems and returns (kind, rate, paths)."""
    generator = np.random.default_rng(seed)
    kind = kind or list(KINDS)[int(generator.integers(len(KINDS)))]
    make, (shortest, longest) = KINDS[kind]
    rate = rate or (44100, 48000, 96000)[int(generator.integers(3))]
    seconds = seconds or float(generator.uniform(shortest, longest))
    paths = []
    for name, samples in make(Band(generator, rate, seconds)).items():
        coding = ("f32", "f64")[int(generator.integers(2))] if kind == "hot" else (
            CODINGS[int(generator.integers(len(CODINGS)))])
        path = os.path.join(folder, name + ".wav")
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "xb") as stream:
            stream.write(wave_bytes(samples, rate, coding, bool(generator.integers(2))))
        paths.append(path)
    return kind, rate, paths


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--to", required=True, metavar="FOLDER", help="made if absent; no file there is overwritten")
    parser.add_argument("--kind", choices=list(KINDS))
    parser.add_argument("--rate", type=int, help="Hz; without it the seed picks 44100, 48000 or 96000")
    parser.add_argument("--seconds", type=float, help="length; without it the seed picks one that suits the kind")
    options = parser.parse_args()
    kind, rate, paths = write(options.seed, options.to, options.kind, options.rate, options.seconds)
    print(f"{len(paths)} stems of kind {kind} at {rate} Hz, seed {options.seed}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
