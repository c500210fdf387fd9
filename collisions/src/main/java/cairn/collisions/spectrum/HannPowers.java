package cairn.collisions.spectrum;

import java.util.Arrays;

/**
 * Power of stretches of one length, bin by bin, through one periodic Hann window; definitions.md, 4
 * (tone cost) and 7. For one thread.
 */
final class HannPowers {

  /** Bins of 6 Hz or less, so that low bands have one of their own. */
  private static final double BIN_HZ = 6;

  private final double[] window;
  private final Transform transform;
  private final double[] z;
  private final double scale;

  /**
   * @param frames length of the stretches, over 0
   * @param sampleRateHz sample rate in Hz
   */
  HannPowers(int frames, int sampleRateHz) {
    if (frames < 1) {
      throw new IllegalArgumentException("frames must be >= 1: frames=" + frames);
    }
    window = new double[frames];
    double squares = 0;
    for (int n = 0; n < frames; n++) {
      window[n] = 0.5 - 0.5 * Math.cos(2 * Math.PI * n / frames);
      squares += window[n] * window[n];
    }
    int least = (int) Math.max(frames, sampleRateHz / BIN_HZ);
    int size = Math.max(2, Integer.highestOneBit(least - 1) * 2);
    transform = new Transform(size);
    z = new double[2 * size];
    scale = squares == 0 ? 0 : 1 / (2.0 * size * squares);
  }

  /**
   * The mean of both channels: a steady sine of amplitude A on both has A²/2 in all bins together.
   *
   * @param y {@code y[0 : 2][0 : frames]}
   * @return one-sided power of bins 0 to size/2, linear
   */
  double[] bins(double[][] y) {
    int size = transform.size();
    for (int n = 0; n < window.length; n++) {
      z[2 * n] = window[n] * y[0][n];
      z[2 * n + 1] = window[n] * y[1][n];
    }
    Arrays.fill(z, 2 * window.length, z.length, 0);
    transform.complex(z);
    // Of z = l + i·r: |Z_f|² + |Z_−f|² = 2·(|L_f|² + |R_f|²), which is the one-sided power but
    // for 0 Hz and half the sample rate, where it is counted twice.
    double[] bins = new double[size / 2 + 1];
    bins[0] = power(0) * scale;
    bins[size / 2] = power(size / 2) * scale;
    for (int f = 1; f < size / 2; f++) {
      bins[f] = (power(f) + power(size - f)) * scale;
    }
    return bins;
  }

  private double power(int f) {
    return z[2 * f] * z[2 * f] + z[2 * f + 1] * z[2 * f + 1];
  }
}
