package cairn.collisions.signal;

import java.util.Arrays;

/**
 * Correlates many pairs of two-channel signals of one length, as {@link Correlation} does, faster:
 * by the spectra of short blocks, which are kept. For one thread.
 *
 * <p>Left and right are the real and the imaginary part of one signal, so that the real part of a
 * product of spectra sums both channels. What the spectra leave in doubt by rounding is worked out
 * again frame by frame, so the answers are those of {@link Correlation}.
 */
public final class Correlator {

  /** Rounding of products by way of spectra, as a part of the product of both norms; generous. */
  private static final double DOUBT = 1e-9;

  private final int frames;
  private final int lagFrames;
  private final int size;
  private final int step;
  private final Fourier fourier;
  private final double[] re;
  private final double[] im;

  /**
   * @param frames length of every signal
   * @param lagFrames longest lag either way
   */
  public Correlator(int frames, int lagFrames) {
    this.frames = frames;
    this.lagFrames = lagFrames;
    // Eight times the lag: three quarters of a block are new frames.
    size = Math.max(64, Integer.highestOneBit(8 * lagFrames + 1) * 2);
    step = size - 2 * lagFrames;
    fourier = new Fourier(size);
    re = new double[size];
    im = new double[size];
  }

  /** A signal that others are compared with; its spectra are worked out when first needed. */
  public final class Signal {
    private final double[][] x;
    private final double energy;
    private final double[][][] spectra = new double[(frames + step - 1) / step][][];

    private Signal(double[][] x) {
      this.x = x;
      energy = Correlation.energy(x[0], 0, frames) + Correlation.energy(x[1], 0, frames);
    }

    private double[][] spectrum(int block) {
      if (spectra[block] == null) {
        int from = block * step - lagFrames;
        spectra[block] = transformed(x, from, from, from + size);
      }
      return spectra[block];
    }
  }

  /** A stretch of a signal. */
  public final class Stretch {
    private final double[][] x;
    private final int from;
    private final int to;
    private final double energy;
    private final double[][][] spectra;

    private Stretch(double[][] x, int from, int to) {
      this.x = x;
      this.from = from;
      this.to = to;
      energy = Correlation.energy(x[0], from, to) + Correlation.energy(x[1], from, to);
      spectra = new double[(to - from + step - 1) / step + 1][][];
      for (int i = 0; i < spectra.length; i++) {
        int block = from / step + i;
        int first = block * step;
        if (first < to) {
          spectra[i] = transformed(x, first, Math.max(first, from), Math.min(first + step, to));
        }
      }
    }

    /**
     * Whether the normalised cross-correlation of the stretch with a signal, over the frames of the
     * stretch and both channels, reaches {@code least} at a lag within the limit.
     */
    public boolean reaches(double least, Signal other) {
      double[] products = products(other);
      double[] energies = new double[2 * lagFrames + 1];
      Correlation.addEnergies(energies, other.x[0], from - lagFrames, to - from);
      Correlation.addEnergies(energies, other.x[1], from - lagFrames, to - from);
      double doubt = DOUBT * Math.sqrt(energy * other.energy);
      boolean inDoubt = false;
      for (int l = 0; l < energies.length; l++) {
        double past = Math.abs(products[l]) - least * Math.sqrt(energy * energies[l]);
        if (past > doubt) {
          return true;
        }
        inDoubt |= past >= -doubt;
      }
      return inDoubt
          && energy > 0
          && Correlation.reaches(least, x, from, other.x, from, to - from, lagFrames);
    }

    private double[] products(Signal other) {
      double[] sumRe = re;
      double[] sumIm = im;
      Arrays.fill(sumRe, 0);
      Arrays.fill(sumIm, 0);
      for (int i = 0; i < spectra.length; i++) {
        if (spectra[i] != null) {
          double[][] theirs = other.spectrum(from / step + i);
          addProduct(sumRe, sumIm, spectra[i], theirs);
        }
      }
      // The conjugate of the sum is there: its transform is the inverse one, conjugated.
      fourier.transform(sumRe, sumIm);
      double[] products = new double[2 * lagFrames + 1];
      for (int l = 0; l < products.length; l++) {
        products[l] = sumRe[l] / size;
      }
      return products;
    }
  }

  /** Takes a signal over; it is not copied. */
  public Signal signal(double[][] x) {
    return new Signal(x);
  }

  /** A stretch {@code [from, to)} of a signal, inside it. */
  public Stretch stretch(double[][] x, int from, int to) {
    return new Stretch(x, from, to);
  }

  /** Adds the conjugate of {@code conj(a)·b}. */
  private static void addProduct(double[] sumRe, double[] sumIm, double[][] a, double[][] b) {
    double[] aRe = a[0];
    double[] aIm = a[1];
    double[] bRe = b[0];
    double[] bIm = b[1];
    for (int f = 0; f < sumRe.length; f++) {
      sumRe[f] += aRe[f] * bRe[f] + aIm[f] * bIm[f];
      sumIm[f] += aIm[f] * bRe[f] - aRe[f] * bIm[f];
    }
  }

  /** Spectrum of a block from {@code first} on, in which only {@code [from, to)} is not silence. */
  private double[][] transformed(double[][] x, int first, int from, int to) {
    double[][] block = new double[2][size];
    int a = Math.max(0, from);
    int b = Math.min(x[0].length, to);
    for (int c = 0; c < 2; c++) {
      if (a < b) {
        System.arraycopy(x[c], a, block[c], a - first, b - a);
      }
    }
    fourier.transform(block[0], block[1]);
    return block;
  }
}
