package cairn.collisions.fix;

import cairn.collisions.SlowInstants;
import cairn.collisions.TimeRange;
import cairn.collisions.signal.Levels;
import java.util.Arrays;

/** Excerpts of whole sessions that tests hold in memory. */
final class Excerpts {

  private Excerpts() {}

  /** The excerpt of {@code y[stem][channel][frame]}, which starts at frame 0. */
  static Excerpt cut(double[][][] plain, double[][][] marked, TimeRange range) {
    return cut(Levels.OF_SAMPLES, plain, marked, range);
  }

  /** The same with levels read from something else. */
  static Excerpt cut(Levels reading, double[][][] plain, double[][][] marked, TimeRange range) {
    return new Excerpt(
        reading, range.firstFrame(), (int) range.frames(), cut(plain, range), cut(marked, range));
  }

  private static double[][][] cut(double[][][] y, TimeRange range) {
    double[][][] part = new double[y.length][2][];
    for (int k = 0; k < y.length; k++) {
      for (int c = 0; c < 2; c++) {
        part[k][c] = Arrays.copyOfRange(y[k][c], (int) range.firstFrame(), (int) range.endFrame());
      }
    }
    return part;
  }

  /** {@code p} of the stems summed in order. */
  static double[] levels(double[][][] y) {
    return levels(y, false);
  }

  /** The same from samples, or from the instants too. */
  static double[] levels(double[][][] y, boolean truePeak) {
    double[] p = new double[y[0][0].length];
    for (int c = 0; c < 2; c++) {
      double[] b = new double[p.length];
      for (int n = 0; n < p.length; n++) {
        for (double[][] stem : y) {
          b[n] += stem[c][n];
        }
      }
      for (int n = 0; n < p.length; n++) {
        p[n] = Math.max(p[n], truePeak ? SlowInstants.level(b, n) : Math.abs(b[n]));
      }
    }
    return p;
  }
}
