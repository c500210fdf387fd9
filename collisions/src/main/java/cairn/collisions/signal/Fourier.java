package cairn.collisions.signal;

/** The discrete Fourier transform of a power of two of complex values, in place. */
final class Fourier {

  private final int size;
  private final int[] reversed;

  /** Factors of the stage that joins halves of {@code h}, from place {@code h} on. */
  private final double[] cos;

  private final double[] sin;

  /**
   * @param size a power of two, at least 2
   */
  Fourier(int size) {
    if (size < 2 || Integer.bitCount(size) != 1) {
      throw new IllegalArgumentException("size must be a power of two: size=" + size);
    }
    this.size = size;
    reversed = new int[size];
    int shift = Integer.numberOfLeadingZeros(size) + 1;
    for (int i = 0; i < size; i++) {
      reversed[i] = Integer.reverse(i) >>> shift;
    }
    cos = new double[size];
    sin = new double[size];
    for (int half = 1; half < size; half *= 2) {
      for (int j = 0; j < half; j++) {
        cos[half + j] = Math.cos(Math.PI * j / half);
        sin[half + j] = -Math.sin(Math.PI * j / half);
      }
    }
  }

  /** {@code X[f] = Σ x[n]·e^(−2πi·f·n/size)}. */
  void transform(double[] re, double[] im) {
    for (int i = 0; i < size; i++) {
      int j = reversed[i];
      if (j > i) {
        double swap = re[i];
        re[i] = re[j];
        re[j] = swap;
        swap = im[i];
        im[i] = im[j];
        im[j] = swap;
      }
    }
    for (int half = 1; half < size; half *= 2) {
      for (int first = 0; first < size; first += 2 * half) {
        join(re, im, first, half);
      }
    }
  }

  private void join(double[] re, double[] im, int first, int half) {
    double[] c = cos;
    double[] s = sin;
    for (int j = 0; j < half; j++) {
      int a = first + j;
      int b = a + half;
      double x = re[b] * c[half + j] - im[b] * s[half + j];
      double y = re[b] * s[half + j] + im[b] * c[half + j];
      re[b] = re[a] - x;
      im[b] = im[a] - y;
      re[a] += x;
      im[a] += y;
    }
  }
}
