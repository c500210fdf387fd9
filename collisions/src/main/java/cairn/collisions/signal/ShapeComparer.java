package cairn.collisions.signal;

import java.util.Arrays;

/**
 * Correlates many short windows of one channel with each other, as {@link Correlation} does,
 * faster: most pairs are told apart by the magnitudes of their spectra alone. For one thread.
 *
 * <p>A product at any lag is a sum of products of spectra, so it is at most the sum of the products
 * of their magnitudes. Only where that bound reaches what is asked are samples multiplied.
 */
public final class ShapeComparer {

  /** The rounding of a bound, as a part of it; generous. */
  private static final double ROUNDING = 1e-9;

  private final int frames;
  private final int lagFrames;
  private final int size;
  private final Fourier fourier;
  private final double[] re;
  private final double[] im;

  /**
   * @param frames length of a window
   * @param lagFrames longest lag either way
   */
  public ShapeComparer(int frames, int lagFrames) {
    this.frames = frames;
    this.lagFrames = lagFrames;
    // No lag wraps around: the window with its lags is not longer than this.
    size = Integer.highestOneBit(frames + 2 * lagFrames) * 2;
    fourier = new Fourier(size);
    re = new double[size];
    im = new double[size];
  }

  /** A window that stays where it is. */
  public static final class Fixed {
    private final double[] x;
    private final double norm;

    /** Weighted so that its product with others is a bound; empty until it is needed. */
    private double[] magnitudes = {};

    private Fixed(double[] x, double norm) {
      this.x = x;
      this.norm = norm;
    }
  }

  /** A window that is moved by every lag. */
  public static final class Moving {
    private final double[] y;
    private final double leastNorm;
    private int uses;

    /** Empty until it is needed. */
    private double[] magnitudes = {};

    private Moving(double[] y, double leastNorm) {
      this.y = y;
      this.leastNorm = leastNorm;
    }
  }

  /** Copies {@code x[0 : frames]}. */
  public Fixed fixed(double[] x) {
    return new Fixed(Arrays.copyOf(x, frames), Math.sqrt(Correlation.energy(x, 0, frames)));
  }

  /** Copies {@code y[0 : frames + 2·lagFrames]}, which starts {@code lagFrames} earlier. */
  public Moving moving(double[] y) {
    double[] window = Arrays.copyOf(y, frames + 2 * lagFrames);
    double[] energies = new double[2 * lagFrames + 1];
    Correlation.addEnergies(energies, window, 0, frames);
    double least = energies[0];
    for (double energy : energies) {
      least = Math.min(least, energy);
    }
    return new Moving(window, Math.sqrt(least));
  }

  /** Magnitudes of the spectrum, from 0 to half the sample rate. */
  private double[] magnitudes(double[] x) {
    Arrays.fill(re, 0);
    Arrays.fill(im, 0);
    System.arraycopy(x, 0, re, 0, x.length);
    fourier.transform(re, im);
    double[] magnitudes = new double[size / 2 + 1];
    for (int f = 0; f < magnitudes.length; f++) {
      magnitudes[f] = Math.sqrt(re[f] * re[f] + im[f] * im[f]);
    }
    return magnitudes;
  }

  /** Whether the normalised cross-correlation reaches {@code least} at a lag within the limit. */
  public boolean reaches(double least, Fixed a, Moving b) {
    b.uses++;
    // A spectrum costs as much as two or three correlations: worth it from the third one on.
    if (b.uses > 2 && bound(a, b) < least * a.norm * b.leastNorm) {
      return false;
    }
    return Correlation.reaches(
        least, new double[][] {a.x}, 0, new double[][] {b.y}, lagFrames, frames, lagFrames);
  }

  /** What no product at any lag is above. */
  private double bound(Fixed a, Moving b) {
    if (a.magnitudes.length == 0) {
      double[] magnitudes = magnitudes(a.x);
      for (int f = 0; f < magnitudes.length; f++) {
        boolean single = f == 0 || f == magnitudes.length - 1;
        magnitudes[f] *= (single ? 1.0 : 2.0) / size;
      }
      a.magnitudes = magnitudes;
    }
    if (b.magnitudes.length == 0) {
      b.magnitudes = magnitudes(b.y);
    }
    return product(a.magnitudes, b.magnitudes) * (1 + ROUNDING);
  }

  private static double product(double[] a, double[] b) {
    double sum0 = 0;
    double sum1 = 0;
    double sum2 = 0;
    double sum3 = 0;
    int f = 0;
    for (; f + 3 < a.length; f += 4) {
      sum0 += a[f] * b[f];
      sum1 += a[f + 1] * b[f + 1];
      sum2 += a[f + 2] * b[f + 2];
      sum3 += a[f + 3] * b[f + 3];
    }
    for (; f < a.length; f++) {
      sum0 += a[f] * b[f];
    }
    return sum0 + sum1 + sum2 + sum3;
  }
}
