"""Sections 4 and 5 of definitions.md by brute force: hits, fixes, what-if, ladder, plan.

Goes with cairn_reference.py (see there for shapes and what is left out; tone cost is left out too, so no fix is dear
here). Every least fix is found by trying all amounts from the gentlest on, each time summing the bus afresh in stem
order over the affected range.
"""

import bisect
import math

import numpy as np

import cairn_reference as reference
from cairn_reference import db, factor, frames_of_ms, round_half_up

CLEARED, PARTIAL, REFUSED, NO_FIX = "cleared", "partial", "refused", "no fix"


# --------------------------------------------------------------------------------------------------------------------
# Section 4: hit and weight


class Hit:
    """[start, end) of the event in one stem; sustained where either rest is above a tenth of its highest cell."""

    def __init__(self, start, end, sustained):
        self.start = start
        self.end = end
        self.sustained = sustained


def rest_cells(nudge_limit_ms):
    """S: how many successive cells make a rest."""
    return 2 * int(math.ceil(nudge_limit_ms)) + 2


def hit_of(session, stem, frame, nudge_limit_ms=3.0):
    """The stem's hit at a peak frame, from the stem as it is without marks."""
    width = round_half_up(0.001 * session.rate)
    count = rest_cells(nudge_limit_ms)
    lowest_cell, end_cell = -100, 500 + count
    block = session.y(stem, frame + lowest_cell * width, frame + end_cell * width, marks_aside=True)
    cells = reference.level(block).reshape(-1, width).max(axis=1)

    def cell(i):
        return float(cells[i - lowest_cell])

    def rest(first):
        return max(cell(i) for i in range(first, first + count))

    def middle(first):
        return frame + first * width + (count * width) // 2

    highest = max(cell(i) for i in range(-10, 10))
    before = range(-count, -101, -1)
    after = range(1, 501)
    ends = []
    sustained = False
    for candidates in (before, after):
        quiet = next((r for r in candidates if rest(r) <= highest / 10.0), None)
        if quiet is None:
            sustained = True
            quiet = min(candidates, key=rest)
        ends.append(middle(quiet))
    return Hit(ends[0], ends[1], sustained)


def ramp_frames(rate):
    """F: 2 ms, an even number of frames."""
    return 2 * round_half_up(0.001 * rate)


def weight(first, end, start, stop, ramp):
    """w on [first, end) for the hit [start, stop)."""
    n = np.arange(first, end)
    u = np.minimum((n + 0.5 - start) / ramp, (stop - n - 0.5) / ramp) + 0.5
    return 0.5 - 0.5 * np.cos(np.pi * np.clip(u, 0.0, 1.0))


def combs_with(session, stem, others, start, end):
    """Names of the stems among `others` that carry the same sound over the hit, with the figure of each.

    The same as a whole from 0.6 on; from 0.25 on also where an octave band that is long enough to tell reaches 0.9.
    """
    lags = frames_of_ms(5, session.rate)
    x = session.y(stem, start, end, marks_aside=True)
    found = []
    for other in others:
        y = session.y(other, start - lags, end + lags, marks_aside=True)
        value, _ = reference.correlation(x, y, lags)
        if 0.25 <= value < 0.6:
            value = max([v for v in band_correlations(x, y, lags, session.rate) if v >= 0.9], default=value)
        if value >= 0.6:
            found.append((other.name, value))
    return found


OCTAVES = 1000.0 * 10.0 ** (0.3 * np.arange(-4, 5))
OCTAVE_EDGE = 10.0 ** 0.15


def band_correlations(x, y, lags, rate):
    """Correlations in the octave bands of x within 10 dB of its strongest that hold 16 free values or more: twice the
    width of the band for three times (sum e)^2 / sum e^2 frames, e the energies of its frames.

    The bands are cut from the spectrum with straight edges, x with silence about it, y as it is beside the hit; then
    both are cut to the frames compared.
    """
    frames = x.shape[1]
    size = 1 << int(math.ceil(math.log2(2 * (frames + 2 * lags))))
    padded = np.zeros((2, frames + 2 * lags))
    padded[:, lags:lags + frames] = x
    of_x, of_y = np.fft.rfft(padded, size), np.fft.rfft(y, size)
    hertz = np.arange(size // 2 + 1) * rate / size
    inside = [(hertz >= mid / OCTAVE_EDGE) & (hertz < mid * OCTAVE_EDGE) & (hertz > 0) for mid in OCTAVES]
    powers = [float(np.sum(np.abs(of_x[:, band]) ** 2)) for band in inside]
    values = []
    for mid, band, power in zip(OCTAVES, inside, powers):
        if power <= 0.0 or power < 0.1 * max(powers):
            continue
        a = np.fft.irfft(np.where(band, of_x, 0.0), size)[:, lags:lags + frames]
        energies = np.sum(a * a, axis=0)
        spread = 3.0 * np.sum(energies) ** 2 / np.sum(energies ** 2)
        if 2.0 * (OCTAVE_EDGE - 1.0 / OCTAVE_EDGE) * mid * spread < 16.0 * rate:
            continue
        b = np.fft.irfft(np.where(band, of_y, 0.0), size)[:, :frames + 2 * lags]
        values.append(reference.correlation(a, b, lags)[0])
    return values


DEAR_OVER_DB = 0.5


def octave_powers(x, rate):
    """Power of x[2][frames] through one Hann window in the octave bands 63 Hz to 16 kHz, IEC 61260-1, base ten."""
    frames = x.shape[1]
    window = 0.5 - 0.5 * np.cos(2.0 * np.pi * np.arange(frames) / frames)
    size = 1 << int(math.ceil(math.log2(max(8 * frames, rate))))
    power = np.sum(np.abs(np.fft.rfft(x * window, size)) ** 2, axis=0)
    hertz = np.arange(len(power)) * rate / size
    return np.array([np.sum(power[(hertz >= mid / OCTAVE_EDGE) & (hertz < mid * OCTAVE_EDGE)]) for mid in OCTAVES])


def tone_cost(whatif, fix):
    """The largest change in dB of an octave band within 30 dB of the strongest, over R and 20 ms on either side."""
    first, end, changed, _, _ = whatif.affected(fix)
    if end <= first:
        return 0.0
    beside = max(1, whatif.session.rate // 50)
    before = whatif.sum(first - beside, end + beside)
    after = before.copy()
    after[:, beside:beside + end - first] += changed - whatif.stem_on(fix.stem.index, first, end)
    old, new = octave_powers(before, whatif.session.rate), octave_powers(after, whatif.session.rate)
    near = (old > 0) & (old >= old.max() * 1e-3)
    with np.errstate(divide="ignore"):
        return float(np.max(np.abs(10.0 * np.log10(new[near] / old[near])), initial=0.0))


# --------------------------------------------------------------------------------------------------------------------
# Section 4: fixes


class Fix:
    """One fix at one place. `amount`: frames (nudge), dB taken off (trim), ceiling in dBFS (clip).

    [start, end) is the hit as used, or the span for a clip.
    """

    def __init__(self, kind, stem, amount, start, end):
        self.kind = kind
        self.stem = stem
        self.amount = amount
        self.start = start
        self.end = end


class Outcome:
    def __init__(self, state, left):
        self.state = state
        self.left = left


class Found:
    """A fix that a search found, with what it leaves; `lobe` and `clipped` in frames, for a clip."""

    def __init__(self, fix, outcome, lobe=0, clipped=0):
        self.fix = fix
        self.cleared = outcome.state == CLEARED
        self.left = outcome.left
        self.lobe = lobe
        self.clipped = clipped


def lobes_of(y, ceiling, start, end):
    """(channel, sign, first, end) of each whole stretch beyond the ceiling with a frame in [start, end)."""
    lobes = []
    for channel in range(2):
        for sign in (1.0, -1.0):
            beyond = sign * y[channel] > ceiling
            n = start
            while n < end:
                if not beyond[n]:
                    n += 1
                    continue
                first = last = n
                while first > 0 and beyond[first - 1]:
                    first -= 1
                while last < len(beyond) and beyond[last]:
                    last += 1
                lobes.append((channel, sign, first, last))
                n = last
    return lobes


class WhatIf:
    """The what-if bus at a held line: y_k of every stem as the marks so far left it, and p.

    All frames given and returned are session frames. Only stems with marks are kept whole.
    """

    def __init__(self, session, line):
        self.session = session
        self.line = line
        self.first, self.end = session.first, session.end
        self.y = {}
        self.t = line.t_on(self.first, self.end)
        self.gap = reference.gap_frames(session.rate)
        self.kept_blocks = None
        self.p = np.empty(session.length)
        self.sum_again(self.first, self.end)

    def stem_on(self, index, first, end):
        """y of a stem on [first, end) as marks left it, silence outside the session."""
        if index not in self.y:
            return self.session.y(self.session.stems[index], first, end)
        out = np.zeros((2, end - first))
        lo, hi = max(first, self.first), min(end, self.end)
        if hi > lo:
            out[:, lo - first:hi - first] = self.y[index][:, lo - self.first:hi - self.first]
        return out

    def sum(self, first, end, swapped=None, block=None):
        """The bus on [first, end) in stem order, with the block of one stem swapped."""
        if self.kept_blocks is None or self.kept_blocks[0] != (first, end):
            blocks = [self.stem_on(s.index, first, end) for s in self.session.stems]
            self.kept_blocks = (first, end), blocks
        total = np.zeros((2, end - first))
        for index, y in enumerate(self.kept_blocks[1]):
            total += block if index == swapped else y
        return total

    def sum_again(self, first, end):
        """Takes p on [first, end) anew, a second at a time."""
        for a in range(first, end, self.session.rate):
            b = min(end, a + self.session.rate)
            self.p[a - self.first:b - self.first] = reference.level(self.sum(a, b))

    def set_stem(self, index, first, end, changed):
        """Puts a changed block into a stem."""
        if index not in self.y:
            self.y[index] = self.session.y(self.session.stems[index], self.first, self.end)
        self.y[index][:, first - self.first:end - self.first] = changed
        self.kept_blocks = None

    def cut(self, first, end):
        """No range reaches outside 0..N-1."""
        return max(first, self.first), min(end, self.end)

    def affected(self, fix):
        """(first, end, y') on the affected range R, cut to the session; and for a clip lobes and frames clipped."""
        if fix.kind == "clip":
            return self.clipped(fix)
        ramp = ramp_frames(self.session.rate)
        first, end = self.cut(fix.start - ramp // 2, fix.end + ramp // 2)
        y = self.stem_on(fix.stem.index, first, end)
        w = weight(first, end, fix.start, fix.end, ramp)
        if fix.kind == "nudge":
            moved = self.stem_on(fix.stem.index, first - fix.amount, end - fix.amount)
            changed = y + w * (moved - y)
        else:
            changed = y * (1.0 - w * (1.0 - 10.0 ** (-fix.amount / 20.0)))
        return first, end, changed, 0, 0

    def clipped(self, fix):
        """Every lobe with a frame in the span set to the ceiling, from its start to its end."""
        reach = self.session.rate // 10
        while True:
            block_first, block_end = self.cut(fix.start - reach, fix.end + reach)
            y = self.stem_on(fix.stem.index, block_first, block_end)
            lobes = lobes_of(y, factor(fix.amount), fix.start - block_first, fix.end - block_first)
            whole = all((start > 0 or block_first == self.first) and (end < y.shape[1] or block_end == self.end)
                        for _, _, start, end in lobes)
            if whole:
                break
            reach *= 4
        first = min([fix.start - block_first] + [lobe[2] for lobe in lobes])
        end = max([fix.end - block_first] + [lobe[3] for lobe in lobes])
        changed = y[:, first:end].copy()
        touched = np.zeros(end - first, dtype=bool)
        for channel, sign, lo, hi in lobes:
            changed[channel, lo - first:hi - first] = sign * factor(fix.amount)
            touched[lo - first:hi - first] = True
        longest = max((hi - lo for _, _, lo, hi in lobes), default=0)
        return first + block_first, end + block_first, changed, longest, int(np.sum(touched))

    def neighbourhood(self, moment):
        """The span and G frames on either side, as [first, end)."""
        return self.cut(moment.first_over - self.gap, moment.last_over + 1 + self.gap)

    def judge(self, fix, moment):
        """What the fix would do at the moment: Outcome, longest lobe, frames clipped."""
        first, end, changed, lobe, clipped = self.affected(fix)
        a, b = first - self.first, end - self.first
        p_new = reference.level(self.sum(first, end, fix.stem.index, changed))
        for n in np.flatnonzero(p_new > self.t[a:b]):
            frame = int(n) + a
            if p_new[n] > np.max(self.p[max(0, frame - self.gap):frame + self.gap + 1]):
                return Outcome(REFUSED, None), lobe, clipped
        lo, hi = self.neighbourhood(moment)
        near = self.p[lo - self.first:hi - self.first].copy()
        x, z = max(lo, first), min(hi, end)
        if z > x:
            near[x - lo:z - lo] = p_new[x - first:z - first]
        left = float(np.max(near))
        if not np.any(near > self.t[lo - self.first:hi - self.first]):
            return Outcome(CLEARED, left), lobe, clipped
        return Outcome(PARTIAL if left < moment.peak else NO_FIX, left), lobe, clipped

    def apply(self, fix):
        """Applies the fix to its stem as it stands; returns the affected range [first, end)."""
        first, end, changed, _, _ = self.affected(fix)
        self.set_stem(fix.stem.index, first, end, changed)
        self.sum_again(first, end)
        return first, end

    def rebuild(self, fixes):
        """Starts from the stems without marks and applies these in order."""
        self.y = {}
        self.kept_blocks = None
        for fix in fixes:
            first, end, changed, _, _ = self.affected(fix)
            self.set_stem(fix.stem.index, first, end, changed)
        self.sum_again(self.first, self.end)

    def moments(self):
        """What-if moments over the held line, with contributions as the stems now stand."""
        self.session.altered = self.y
        try:
            return reference.find_moments(self.session, self.line, self.p, self.first)
        finally:
            self.session.altered = {}

    def peak(self):
        return float(np.max(self.p))

    def holds_over(self, first, end):
        """Whether a frame of [first, end) is over."""
        a, b = first - self.first, end - self.first
        return bool(np.any(self.p[a:b] > self.t[a:b]))


# --------------------------------------------------------------------------------------------------------------------
# Section 4: least fixes


def may_nudge(whatif, stem, hit, d):
    """Sound is not pushed out of the file."""
    half = ramp_frames(whatif.session.rate) // 2
    first = max(whatif.first, stem.offset)
    last = min(whatif.end, stem.end_on_bus) - 1
    if d < 0 and hit.start - half < first:
        return not np.any(whatif.stem_on(stem.index, first, first - d))
    if d > 0 and hit.end + half > last:
        return not np.any(whatif.stem_on(stem.index, last + 1 - d, last + 1))
    return True


def nudge_amounts(limit):
    """Gentlest first: by |d|, of two the later one."""
    return [d for size in range(1, limit + 1) for d in (size, -size)]


def trim_amounts(most_db=24.0):
    return [i / 10.0 for i in range(1, int(round(10 * most_db)) + 1)]


def clip_amounts(whatif, moment, stem):
    """Whole tenths of a dBFS under the largest sample in the span by at most 24 dB, the highest first."""
    largest = float(np.max(np.abs(whatif.stem_on(stem.index, moment.first_over, moment.last_over + 1))))
    if largest == 0.0:
        return []
    tenths = int(math.floor(10.0 * db(largest))) + 1
    while not factor(tenths / 10.0) < largest:
        tenths -= 1
    ceilings = []
    while tenths / 10.0 >= db(largest) - 24.0:
        ceilings.append(tenths / 10.0)
        tenths -= 1
    return ceilings


def fix_of(kind, stem, moment, hit, amount):
    """The fix with its settled geometry."""
    if kind == "nudge":
        return Fix(kind, stem, amount, hit.start, hit.end)
    if kind == "trim":
        return Fix(kind, stem, amount, min(hit.start, moment.first_over), max(hit.end, moment.last_over + 1))
    return Fix(kind, stem, amount, moment.first_over, moment.last_over + 1)


def least_fix(whatif, moment, stem, kind, hit, amounts, longest_lobe=None):
    """The first amount that clears; else the partial one that leaves the lowest peak (the gentler on a tie); or None.

    The searches for trim and clip end at the first amount refused; `longest_lobe` ends a search for a clip too.
    """
    best = None
    for amount in amounts:
        if kind == "nudge" and not may_nudge(whatif, stem, hit, amount):
            continue
        fix = fix_of(kind, stem, moment, hit, amount)
        outcome, lobe, clipped = whatif.judge(fix, moment)
        if longest_lobe is not None and lobe > longest_lobe:
            break
        if outcome.state == REFUSED and kind != "nudge":
            break
        found = Found(fix, outcome, lobe, clipped)
        if outcome.state == CLEARED:
            return found
        if outcome.state == PARTIAL and (best is None or outcome.left < best.left):
            best = found
    return best


def nudge_limit_frames(rate, nudge_limit_ms):
    return frames_of_ms(nudge_limit_ms, rate)


def fixes_at(whatif, moment, nudge_limit_ms=3.0):
    """For each leading stem: (stem, hit, combs, {kind: Found or None}) as `cairn list --fixes` shows them."""
    if moment.long:
        return []
    found = []
    rate = whatif.session.rate
    for stem in moment.leading():
        hit = hit_of(whatif.session, stem, moment.frame, nudge_limit_ms)
        others = [s for s in moment.leading() if s is not stem]
        combs = [name for name, _ in combs_with(whatif.session, stem, others, hit.start, hit.end)]
        nudges = [] if hit.sustained else nudge_amounts(nudge_limit_frames(rate, nudge_limit_ms))
        found.append((stem, hit, combs, {
            "nudge": least_fix(whatif, moment, stem, "nudge", hit, nudges),
            "trim": least_fix(whatif, moment, stem, "trim", hit, trim_amounts()),
            "clip": least_fix(whatif, moment, stem, "clip", hit, clip_amounts(whatif, moment, stem)),
        }))
    return found


# --------------------------------------------------------------------------------------------------------------------
# Section 5: ladder


def ladder(analysis):
    """Rows (headroom in dB, moments, heads among them); needs the groups of alike moments."""
    moments = analysis.moments
    if not moments:
        return []
    if analysis.settings.baseline == "local" and analysis.settings.line_db is None:
        height = [m.peak / m.a for m in moments]
        last = max(height) / factor(analysis.settings.margin_db)
    else:
        height = [m.peak for m in moments]
        last = analysis.peak / analysis.line.t
    top = max(height)
    rows = []
    h = 0.5
    while h < db(last):
        among = [m for m, value in zip(moments, height) if value > top * factor(-h)]
        rows.append((h, len(among), sum(1 for m in among if m.alike_to == m.rank)))
        h += 0.5
    rows.append((db(last), len(moments), sum(1 for m in moments if m.alike_to == m.rank)))
    return rows


# --------------------------------------------------------------------------------------------------------------------
# Section 5: plan


class PlannedFix:
    """One fix with the moments (what-if, as found when it was made) and Fix of each of its places."""

    def __init__(self, stem, kind, places):
        self.stem = stem
        self.kind = kind
        self.places = places
        self.cleared = False


class Candidate:
    def __init__(self, found, fix_class, contribution, combs, sustained, dear):
        self.dear = dear
        self.found = found
        self.fix_class = fix_class
        self.contribution = contribution
        self.combs = combs
        self.sustained = sustained

    def size(self):
        if self.found.fix.kind == "clip":
            return self.found.lobe
        return abs(self.found.fix.amount)

    def gentleness(self):
        return self.dear, self.fix_class, self.size(), -self.contribution, self.found.fix.stem.index

    @property
    def is_last_resort(self):
        return self.dear or self.fix_class >= 7


def class_of(kind, amount, lobe, combs, sustained, rate):
    """1 trim <= 1 dB; 2 clip <= 0.07 ms; 3 nudge <= 1 ms; 4 trim; 5 nudge; 6 clip; 7 combs; 8 trim of sustained."""
    if kind == "trim":
        return 8 if sustained else 1 if amount <= 1.0 else 4
    if kind == "clip":
        return 2 if lobe <= max(1, frames_of_ms(0.07, rate)) else 6
    return 7 if combs else 3 if abs(amount) <= frames_of_ms(1, rate) else 5


class Planner:
    """The greedy plan, step by step as it is written. `fine`: peak frames of listed moments left to the limiter.

    One step more than greedy: a moment that would be given up with marks is tried again without each stem and kind that
    it used, in that order, and the first way that clears it stays.
    """

    def __init__(self, analysis, nudge_limit_ms=3.0, fine=()):
        self.analysis = analysis
        self.session = analysis.session
        self.rate = self.session.rate
        self.nudge_limit_ms = nudge_limit_ms
        self.whatif = WhatIf(self.session, analysis.line)
        self.given_up = [self.whatif.neighbourhood(m) for m in analysis.moments if m.frame in fine]
        self.fixes = []

    def listed(self, moment):
        """The listed moment as which a what-if moment counts, or None: it is new."""
        for m in self.analysis.moments:
            first, end = self.whatif.neighbourhood(m)
            if first <= moment.frame < end:
                return m
        return None

    def mark_count(self):
        return sum(len(fix.places) for fix in self.fixes)

    def run(self):
        most = 3 * len(self.analysis.moments)
        while self.mark_count() < most:
            todo = [m for m in self.whatif.moments()
                    if not m.long and not any(a <= m.frame < b for a, b in self.given_up)]
            if not todo:
                break
            highest = max(todo, key=lambda m: (m.peak, -m.frame))
            self.work_on(highest, most)
        self.prune()
        return self.fixes

    def work_on(self, moment, most):
        near = self.whatif.neighbourhood(moment)
        before = list(self.fixes)
        self.try_at(near, most, set())
        if not self.whatif.holds_over(*near):
            return
        first_way = list(self.fixes)
        for planned in first_way[len(before):]:
            self.go_back(before)
            self.try_at(near, most, {(planned.stem.index, planned.kind)})
            if not self.whatif.holds_over(*near):
                return
        self.go_back(first_way)
        self.given_up.append(near)

    def go_back(self, planned):
        self.fixes = list(planned)
        self.whatif.rebuild([fix for f in self.fixes for _, fix in f.places])

    def try_at(self, near, most, without):
        used = set(without)
        marks = 0
        while marks < 3 and self.mark_count() < most and self.whatif.holds_over(*near):
            here = [m for m in self.whatif.moments() if near[0] <= m.frame < near[1] and not m.long]
            if not here:
                break
            now = max(here, key=lambda m: (m.peak, -m.frame))
            chosen = self.choose(now, used)
            if chosen is None:
                break
            places = [(now, chosen.found.fix)]
            if chosen.found.cleared:
                places = self.spread(now, chosen)
            for _, fix in places:
                self.whatif.apply(fix)
            planned = PlannedFix(chosen.found.fix.stem, chosen.found.fix.kind, places)
            planned.cleared = chosen.found.cleared
            self.fixes.append(planned)
            used.add((planned.stem.index, planned.kind))
            marks += 1

    def candidates(self, moment, used):
        for stem in moment.leading():
            hit = hit_of(self.session, stem, moment.frame, self.nudge_limit_ms)
            others = [s for s in moment.leading() if s is not stem]
            combs = combs_with(self.session, stem, others, hit.start, hit.end)
            limit = nudge_limit_frames(self.rate, self.nudge_limit_ms)
            amounts = {
                "nudge": [] if hit.sustained else nudge_amounts(limit),
                "trim": trim_amounts(3.0),
                "clip": clip_amounts(self.whatif, moment, stem),
            }
            for kind, tried in amounts.items():
                if (stem.index, kind) in used:
                    continue
                found = least_fix(self.whatif, moment, stem, kind, hit, tried,
                                  frames_of_ms(2, self.rate) if kind == "clip" else None)
                if found is not None:
                    fix_class = class_of(kind, found.fix.amount, found.lobe, combs, hit.sustained, self.rate)
                    amplitude = next(c.amplitude for c in moment.contributions if c.stem is stem)
                    dear = tone_cost(self.whatif, found.fix) > DEAR_OVER_DB
                    yield Candidate(found, fix_class, amplitude, combs, hit.sustained, dear)

    def choose(self, moment, used):
        candidates = list(self.candidates(moment, used))
        clearing = [c for c in candidates if c.found.cleared]
        if clearing:
            return min(clearing, key=Candidate.gentleness)
        partial = [c for c in candidates if not c.is_last_resort] or candidates
        if not partial:
            return None
        best = min(partial, key=lambda c: (c.found.left,) + c.gentleness())
        return best if db(moment.peak) - db(best.found.left) >= 0.1 else None

    def spread(self, moment, chosen):
        """The same stem and kind on the moments alike to this one that are still over, with one amount for all."""
        own = self.listed(moment)
        stem, kind = chosen.found.fix.stem, chosen.found.fix.kind
        places = [(moment, hit_of(self.session, stem, moment.frame, self.nudge_limit_ms))]
        if own is not None:
            taken = {own.frame}
            for other in self.whatif.moments():
                counted = self.listed(other)
                if (counted is None or counted.frame in taken or counted.alike_to != own.alike_to or other.long
                        or any(a <= other.frame < b for a, b in self.given_up)):
                    continue
                taken.add(counted.frame)
                places.append((other, hit_of(self.session, stem, other.frame, self.nudge_limit_ms)))
        if kind == "nudge":
            amounts = nudge_amounts(nudge_limit_frames(self.rate, self.nudge_limit_ms))
        elif kind == "trim":
            amounts = trim_amounts(3.0)
        else:
            amounts = clip_amounts(self.whatif, moment, stem)
        best = None
        for amount in amounts:
            cleared = []
            for m, hit in places:
                fix = self.place_fix(m, hit, kind, stem, amount, chosen.fix_class)
                if fix is not None and not chosen.dear and tone_cost(self.whatif, fix) > DEAR_OVER_DB:
                    fix = None
                if fix is not None:
                    cleared.append((m, fix))
                elif m is moment:
                    break
            if cleared and (best is None or len(cleared) > len(best)):
                best = cleared
        return best

    def place_fix(self, moment, hit, kind, stem, amount, fix_class):
        """The fix at a place where this amount clears and is of the class, else None."""
        if kind == "nudge" and (hit.sustained or not may_nudge(self.whatif, stem, hit, amount)):
            return None
        if kind == "clip" and amount not in clip_amounts(self.whatif, moment, stem):
            return None
        fix = fix_of(kind, stem, moment, hit, amount)
        outcome, lobe, _ = self.whatif.judge(fix, moment)
        if outcome.state != CLEARED or kind == "clip" and lobe > frames_of_ms(2, self.rate):
            return None
        others = [s for s in moment.leading() if s is not stem]
        combs = kind == "nudge" and combs_with(self.session, stem, others, hit.start, hit.end)
        if class_of(kind, amount, lobe, combs, hit.sustained, self.rate) != fix_class:
            return None
        return fix

    def prune(self):
        """From the earliest made to the last, drops marks that lower nothing that matters."""
        t = self.whatif.t
        for planned in list(self.fixes):
            for place in list(planned.places):
                now = self.whatif.p.copy()
                kept = list(planned.places)
                planned.places.remove(place)
                self.whatif.rebuild([fix for f in self.fixes for _, fix in f.places])
                if np.any(self.whatif.p > np.maximum(t, now)):
                    planned.places[:] = kept
                    self.whatif.rebuild([fix for f in self.fixes for _, fix in f.places])
        self.fixes = [f for f in self.fixes if f.places]


def outcome_counts(analysis, whatif, places):
    """(cleared, partly cleared, left) among the listed moments; `places` are peak frames that have a mark."""
    places = sorted(places)
    cleared = partly = left = 0
    for moment in analysis.moments:
        first, end = whatif.neighbourhood(moment)
        marked = bisect.bisect_left(places, end) > bisect.bisect_left(places, first)
        if not whatif.holds_over(first, end):
            cleared += 1
        elif marked:
            partly += 1
        else:
            left += 1
    return cleared, partly, left


def as_fixes(whatif, moment, nudge_limit_ms=3.0):
    """The `fixes` of a moment in the shape of `cairn list --json --fixes`."""
    shown = []
    for stem, hit, combs, kinds in fixes_at(whatif, moment, nudge_limit_ms):
        entry = {"stem": stem.name, "hit": [hit.start, hit.end], "sustained": hit.sustained, "combs": combs}
        for kind, found in kinds.items():
            if found is None:
                entry[kind] = None
                continue
            told = {"cleared": found.cleared, "leftDb": round(db(found.left), 4)}
            if kind == "nudge":
                told["frames"] = found.fix.amount
            elif kind == "trim":
                told.update(db=found.fix.amount, start=found.fix.start, end=found.fix.end)
            else:
                told.update(ceilingDb=found.fix.amount, frames=found.clipped, longestLobe=found.lobe,
                            start=found.fix.start, end=found.fix.end)
            entry[kind] = told
        shown.append(entry)
    return shown


def as_plan(analysis, planner):
    """The plan in the shape of `cairn plan --json`; used to try the checker on itself."""
    whatif = WhatIf(analysis.session, analysis.line)
    before = whatif.peak()
    altered = 0
    marks = []
    for planned in planner.fixes:
        for _, fix in planned.places:
            first, end = whatif.apply(fix)
            altered += end - first
        amount = {"nudge": "frames", "trim": "db", "clip": "ceilingDb"}[planned.kind]
        marks.append({
            "stem": planned.stem.name, "kind": planned.kind, amount: planned.places[0][1].amount,
            "places": [{"moment": m.frame, "start": f.start, "end": f.end} for m, f in planned.places],
            "cleared": planned.cleared, "peakAfterDb": round(db(whatif.peak()), 4), "why": ""})
    places = [m.frame for f in planner.fixes for m, _ in f.places]
    cleared, partly, left = outcome_counts(analysis, whatif, places)
    session = analysis.session
    return {
        "schema": "cairn-plan/1", "lineDb": round(db(analysis.line.t), 4), "peakBeforeDb": round(db(before), 4),
        "peakAfterDb": round(db(whatif.peak()), 4), "wonDb": round(db(before) - db(whatif.peak()), 4),
        "fixes": len(marks), "places": len(places), "cleared": cleared, "partlyCleared": partly, "left": left,
        "alteredSeconds": round(altered / session.rate, 6),
        "alteredShare": round(altered / (len(session.stems) * session.length), 6),
        "ladder": [{"headroomDb": round(h, 4), "moments": n, "fixes": heads} for h, n, heads in ladder(analysis)],
        "marks": marks}
