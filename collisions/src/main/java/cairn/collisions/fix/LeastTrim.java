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
        double bound = scene.bound[i] + scene.rounding;
        double b = bus[c][i];
        double taken = part[c][i - from];
        // Convex in q, and within the bound at 0: only what is past it at 1 has a limit.
        if (Math.abs(b - taken) > bound) {
          most = Math.min(most, (Math.abs(b - taken) - bound) / -Math.abs(taken) + 1);
        }
      }
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

  private boolean isRefused(int tenths) {
    assess(tenths);
    return trial.louder;
  }

  private double[] clearing() {
    double least = 0;
    double most = 1;
    int a = Math.max(scene.near, from);
    int b = Math.min(scene.nearEnd, to);
    double[][] bus = scene.excerpt.bus();
    for (int c = 0; c < 2; c++) {
      for (int i = a; i < b; i++) {
        double line = scene.line[i] + scene.rounding;
        double sign = bus[c][i] < 0 ? -1 : 1;
        double level = sign * bus[c][i];
        double taken = sign * part[c][i - from];
        if (level > line) {
          least = taken > 0 ? Math.max(least, (level - line) / taken) : 2;
        }
        if (taken > 0) {
          most = Math.min(most, (level + line) / taken);
        } else if (taken < 0) {
          most = Math.min(most, (level - line) / taken);
        }
      }
    }
    return new double[] {least, most};
  }

  private Optional<Attempt> partial(int end) {
    int a = Math.min(scene.nearEnd, Math.max(scene.near, from));
    int b = Math.max(a, Math.min(scene.nearEnd, to));
    double[] quick = new double[end];
    double lowest = scene.oldPeak;
    double[][] bus = scene.excerpt.bus();
    for (int tenths = 1; tenths < end; tenths++) {
      double q = lost(tenths);
      quick[tenths] = Math.max(peak(bus[0], part[0], q, a, b), peak(bus[1], part[1], q, a, b));
      lowest = Math.min(lowest, quick[tenths]);
    }
    double unchanged = unchanged(a, b);
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

  /** The highest level in the neighbourhood that no trim touches. */
  private double unchanged(int a, int b) {
    double[] before = scene.excerpt.levels();
    double unchanged = Math.max(scene.peakBefore(a), scene.peakFrom(b));
    for (int i = a; i < b; i++) {
      if (part[0][i - from] == 0 && part[1][i - from] == 0) {
        unchanged = Math.max(unchanged, before[i]);
      }
    }
    return unchanged;
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
    trial.assess(from, to, false);
  }

  private Attempt attempt(int tenths, boolean cleared) {
    Trim trim = new Trim(deepest.stem(), deepest.startFrame(), deepest.endFrame(), tenths);
    long first = scene.excerpt.firstFrame();
    return new Attempt(trim, cleared, trial.left, Change.of(first + from, first + to), List.of());
  }
}
