package cairn.collisions.spectrum;

import org.jtransforms.fft.DoubleFFT_1D;
import org.visnow.jlargearrays.ConcurrencyUtils;

/**
 * Fourier transforms of one length, in place, on the caller's thread. The only class that knows the
 * library.
 */
final class Transform {

  static {
    // Its own threads make transforms of 8192 points and more 1.7 to 3.2 times slower on two
    // processors, and threads are for the caller to hand out.
    ConcurrencyUtils.setNumberOfThreads(1);
  }

  private final int size;
  private final DoubleFFT_1D transform;

  /**
   * @param size number of values, real or complex, at least 1
   */
  Transform(int size) {
    this.size = size;
    transform = new DoubleFFT_1D(size);
  }

  int size() {
    return size;
  }

  /** {@code z[2f], z[2f+1]} = real and imaginary part of {@code Σ z[n]·e^(−2πi·f·n/size)}. */
  void complex(double[] z) {
    transform.complexForward(z);
  }

  /** Undoes {@link #complex}, scaled by 1/size. */
  void complexInverse(double[] z) {
    transform.complexInverse(z, true);
  }

  /**
   * Adds {@code |X_f|²} of the real values {@code x[0 : size]} to {@code powers[f]}, f from 0 to
   * size/2; {@code x} is used up. The size must be even.
   */
  void addPowers(double[] x, double[] powers) {
    transform.realForward(x);
    int half = size / 2;
    powers[0] += x[0] * x[0];
    powers[half] += x[1] * x[1];
    for (int f = 1; f < half; f++) {
      powers[f] += x[2 * f] * x[2 * f] + x[2 * f + 1] * x[2 * f + 1];
    }
  }
}
