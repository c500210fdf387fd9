package cairn.collisions.signal;

import java.util.ArrayList;
import java.util.List;

/**
 * Normalised cross-correlation of two sounds octave by octave, for pairs that share only a part of
 * their spectrum: a drum and its low layer, a sound and what a filter left of it.
 *
 * <p>Bands are those of IEC 61260-1, base ten, mid-bands 1000 Hz · 10^(0.3·i) from 63 Hz to 16 kHz,
 * cut in the spectrum with straight edges. Narrow bands of unrelated sounds correlate at some lag
 * by chance: believe one only where its lag returns.
 */
public final class BandCorrelation {

  private static final int LOWEST = -4;
  private static final int HIGHEST = 4;

  /** Half a band to either side of its middle, as a factor. */
  private static final double EDGE = Math.pow(10, 0.15);

  /** Width of a band by its middle: 0.705. */
  private static final double WIDTH = EDGE - 1 / EDGE;

  /** A band is told of where it lies within 10 dB of the strongest of the first sound. */
  private static final double WITHIN = 0.1;

  /** From this correlation on a band is the same sound: narrow bands are alike by chance. */
  private static final double SAME_FROM = 0.9;

  /**
   * From so many free values on, {@value #SAME_FROM} is no chance: that 16 pairs of normal values
   * correlate so has a chance of 2 in a million (Student's t of 7.7 with 14 degrees of freedom). Of
   * two clicks a band keeps hardly more than its own ringing, which is always alike.
   */
  private static final double FREE_VALUES = 16;

  /** Mean of the fourth power over the square of the mean square, of noise. */
  private static final double KURTOSIS = 3;

  private BandCorrelation() {}

  /**
   * How alike two sounds are in one band.
   *
   * @param midHz nominal mid-band frequency in Hz, such as 63
   * @param correlation the largest absolute value over the lags, signed: below 0 for turned
   *     polarity
   * @param lagFrames where it is: over 0 the second sound is later
   * @param freeValues how many values of the first sound are free there: 2 · width of the band ·
   *     the time that its energy takes, (Σ e)² / Σ e² of {@code e[n] = a[n]²}, three times as long
   *     as noise goes by that figure
   */
  public record Band(int midHz, double correlation, int lagFrames, double freeValues) {

    /** Whether the two sounds are the same in this band, if not by chance. */
    public boolean isSame() {
      return Math.abs(correlation) >= SAME_FROM;
    }

    /** Whether that is more than chance. */
    public boolean isSure() {
      return freeValues >= FREE_VALUES;
    }
  }

  /**
   * Correlates a stretch of {@code a} with {@code b}, {@code Σ a[n]·b[n+l] / √(Σ a[n]² · Σ
   * b[n+l]²)} over the stretch and both channels, in each band.
   *
   * @param a {@code a[0 : 2][frame]}
   * @param b {@code b[0 : 2][frame]}, of the same length
   * @param from first frame of the stretch
   * @param to frame after its last
   * @param lagFrames longest lag either way
   * @return the bands that carry the first sound and of which two periods fit in, upwards
   */
  public static List<Band> of(
      double[][] a, double[][] b, int from, int to, int lagFrames, int sampleRateHz) {
    int frames = to - from;
    if (frames < 1) {
      return List.of();
    }
    int wide = frames + 2 * lagFrames;
    // As much again, so that what a band's edges ring does not come round to the other end.
    int size = Integer.highestOneBit(2 * wide - 1) * 2;
    Fourier fourier = new Fourier(size);
    double[][] first = spectrum(fourier, size, a, from, to, lagFrames);
    double[][] second = spectrum(fourier, size, b, from - lagFrames, to + lagFrames, 0);
    double[] energy = new double[HIGHEST - LOWEST + 1];
    double strongest = 0;
    for (int band = LOWEST; band <= HIGHEST; band++) {
      for (int f = 1; f < size; f++) {
        energy[band - LOWEST] +=
            isIn(band, f, size, sampleRateHz)
                ? first[0][f] * first[0][f] + first[1][f] * first[1][f]
                : 0;
      }
      strongest = Math.max(strongest, energy[band - LOWEST]);
    }
    List<Band> bands = new ArrayList<>();
    for (int band = LOWEST; band <= HIGHEST; band++) {
      boolean fits = frames * midHz(band) >= 2.0 * sampleRateHz;
      if (fits && energy[band - LOWEST] > 0 && energy[band - LOWEST] >= WITHIN * strongest) {
        double[][] x = limited(fourier, first, band, sampleRateHz);
        double[][] y = limited(fourier, second, band, sampleRateHz);
        double free =
            2 * WIDTH * midHz(band) / sampleRateHz * KURTOSIS * spread(x, lagFrames, frames);
        bands.add(best(fourier, new Band(nominalHz(band), 0, 0, free), x, y, frames, lagFrames));
      }
    }
    return bands;
  }

  private static double midHz(int band) {
    return 1000 * Math.pow(10, 0.3 * band);
  }

  private static int nominalHz(int band) {
    return switch (band) {
      case -4 -> 63;
      case -3 -> 125;
      default -> (int) Math.round(1000 * Math.pow(2, band));
    };
  }

  /** Whether a bin lies in a band; both halves of the spectrum belong to two real channels. */
  private static boolean isIn(int band, int f, int size, int sampleRateHz) {
    double hertz = (double) Math.min(f, size - f) * sampleRateHz / size;
    return hertz >= midHz(band) / EDGE && hertz < midHz(band) * EDGE;
  }

  /** Spectrum of {@code x[from : to]}, set at {@code at}; left real, right imaginary. */
  private static double[][] spectrum(
      Fourier fourier, int size, double[][] x, int from, int to, int at) {
    double[][] block = new double[2][size];
    int inside = Math.max(0, from);
    int end = Math.min(x[0].length, to);
    for (int c = 0; c < 2; c++) {
      if (end > inside) {
        System.arraycopy(x[c], inside, block[c], at + inside - from, end - inside);
      }
    }
    fourier.transform(block[0], block[1]);
    return block;
  }

  /** What a band holds of a sound, back in time. */
  private static double[][] limited(
      Fourier fourier, double[][] spectrum, int band, int sampleRateHz) {
    int size = spectrum[0].length;
    double[] re = new double[size];
    double[] im = new double[size];
    for (int f = 1; f < size; f++) {
      if (isIn(band, f, size, sampleRateHz)) {
        re[f] = spectrum[0][f];
        // Conjugated, so that the transform is the inverse one, conjugated.
        im[f] = -spectrum[1][f];
      }
    }
    fourier.transform(re, im);
    for (int n = 0; n < size; n++) {
      re[n] /= size;
      im[n] /= -size;
    }
    return new double[][] {re, im};
  }

  /** Over how many frames the energy of {@code x[][from : from + frames]} is spread. */
  private static double spread(double[][] x, int from, int frames) {
    double sum = 0;
    double squares = 0;
    for (int n = from; n < from + frames; n++) {
      double energy = x[0][n] * x[0][n] + x[1][n] * x[1][n];
      sum += energy;
      squares += energy * energy;
    }
    return squares > 0 ? sum * sum / squares : 0;
  }

  private static Band best(
      Fourier fourier, Band silent, double[][] x, double[][] y, int frames, int lagFrames) {
    int size = x[0].length;
    double[][] cut = new double[2][size];
    double energy = 0;
    double[] energies = new double[2 * lagFrames + 1];
    for (int c = 0; c < 2; c++) {
      System.arraycopy(x[c], lagFrames, cut[c], 0, frames);
      energy += Correlation.energy(cut[c], 0, frames);
      Correlation.addEnergies(energies, y[c], 0, frames);
    }
    double[][] other = {y[0].clone(), y[1].clone()};
    fourier.transform(cut[0], cut[1]);
    fourier.transform(other[0], other[1]);
    double[] re = new double[size];
    double[] im = new double[size];
    for (int f = 0; f < size; f++) {
      // The conjugate of conj(cut)·other.
      re[f] = cut[0][f] * other[0][f] + cut[1][f] * other[1][f];
      im[f] = cut[1][f] * other[0][f] - cut[0][f] * other[1][f];
    }
    fourier.transform(re, im);
    Band best = silent;
    for (int l = 0; l < energies.length; l++) {
      double scale = Math.sqrt(energy * energies[l]);
      double correlation = scale > 0 ? re[l] / size / scale : 0;
      if (Math.abs(correlation) > Math.abs(best.correlation)) {
        best = new Band(silent.midHz, correlation, l - lagFrames, silent.freeValues);
      }
    }
    return best;
  }
}
