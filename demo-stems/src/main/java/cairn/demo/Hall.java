package cairn.demo;

/**
 * What a hall gives back of a dry stem: a line of early delays into four feedback delays whose
 * outputs are mixed by a Hadamard matrix, damped by a one-pole low-pass each. Delays are primes, so
 * that echoes do not pile up. Its decay is about 0.9 s to −60 dB.
 */
final class Hall {

  private static final int EARLY = 1103;
  private static final int[] DELAYS = {1423, 1789, 2131, 2539};
  private static final double FEEDBACK = 0.38;
  private static final double DAMPING = 0.45;

  private Hall() {}

  /** The return of a dry signal times {@code gain}: {@code [channel][frame]}, same length. */
  static double[][] of(double[] dry, double gain) {
    int frames = dry.length;
    double[][] out = new double[2][frames];
    double[] outLeft = out[0];
    double[] outRight = out[1];
    double[] a = new double[DELAYS[0]];
    double[] b = new double[DELAYS[1]];
    double[] c = new double[DELAYS[2]];
    double[] d = new double[DELAYS[3]];
    int ia = 0;
    int ib = 0;
    int ic = 0;
    int id = 0;
    double la = 0;
    double lb = 0;
    double lc = 0;
    double ld = 0;
    for (int n = 0; n < frames; n++) {
      double in = n >= EARLY ? dry[n - EARLY] : 0;
      la += DAMPING * (a[ia] - la);
      lb += DAMPING * (b[ib] - lb);
      lc += DAMPING * (c[ic] - lc);
      ld += DAMPING * (d[id] - ld);
      outLeft[n] = gain * (la + lc);
      outRight[n] = gain * (lb + ld);
      double sum = la + lb;
      double difference = la - lb;
      double sum2 = lc + ld;
      double difference2 = lc - ld;
      a[ia] = in + FEEDBACK * (sum + sum2);
      b[ib] = in + FEEDBACK * (difference + difference2);
      c[ic] = in + FEEDBACK * (sum - sum2);
      d[id] = in + FEEDBACK * (difference - difference2);
      ia = ia + 1 == a.length ? 0 : ia + 1;
      ib = ib + 1 == b.length ? 0 : ib + 1;
      ic = ic + 1 == c.length ? 0 : ic + 1;
      id = id + 1 == d.length ? 0 : id + 1;
    }
    return out;
  }
}
