package cairn.collisions;

/**
 * The five instants of a frame (definitions.md, 1) in the plainest way, with the coefficients of
 * the published table; it shares no code with what it checks.
 */
public final class SlowInstants {

  private static final double[][] TAPS = taps();
  private static final double[] INSTANTS = {-0.375, -0.125, 0, 0.125, 0.375};

  private SlowInstants() {}

  private static double[][] taps() {
    double[][] taps = new double[4][12];
    int tap = 0;
    for (String[] row : Vectors.rows("truepeak-fir.csv")) {
      for (int phase = 0; phase < 4; phase++) {
        taps[phase][tap] = Double.parseDouble(row[phase + 1]);
      }
      tap++;
    }
    return taps;
  }

  /** One channel at an instant of frame n; outside of {@code [from, to)} it is silence. */
  static double at(double[] x, int n, double instant, int from, int to) {
    if (instant == 0) {
      return n >= from && n < to ? x[n] : 0;
    }
    int phase = instant == 0.125 ? 0 : instant == 0.375 ? 1 : instant == -0.375 ? 2 : 3;
    int newest = phase < 2 ? n + 6 : n + 5;
    double sum = 0;
    for (int tap = 0; tap < 12; tap++) {
      int i = newest - tap;
      sum += TAPS[phase][tap] * (i >= from && i < to ? x[i] : 0);
    }
    return sum;
  }

  /** The first instant of frame n at which a channel is largest. */
  static double instant(double[] x, int n, int from, int to) {
    double best = INSTANTS[0];
    for (double instant : INSTANTS) {
      best =
          Math.abs(at(x, n, instant, from, to)) > Math.abs(at(x, n, best, from, to))
              ? instant
              : best;
    }
    return best;
  }

  /** The level of frame n of a channel that is all there is. */
  public static double level(double[] x, int n) {
    double level = 0;
    for (double instant : INSTANTS) {
      level = Math.max(level, Math.abs(at(x, n, instant, 0, x.length)));
    }
    return level;
  }
}
