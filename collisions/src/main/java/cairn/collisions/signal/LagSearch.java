package cairn.collisions.signal;

import java.util.Arrays;

/**
 * Looks for the lag at which two signals of two channels are most alike, over several stretches of
 * both together. For one thread.
 *
 * <p>What is compared is the normalised cross-correlation of definitions.md, 4, with the sums taken
 * over all stretches: {@code |Σ a[n]·b[n+l]| / √(Σ a[n]² · Σ b[n+l]²)}. It is worked out for all
 * lags at once by way of spectra, so memory grows with one stretch, not with their number.
 */
public final class LagSearch {

  /** Correlations that differ by less are the same: rounding of sums by way of spectra. */
  private static final double ROUNDING = 1e-9;

  /** Where the second signal has so small a part of its energy, what it holds is rounding. */
  private static final double QUIET = 1e-9;

  private final int frames;
  private final int lagFrames;
  private final int size;
  private final Fourier fourier;
  private final double[][] a;
  private final double[][] b;
  private final double[] sumRe;
  private final double[] sumIm;
  private final double[] energies;
  private double energy;

  /**
   * The lag at which two signals are most alike.
   *
   * @param lagFrames how many frames later the second signal is; below 0: earlier
   * @param correlation the normalised cross-correlation there, 0 to 1; 0 where either is silent
   */
  public record Lag(int lagFrames, double correlation) {}

  /**
   * @param frames length of every stretch, at least 1
   * @param lagFrames longest lag either way
   */
  public LagSearch(int frames, int lagFrames) {
    if (frames < 1 || lagFrames < 0) {
      throw new IllegalArgumentException(
          "frames must be >= 1 and lagFrames >= 0: frames=" + frames + ", lagFrames=" + lagFrames);
    }
    this.frames = frames;
    this.lagFrames = lagFrames;
    // All lags fit side by side, so that none wraps into another.
    size = fittingSize(frames + 2 * lagFrames);
    fourier = new Fourier(size);
    a = new double[2][size];
    b = new double[2][size];
    sumRe = new double[size];
    sumIm = new double[size];
    energies = new double[2 * lagFrames + 1];
  }

  /** The power of two, at least 2, that so many frames fit into. */
  public static int fittingSize(int frames) {
    return Math.max(2, frames > 1 ? Integer.highestOneBit(frames - 1) * 2 : 2);
  }

  /**
   * Adds a stretch.
   *
   * @param first {@code first[0 : 2][0 : frames]}
   * @param second {@code second[0 : 2][0 : frames + 2·lagFrames]}; its frame {@code lagFrames}
   *     belongs to frame 0 of {@code first}
   */
  public void add(double[][] first, double[][] second) {
    int length = frames + 2 * lagFrames;
    // Left and right are the real and the imaginary part of one signal: the real part of a product
    // of spectra then sums both channels.
    for (int c = 0; c < 2; c++) {
      energy += Correlation.energy(first[c], 0, frames);
      Correlation.addEnergies(energies, second[c], 0, frames);
      load(a[c], first[c], frames);
      load(b[c], second[c], length);
    }
    fourier.transform(a[0], a[1]);
    fourier.transform(b[0], b[1]);
    for (int f = 0; f < size; f++) {
      sumRe[f] += a[0][f] * b[0][f] + a[1][f] * b[1][f];
      sumIm[f] += a[1][f] * b[0][f] - a[0][f] * b[1][f];
    }
  }

  private static void load(double[] into, double[] from, int length) {
    System.arraycopy(from, 0, into, 0, length);
    Arrays.fill(into, length, into.length, 0);
  }

  /** The lag of the largest correlation; of several the shortest, the later one on a tie. */
  public Lag best() {
    double[] re = a[0];
    double[] im = a[1];
    System.arraycopy(sumRe, 0, re, 0, size);
    System.arraycopy(sumIm, 0, im, 0, size);
    // The conjugate of the sum is there: its transform is the inverse one, conjugated.
    fourier.transform(re, im);
    double loudest = Arrays.stream(energies).max().orElse(0);
    double[] correlations = new double[energies.length];
    double largest = 0;
    for (int l = 0; l < correlations.length; l++) {
      if (energy > 0 && energies[l] > QUIET * loudest) {
        correlations[l] = Math.abs(re[l] / size) / Math.sqrt(energy * energies[l]);
        largest = Math.max(largest, correlations[l]);
      }
    }
    int best = 0;
    while (!isLargest(correlations, best, largest)) {
      best = best > 0 ? -best : 1 - best;
    }
    return new Lag(best, Math.min(1, correlations[lagFrames + best]));
  }

  private boolean isLargest(double[] correlations, int lag, double largest) {
    return correlations[lagFrames + lag] >= largest - ROUNDING;
  }
}
