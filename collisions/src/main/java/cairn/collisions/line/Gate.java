package cairn.collisions.line;

import cairn.collisions.Decibels;
import java.util.OptionalDouble;

/**
 * The two gates and the mean of what passes them; definitions.md, 2. Window peaks are linear, gates
 * strict: a window at a gate is dropped.
 */
public final class Gate {

  private static final double ABSOLUTE = Decibels.toFactor(-70);
  private static final double RELATIVE = Decibels.toFactor(-10);

  private Gate() {}

  /**
   * Which of {@code peaks[first : end]} pass both gates: {@code passed[first : end]} is written.
   */
  static void pass(double[] peaks, int first, int end, boolean[] passed) {
    double sum = 0;
    int count = 0;
    for (int j = first; j < end; j++) {
      if (peaks[j] > ABSOLUTE) {
        sum += peaks[j];
        count++;
      }
    }
    double relativeGate = count == 0 ? 0 : sum / count * RELATIVE;
    for (int j = first; j < end; j++) {
      passed[j] = peaks[j] > ABSOLUTE && peaks[j] > relativeGate;
    }
  }

  /** The mean of {@code peaks[first : end]} where {@code passed}; empty if none passed. */
  static OptionalDouble mean(double[] peaks, int first, int end, boolean[] passed) {
    double sum = 0;
    int count = 0;
    for (int j = first; j < end; j++) {
      if (passed[j]) {
        sum += peaks[j];
        count++;
      }
    }
    return count == 0 ? OptionalDouble.empty() : OptionalDouble.of(sum / count);
  }

  /**
   * The average peak of some window peaks: the mean of those that pass both gates; empty if none
   * does, which is silence.
   *
   * @param peaks linear window peaks
   * @param first first window
   * @param end window after the last one
   */
  public static OptionalDouble averagePeak(double[] peaks, int first, int end) {
    boolean[] passed = new boolean[peaks.length];
    pass(peaks, first, end, passed);
    return mean(peaks, first, end, passed);
  }
}
