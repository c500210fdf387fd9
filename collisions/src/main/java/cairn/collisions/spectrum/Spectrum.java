package cairn.collisions.spectrum;

import cairn.collisions.Decibels;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Sound;
import java.io.IOException;

/**
 * Power spectra by way of a periodic Hann window: general practice, F. J. Harris, Proc. IEEE 66(1),
 * 1978, and P. D. Welch, IEEE Trans. Audio Electroacoust. AU-15(2), 1967 (both from memory). For
 * one thread.
 *
 * <p>The one-sided power of bin f is {@code 2·|X_f|² / (size·Σ w²)}, without the factor 2 at 0 Hz
 * and half the sample rate: all bins add up to the mean square of white noise, and the bins about a
 * sine of amplitude A to A²/2. Powers are those of both channels, averaged.
 */
public final class Spectrum {

  /** Windows that are nowhere above this level are left out: definitions.md, 7. */
  private static final double FLOOR = Decibels.toFactor(-70);

  private final Transform transform;
  private final double[] window;
  private final double[] windowed;
  private final double[] powers;
  private double squares;
  private int windows;

  /**
   * @param size frames of a window, even
   */
  public Spectrum(int size) {
    if (size < 2 || size % 2 != 0) {
      throw new IllegalArgumentException("size must be even and >= 2: size=" + size);
    }
    transform = new Transform(size);
    window = new double[size];
    for (int n = 0; n < size; n++) {
      window[n] = 0.5 - 0.5 * Math.cos(2 * Math.PI * n / size);
      squares += window[n] * window[n];
    }
    windowed = new double[size];
    powers = new double[size / 2 + 1];
  }

  /** Frames of a window for a long-term spectrum at a sample rate in Hz: definitions.md, 7. */
  public static int longTermSize(int sampleRateHz) {
    return sampleRateHz <= 48_000 ? 65_536 : sampleRateHz <= 96_000 ? 131_072 : 262_144;
  }

  /** Is handed each stretch of a sound once, in order: {@code block[0 : 2][0 : frames]}. */
  @FunctionalInterface
  interface Listener {
    void take(double[][] block, int frames);
  }

  /** As {@link #longTerm(Sound, int, Listener)}, for the spectrum alone. */
  public static double[] longTerm(Sound sound, int sampleRateHz) throws IOException {
    return longTerm(sound, sampleRateHz, (block, frames) -> {});
  }

  /**
   * The long-term average spectrum: definitions.md, 7. Windows begin at frame 0 and each half a
   * window later, as long as they lie in the sound whole; a sound shorter than one window is
   * followed by silence to its end.
   *
   * @param sampleRateHz sample rate in Hz
   * @param listener hears all of the sound, also what is left after the last window
   * @return power in each third-octave band, linear; all 0 if the sound is nowhere above −70 dBFS
   */
  static double[] longTerm(Sound sound, int sampleRateHz, Listener listener) throws IOException {
    int size = longTermSize(sampleRateHz);
    int half = size / 2;
    Spectrum spectrum = new Spectrum(size);
    double[][] window = Block.stereo(size);
    double[][] next = Block.stereo(half);
    for (long first = 0; first == 0 || first < sound.frames(); first += half) {
      sound.read(first, half, next);
      listener.take(next, (int) Math.max(0, Math.min(half, sound.frames() - first)));
      for (int c = 0; c < 2; c++) {
        System.arraycopy(window[c], half, window[c], 0, half);
        System.arraycopy(next[c], 0, window[c], half, half);
      }
      if (first > 0 && first + half <= sound.frames()) {
        spectrum.add(window, 0);
      }
    }
    if (sound.frames() < size) {
      sound.read(0, size, window);
      spectrum.add(window, 0);
    }
    return ThirdOctaves.ofBins(spectrum.binPowers(), sampleRateHz);
  }

  /** Adds the window {@code block[0 : 2][at : at + size]}, unless it is as good as silent. */
  public void add(double[][] block, int at) {
    int size = transform.size();
    double peak =
        Math.max(Block.peak(block[0], at, at + size), Block.peak(block[1], at, at + size));
    if (peak > FLOOR) {
      add(block[0], at);
      add(block[1], at);
      windows++;
    }
  }

  private void add(double[] x, int at) {
    double[] to = windowed;
    for (int n = 0; n < to.length; n++) {
      to[n] = window[n] * x[at + n];
    }
    transform.addPowers(to, powers);
  }

  /** How many windows were added, silent ones not counted. */
  public int windows() {
    return windows;
  }

  /** One-sided power of bins 0 to size/2, averaged over windows and both channels. */
  public double[] binPowers() {
    double[] mean = new double[powers.length];
    if (windows == 0) {
      return mean;
    }
    double scale = 1 / (2.0 * windows * transform.size() * squares);
    for (int f = 0; f < mean.length; f++) {
      mean[f] = powers[f] * (f == 0 || f == mean.length - 1 ? scale : 2 * scale);
    }
    return mean;
  }
}
