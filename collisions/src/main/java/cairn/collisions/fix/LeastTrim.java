package cairn.collisions.fix;

import cairn.collisions.Decibels;
import cairn.collisions.signal.Block;
import java.util.List;
import java.util.Optional;

/**
 * The smallest trim that clears a moment; definitions.md, 4.
 *
 * <p>A trim takes {@code q·w·y} off the bus, {@code q = 1 − 10^(−g/20)}. So each frame allows an
 * interval of {@code q}, and the search is closed form; bounds are widened by the rounding, and
 * what lies within them is assessed.
 */
final class LeastTrim {

  private final Trial trial;
  private final Scene scene;
  private final Trim deepest;
  private final int from;
  private final int to;

  /** {@code w·y}. */
  private final double[][] part;

  private final double[] weight;

  /** The frames whose level it may change. */
  private final int levelFrom;

  private final int levelTo;

  /** The instants between samples that may be over, before it or after it. */
  private final TrimInstants instants;

  /** Bounds of the {@code q} that clear, both inclusive and wide by the rounding. */
  private final double[] clearing;

  /**
   * @param deepest the deepest trim that may be tried
   */
  LeastTrim(Trial trial, Trim deepest) {
    this.trial = trial;
    this.scene = trial.scene;
    this.deepest = deepest;
    int cell = HitFinder.cellFrames(scene.sampleRateHz);
    from = scene.index(deepest.startFrame() - cell);
    to = Math.max(from, scene.index(deepest.endFrame() + cell));
    weight = new double[to - from];
    Weight.fill(
        weight,
        scene.excerpt.firstFrame() + from,
        weight.length,
        deepest.startFrame(),
        deepest.endFrame(),
        cell);
    part = new double[2][weight.length];
    for (int c = 0; c < 2; c++) {
      double[] y = trial.y[c];
      for (int i = from; i < to; i++) {
        part[c][i - from] = weight[i - from] * y[i];
      }
    }
    levelFrom = Math.max(0, from - scene.reach);
    levelTo = Math.min(scene.excerpt.frames(), to + scene.reach);
    instants =
        TrimInstants.of(scene, part, from, levelFrom, levelTo, scene.lowestLine - scene.rounding);
    clearing = clearing();
  }

  /** The least trim; empty if none clears or lowers the moment. */
  Optional<Attempt> find() {
    Optional<Attempt> found = search();
    trial.restore(from, to);
    return found;
  }

  /** Whether the trim by {@code tenths} of a dB clears. */
  boolean clears(int tenths) {
    double q = lost(tenths);
    if (q < clearing[0] || q > clearing[1]) {
      return false;
    }
    assess(tenths);
    trial.restore(from, to);
    return trial.clears();
  }

  private Optional<Attempt> search() {
    if (isSilent()) {
      return Optional.empty();
    }
    int end = endOfAllowed();
    for (int tenths = 1; tenths < end; tenths++) {
      double q = lost(tenths);
      if (q >= clearing[0] && q <= clearing[1]) {
        assess(tenths);
        if (trial.clears()) {
          return Optional.of(attempt(tenths, true));
        }
        if (trial.louder) {
          end = tenths;
        }
      }
    }
    return partial(end);
  }

  private boolean isSilent() {
    return Block.peak(part[0], 0, part[0].length) == 0
        && Block.peak(part[1], 0, part[1].length) == 0;
  }

  private static double lost(int tenthsDb) {
    return 1 - Decibels.toFactor(-tenthsDb / 10.0);
  }

  /** The first trim that is refused, or the first one past the limit. */
  private int endOfAllowed() {
    double most = 1;
    double[][] bus = scene.excerpt.bus();
    for (int c = 0; c < 2; c++) {
      for (int i = from; i < to; i++) {
        most = Math.min(most, mostWithin(bus[c][i], part[c][i - from], scene.bound[i]));
      }
    }
    for (int j = 0; j < instants.count; j++) {
      double bound = scene.bound[instants.frame[j]];
      most = Math.min(most, mostWithin(instants.bus[j], instants.taken[j], bound));
    }
    int end = 1;
    while (end <= deepest.tenthsDb() && lost(end) <= most) {
      end++;
    }
    while (end > 1 && isRefused(end - 1)) {
      end--;
    }
    return end;
  }

  /** The largest {@code q}, at most 1, that leaves {@code |b − q·taken|} within a bound. */
  private double mostWithin(double b, double taken, double exactBound) {
    double bound = exactBound + scene.rounding;
    double atOne = Math.abs(b - taken);
    // Convex in q, and within the bound at 0: only what is past it at 1 has a limit.
    return atOne > bound ? (atOne - bound) / -Math.abs(taken) + 1 : 1;
  }

  private boolean isRefused(int tenths) {
    assess(tenths);
    return trial.louder;
  }

  private double[] clearing() {
    double[] bounds = {0, 1};
    int a = Math.max(scene.near, from);
    int b = Math.min(scene.nearEnd, to);
    double[][] bus = scene.excerpt.bus();
    for (int c = 0; c < 2; c++) {
      for (int i = a; i < b; i++) {
        narrow(bounds, bus[c][i], part[c][i - from], scene.line[i]);
      }
    }
    for (int j = 0; j < instants.count; j++) {
      int i = instants.frame[j];
      if (i >= scene.near && i < scene.nearEnd) {
        narrow(bounds, instants.bus[j], instants.taken[j], scene.line[i]);
      }
    }
    return bounds;
  }

  /** Narrows the {@code q} to those that leave {@code |b − q·p|} within a line. */
  private void narrow(double[] bounds, double b, double p, double exactLine) {
    double line = exactLine + scene.rounding;
    double sign = b < 0 ? -1 : 1;
    double level = sign * b;
    double taken = sign * p;
    if (level > line) {
      bounds[0] = taken > 0 ? Math.max(bounds[0], (level - line) / taken) : 2;
    }
    if (taken > 0) {
      bounds[1] = Math.min(bounds[1], (level + line) / taken);
    } else if (taken < 0) {
      bounds[1] = Math.min(bounds[1], (level - line) / taken);
    }
  }

  private Optional<Attempt> partial(int end) {
    int a = Math.min(scene.nearEnd, Math.max(scene.near, from));
    int b = Math.max(a, Math.min(scene.nearEnd, to));
    double unchanged = unchanged();
    double[] quick = new double[end];
    double lowest = scene.oldPeak;
    double[][] bus = scene.excerpt.bus();
    for (int tenths = 1; tenths < end; tenths++) {
      double q = lost(tenths);
      quick[tenths] = Math.max(peak(bus[0], part[0], q, a, b), peak(bus[1], part[1], q, a, b));
      lowest = Math.min(lowest, quick[tenths]);
    }
    if (scene.reach > 0) {
      lowest = raiseToInstants(quick, Math.max(lowest, unchanged));
    }
    lowest = Math.max(lowest, unchanged);
    Attempt best = null;
    for (int tenths = 1; tenths < end; tenths++) {
      if (quick[tenths] <= lowest + 2 * scene.rounding) {
        assess(tenths);
        if (trial.lowers() && (best == null || trial.left < best.leftLevel())) {
          best = attempt(tenths, false);
          if (trial.left <= unchanged) {
            break;
          }
        }
      }
    }
    return Optional.ofNullable(best);
  }

  /**
   * Raises {@code quick[1 : ]} to what each trim leaves at instants between samples.
   *
   * @param least no trim leaves less: what does not pass it can be left out
   * @return the lowest of them, at most the old peak
   */
  private double raiseToInstants(double[] quick, double least) {
    int a = Math.min(scene.nearEnd, Math.max(scene.near, levelFrom));
    int b = Math.max(a, Math.min(scene.nearEnd, levelTo));
    TrimInstants high = TrimInstants.of(scene, part, from, a, b, least);
    double lowest = scene.oldPeak;
    for (int tenths = 1; tenths < quick.length; tenths++) {
      double q = lost(tenths);
      double peak = quick[tenths];
      for (int j = 0; j < high.count; j++) {
        peak = Math.max(peak, Math.abs(high.bus[j] - q * high.taken[j]));
      }
      quick[tenths] = peak;
      lowest = Math.min(lowest, peak);
    }
    return lowest;
  }

  /** The highest level in the neighbourhood that no trim touches. */
  private double unchanged() {
    double[] before = scene.excerpt.levels();
    int a = Math.min(scene.nearEnd, Math.max(scene.near, levelFrom));
    int b = Math.max(a, Math.min(scene.nearEnd, levelTo));
    double unchanged = Math.max(scene.peakBefore(a), scene.peakFrom(b));
    int touchedUntil = a - 1;
    for (int i = Math.max(from, a - scene.reach); i < Math.min(to, a + scene.reach); i++) {
      touchedUntil = isTouched(i) ? i + scene.reach : touchedUntil;
    }
    for (int i = a; i < b; i++) {
      int last = i + scene.reach;
      touchedUntil =
          last >= from && last < to && isTouched(last) ? last + scene.reach : touchedUntil;
      if (i > touchedUntil) {
        unchanged = Math.max(unchanged, before[i]);
      }
    }
    return unchanged;
  }

  private boolean isTouched(int i) {
    return part[0][i - from] != 0 || part[1][i - from] != 0;
  }

  private double peak(double[] bus, double[] taken, double q, int a, int b) {
    double peak = 0;
    for (int i = a; i < b; i++) {
      peak = Math.max(peak, Math.abs(bus[i] - q * taken[i - from]));
    }
    return peak;
  }

  private void assess(int tenths) {
    double q = lost(tenths);
    for (int c = 0; c < 2; c++) {
      double[] y = trial.y[c];
      double[] changed = trial.changed[c];
      for (int i = from; i < to; i++) {
        changed[i] = y[i] * (1 - weight[i - from] * q);
      }
    }
    trial.trying(new Trim(trial.stem, deepest.startFrame(), deepest.endFrame(), tenths));
    trial.assess(from, to, false);
  }

  private Attempt attempt(int tenths, boolean cleared) {
    Trim trim = new Trim(deepest.stem(), deepest.startFrame(), deepest.endFrame(), tenths);
    long first = scene.excerpt.firstFrame();
    return new Attempt(trim, cleared, trial.left, Change.of(first + from, first + to), List.of());
  }
}
