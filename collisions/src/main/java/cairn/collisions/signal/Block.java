package cairn.collisions.signal;

import java.util.Arrays;

/**
 * Loops over planar blocks {@code double[channel][frame]}, 1.0 = 0 dBFS. All ranges are {@code
 * [from, to)} in the block's own frames.
 */
public final class Block {

  private Block() {}

  /** A block of two channels, all silence. */
  public static double[][] stereo(int frames) {
    return new double[2][frames];
  }

  /** Writes silence into {@code block[0 : 2][from : to]}. */
  public static void clear(double[][] block, int from, int to) {
    Arrays.fill(block[0], from, to, 0);
    Arrays.fill(block[1], from, to, 0);
  }

  /**
   * {@code bus[i] += factor · x[i]}, product then sum. Stems are added in order, so that the bus is
   * the same for any block size: definitions.md, 1.
   *
   * <p>Both arrays run on one index: with an offset between them OpenJDK 17 does not vectorise the
   * loop, and it takes 0.35 ns a frame instead of 0.11 (x86-64).
   */
  public static void add(double[] bus, double[] x, double factor, int from, int to) {
    for (int i = from; i < to; i++) {
      bus[i] += factor * x[i];
    }
  }

  /**
   * Adds whole numbers to a sum and raises {@code levels[i]} to {@code |x[i]|}, where {@code x[i] =
   * (words[i] & mask) >> 8}: samples on a scale of 2^23 = 1.0. The larger of two is taken by
   * shifts, since OpenJDK 17 does not vectorise {@code Math.max} of whole numbers: 0.1 ns a sample
   * in place of 0.6 (x86-64 with AVX-512).
   *
   * @param sum as long as {@code frames} at least, as are the others
   * @param mask clears the bits that mean nothing
   */
  public static void addWords(int[] sum, int[] levels, int[] words, int mask, int frames) {
    for (int i = 0; i < frames; i++) {
      int x = (words[i] & mask) >> 8;
      sum[i] += x;
      int sign = x >> 31;
      int below = levels[i] - ((x ^ sign) - sign);
      levels[i] -= below & (below >> 31);
    }
  }

  /** {@code y[i] = factor · x[i]}; the arrays may be the same. */
  public static void scale(double[] y, double[] x, double factor, int from, int to) {
    for (int i = from; i < to; i++) {
      y[i] = factor * x[i];
    }
  }

  /**
   * The largest absolute value; 0 for an empty range. A branch that is hardly ever taken costs 0.5
   * ns a frame where {@code Math.max} costs 0.8 (OpenJDK 17, x86-64).
   */
  public static double peak(double[] x, int from, int to) {
    double peak = 0;
    for (int i = from; i < to; i++) {
      double level = Math.abs(x[i]);
      if (level > peak) {
        peak = level;
      }
    }
    return peak;
  }

  /** Whether an absolute value is above {@code level}; ends at the first that is. */
  public static boolean exceeds(double[] x, int from, int to, double level) {
    for (int i = from; i < to; i++) {
      if (Math.abs(x[i]) > level) {
        return true;
      }
    }
    return false;
  }

  /** The largest step {@code |x[i] − x[i − 1]|} within the range; 0 for less than two values. */
  public static double steepest(double[] x, int from, int to) {
    double steepest = 0;
    for (int i = from + 1; i < to; i++) {
      double step = Math.abs(x[i] - x[i - 1]);
      if (step > steepest) {
        steepest = step;
      }
    }
    return steepest;
  }

  /** The largest {@code |x[i] − y[i]|}; 0 for an empty range. */
  public static double peakOfDifference(double[] x, double[] y, int from, int to) {
    double peak = 0;
    for (int i = from; i < to; i++) {
      peak = Math.max(peak, Math.abs(x[i] - y[i]));
    }
    return peak;
  }

  /** Level: {@code p[i] = max(|left[i]|, |right[i]|)}. */
  public static void levels(double[] p, double[][] bus, int from, int to) {
    double[] left = bus[0];
    double[] right = bus[1];
    for (int i = from; i < to; i++) {
      p[i] = Math.max(Math.abs(left[i]), Math.abs(right[i]));
    }
  }

  /** {@code Σ left² + right²}, added in frame order. */
  public static double energy(double[][] bus, int from, int to) {
    double[] left = bus[0];
    double[] right = bus[1];
    double energy = 0;
    for (int i = from; i < to; i++) {
      energy += left[i] * left[i] + right[i] * right[i];
    }
    return energy;
  }

  /** The first frame at which {@code p} is {@code level}; −1 if there is none. */
  public static int firstAt(double[] p, double level, int from, int to) {
    for (int i = from; i < to; i++) {
      if (p[i] == level) {
        return i;
      }
    }
    return -1;
  }
}
