package cairn.collisions.signal;

/** Normalised cross-correlation of two stretches of sound; definitions.md, 4. */
public final class Correlation {

  private Correlation() {}

  /**
   * Whether {@code |Σ a[n]·b[n+l]| / √(Σ a[n]² · Σ b[n+l]²)} reaches {@code least} at a lag {@code
   * |l| ≤ lagFrames}; the sums go over {@code frames} frames and all channels. For silence it is 0.
   *
   * @param a {@code a[channel][frame]}
   * @param aFrom frame of {@code a} that belongs to {@code bFrom} of {@code b}; outside either
   *     array is silence
   * @param b {@code b[channel][frame]}, as many channels
   * @param least over 0
   */
  public static boolean reaches(
      double least, double[][] a, int aFrom, double[][] b, int bFrom, int frames, int lagFrames) {
    double[] products = new double[2 * lagFrames + 1];
    double[] energies = new double[2 * lagFrames + 1];
    double energy = 0;
    for (int c = 0; c < a.length; c++) {
      double[] x = cut(a[c], aFrom, frames);
      double[] y = cut(b[c], bFrom - lagFrames, frames + 2 * lagFrames);
      energy += energy(x, 0, frames);
      addProducts(products, x, y);
      addEnergies(energies, y, 0, frames);
    }
    for (int l = 0; l < products.length; l++) {
      double scale = Math.sqrt(energy * energies[l]);
      if (scale > 0 && Math.abs(products[l]) >= least * scale) {
        return true;
      }
    }
    return false;
  }

  private static double[] cut(double[] x, int from, int frames) {
    double[] part = new double[frames];
    int inside = Math.max(0, Math.min(x.length, from));
    int end = Math.max(inside, Math.min(x.length, from + frames));
    System.arraycopy(x, inside, part, inside == end ? 0 : inside - from, end - inside);
    return part;
  }

  /** {@code products[l] += Σ x[n]·y[n + l]}; four frames at a time, a lag a lane. */
  private static void addProducts(double[] products, double[] x, double[] y) {
    int n = 0;
    for (; n + 3 < x.length; n += 4) {
      double x0 = x[n];
      double x1 = x[n + 1];
      double x2 = x[n + 2];
      double x3 = x[n + 3];
      if (x0 != 0 || x1 != 0 || x2 != 0 || x3 != 0) {
        for (int l = 0; l < products.length; l++) {
          products[l] += x0 * y[n + l] + x1 * y[n + l + 1] + x2 * y[n + l + 2] + x3 * y[n + l + 3];
        }
      }
    }
    for (; n < x.length; n++) {
      for (int l = 0; l < products.length; l++) {
        products[l] += x[n] * y[n + l];
      }
    }
  }

  /**
   * {@code energies[l] += Σ y[from + l .. from + l + frames − 1]²}. What all lags share is added
   * once, and the rest from its inner end outwards: nothing is taken away again, so that quiet
   * stays exact beside loud. Outside the array is silence.
   */
  static void addEnergies(double[] energies, double[] y, int from, int frames) {
    int last = energies.length - 1;
    if (frames <= last) {
      for (int l = 0; l <= last; l++) {
        energies[l] += energy(y, from + l, from + l + frames);
      }
      return;
    }
    double shared = energy(y, from + last, from + frames);
    double before = 0;
    for (int l = last; l >= 0; l--) {
      energies[l] += shared + before;
      before += square(y, from + l - 1);
    }
    double after = 0;
    for (int l = 1; l <= last; l++) {
      after += square(y, from + frames + l - 1);
      energies[l] += after;
    }
  }

  private static double square(double[] y, int i) {
    return i >= 0 && i < y.length ? y[i] * y[i] : 0;
  }

  /** {@code Σ x[i]²} over {@code [from, to)}; outside the array is silence. */
  static double energy(double[] x, int from, int to) {
    int end = Math.min(x.length, to);
    double even = 0;
    double odd = 0;
    int i = Math.max(0, from);
    for (; i + 1 < end; i += 2) {
      even += x[i] * x[i];
      odd += x[i + 1] * x[i + 1];
    }
    return even + odd + (i < end ? x[i] * x[i] : 0);
  }
}
