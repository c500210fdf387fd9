package cairn.collisions.loudness;

import cairn.collisions.TimeRange;
import java.util.Arrays;
import java.util.OptionalDouble;

/**
 * Loudness of a stretch of {@link Hops}; definitions.md, 6. Levels are in LUFS, ranges in LU; empty
 * stands for <em>not measurable</em>: shorter than one window, or all of it below the gate.
 */
public final class Loudness {

  /** Cancels the weighting's gain at 997 Hz: ITU-R BS.1770-5, Annex 1, eq. 2. */
  private static final double OFFSET_LUFS = -0.691;

  /** Absolute gate: ITU-R BS.1770-5, Annex 1, and EBU Tech 3342 V4. */
  public static final double GATE_LUFS = -70;

  private final Hops hops;
  private final int first;
  private final int end;

  private Loudness(Hops hops, int first, int end) {
    this.hops = hops;
    this.first = first;
    this.end = Math.max(first, end);
  }

  /** Of all hops. */
  public static Loudness of(Hops hops) {
    return new Loudness(hops, 0, hops.count());
  }

  /** Of the hops that lie in a range whole; the filter has run in from what came before. */
  public static Loudness of(Hops hops, TimeRange range) {
    return new Loudness(hops, hops.firstFrom(range.firstFrame()), hops.endBy(range.endFrame()));
  }

  /** Loudness of a mean power that is summed over the channels; of 0: minus infinity. */
  static double lufs(double power) {
    return OFFSET_LUFS + 10 * Math.log10(power);
  }

  private static double power(double lufs) {
    return Math.pow(10, (lufs - OFFSET_LUFS) / 10);
  }

  /** Whether there is one gating block of 400 ms at least. */
  public boolean isLongEnough() {
    return end - first >= hopsIn(400);
  }

  private int hopsIn(int millis) {
    return millis * hops.perSecond() / 1000;
  }

  /**
   * Mean power of every window of so many ms that fits, one every {@code stepMillis}. Sums are
   * taken anew for each window, over 100 ms each at first: running sums would keep what rounding
   * left of a loud bar for ever after.
   */
  private double[] powers(int windowMillis, int stepMillis) {
    int tenth = hopsIn(100);
    int window = hopsIn(windowMillis);
    int step = Math.max(1, hopsIn(stepMillis));
    int count = end - first < window ? 0 : (end - first - window) / step + 1;
    double[] tenths = new double[Math.max(0, end - first - tenth + 1)];
    for (int i = 0; i < tenths.length; i++) {
      double sum = 0;
      for (int h = 0; h < tenth; h++) {
        sum += hops.energy(first + i + h);
      }
      tenths[i] = sum;
    }
    double frames = windowMillis / 1000.0 * hops.sampleRateHz();
    double[] powers = new double[count];
    for (int j = 0; j < count; j++) {
      double sum = 0;
      for (int at = j * step; at < j * step + window; at += tenth) {
        sum += tenths[at];
      }
      powers[j] = sum / frames;
    }
    return powers;
  }

  /** The momentary loudness, windows of 400 ms, read at every hop: EBU Tech 3341 V4, 2.2. */
  public double[] momentaryLufs() {
    return Arrays.stream(powers(400, 10)).map(Loudness::lufs).toArray();
  }

  /** The short-term loudness, windows of 3 s, read at every hop: EBU Tech 3341 V4, 2.2. */
  public double[] shortTermLufs() {
    return Arrays.stream(powers(3000, 10)).map(Loudness::lufs).toArray();
  }

  /** The largest momentary loudness; empty if shorter than 400 ms, or silent. */
  public OptionalDouble maxMomentaryLufs() {
    return largest(powers(400, 10));
  }

  /** The largest short-term loudness; empty if shorter than 3 s, or silent. */
  public OptionalDouble maxShortTermLufs() {
    return largest(powers(3000, 10));
  }

  private static OptionalDouble largest(double[] powers) {
    double largest = Arrays.stream(powers).max().orElse(0);
    return largest > 0 ? OptionalDouble.of(lufs(largest)) : OptionalDouble.empty();
  }

  /**
   * Integrated loudness: blocks of 400 ms every 100 ms, those above −70 LUFS, and of them those
   * above the relative gate 10 LU under their mean; both gates are strict, means are of power:
   * ITU-R BS.1770-5, Annex 1.
   */
  public OptionalDouble integratedLufs() {
    double[] blocks = powers(400, 100);
    double absolute = power(GATE_LUFS);
    double ungated = meanAbove(blocks, absolute);
    if (Double.isNaN(ungated)) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(lufs(meanAbove(blocks, Math.max(absolute, ungated / 10))));
  }

  private static double meanAbove(double[] blocks, double gate) {
    double sum = 0;
    int count = 0;
    for (double block : blocks) {
      if (block > gate) {
        sum += block;
        count++;
      }
    }
    return sum / count;
  }

  /**
   * Loudness range: short-term loudness every 100 ms, kept from −70 LUFS and from 20 LU under the
   * mean power of those; from the 10th to the 95th percentile, index {@code round((n − 1)·p/100)}
   * from 0: EBU Tech 3342 V4. No silence is added at the end. Empty if shorter than 3 s, or all is
   * below the gate.
   */
  public OptionalDouble rangeLu() {
    double absolute = power(GATE_LUFS);
    double[] kept = atLeast(powers(3000, 100), absolute);
    if (kept.length == 0) {
      return OptionalDouble.empty();
    }
    kept = atLeast(kept, Arrays.stream(kept).sum() / kept.length / 100);
    Arrays.sort(kept);
    return OptionalDouble.of(lufs(percentile(kept, 95)) - lufs(percentile(kept, 10)));
  }

  private static double[] atLeast(double[] powers, double gate) {
    return Arrays.stream(powers).filter(power -> power >= gate).toArray();
  }

  private static double percentile(double[] rising, int percent) {
    return rising[(int) Math.floor((rising.length - 1) * percent / 100.0 + 0.5)];
  }
}
