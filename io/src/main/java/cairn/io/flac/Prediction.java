package cairn.io.flac;

/**
 * Turns residuals into samples, in place: {@code samples[from : to]} holds residuals, what stands
 * before holds samples. RFC 9639, 9.2.5 and 9.2.6.
 *
 * <p>A sum of products has at most 33 + 15 + 5 = 53 bits, so a long holds it (the RFC's bound: bits
 * of a sample, of a coefficient, and log2 of the order). Where the sizes of the coefficients show
 * that 32 bits are enough, int is used.
 */
final class Prediction {

  private Prediction() {}

  /** Fixed predictor; all sums wrap, which is exact as long as the samples fit into an int. */
  static void fixed(int[] samples, int from, int to, int order) {
    int[] s = samples;
    switch (order) {
      case 0 -> {}
      case 1 -> {
        int a = s[from - 1];
        for (int i = from; i < to; i++) {
          a += s[i];
          s[i] = a;
        }
      }
      case 2 -> {
        int a = s[from - 1];
        int slope = a - s[from - 2];
        for (int i = from; i < to; i++) {
          slope += s[i];
          a += slope;
          s[i] = a;
        }
      }
      case 3 -> {
        int a = s[from - 1];
        int slope = a - s[from - 2];
        int bend = slope - (s[from - 2] - s[from - 3]);
        for (int i = from; i < to; i++) {
          bend += s[i];
          slope += bend;
          a += slope;
          s[i] = a;
        }
      }
      case 4 -> {
        int a = s[from - 1];
        int slope = a - s[from - 2];
        int bend = slope - (s[from - 2] - s[from - 3]);
        int turn = bend - (s[from - 2] - 2 * s[from - 3] + s[from - 4]);
        for (int i = from; i < to; i++) {
          turn += s[i];
          bend += turn;
          slope += bend;
          a += slope;
          s[i] = a;
        }
      }
      default -> throw new IllegalArgumentException("order must be 0 to 4: order=" + order);
    }
  }

  /**
   * Linear predictor. The kernels take 4, 8, 12 or a multiple of 4 coefficients: those past the
   * order are 0, and {@code samples} must have as many elements before {@code from}.
   *
   * @param bits bits of a sample
   */
  static void linear(
      int[] samples, int from, int to, int[] coefficients, int order, int shift, int bits) {
    int sumOfSizes = 0;
    for (int j = 0; j < order; j++) {
      sumOfSizes += Math.abs(coefficients[j]);
    }
    // A sample is at most 2^(bits - 1) in size. One that is over makes the frame broken anyway.
    if (sumOfSizes <= Integer.MAX_VALUE >>> (bits - 1)) {
      if (order <= 4) {
        int4(samples, from, to, coefficients, shift);
      } else if (order <= 8) {
        int8(samples, from, to, coefficients, shift);
      } else if (order <= 12) {
        int12(samples, from, to, coefficients, shift);
      } else {
        longAny(samples, from, to, coefficients, order, shift);
      }
    } else if (order <= 4) {
      long4(samples, from, to, coefficients, shift);
    } else if (order <= 8) {
      long8(samples, from, to, coefficients, shift);
    } else if (order <= 12) {
      long12(samples, from, to, coefficients, shift);
    } else {
      longAny(samples, from, to, coefficients, order, shift);
    }
  }

  private static void int4(int[] s, int from, int to, int[] c, int shift) {
    int c0 = c[0];
    int c1 = c[1];
    int c2 = c[2];
    int c3 = c[3];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      int sum = c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2] + c0 * last;
      last = s[i] + (sum >> shift);
      s[i] = last;
    }
  }

  private static void int8(int[] s, int from, int to, int[] c, int shift) {
    int c0 = c[0];
    int c1 = c[1];
    int c2 = c[2];
    int c3 = c[3];
    int c4 = c[4];
    int c5 = c[5];
    int c6 = c[6];
    int c7 = c[7];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      int sum =
          (c7 * s[i - 8] + c6 * s[i - 7] + c5 * s[i - 6] + c4 * s[i - 5])
              + (c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2])
              + c0 * last;
      last = s[i] + (sum >> shift);
      s[i] = last;
    }
  }

  private static void int12(int[] s, int from, int to, int[] c, int shift) {
    int c0 = c[0];
    int c1 = c[1];
    int c2 = c[2];
    int c3 = c[3];
    int c4 = c[4];
    int c5 = c[5];
    int c6 = c[6];
    int c7 = c[7];
    int c8 = c[8];
    int c9 = c[9];
    int c10 = c[10];
    int c11 = c[11];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      int sum =
          (c11 * s[i - 12] + c10 * s[i - 11] + c9 * s[i - 10] + c8 * s[i - 9])
              + (c7 * s[i - 8] + c6 * s[i - 7] + c5 * s[i - 6] + c4 * s[i - 5])
              + (c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2])
              + c0 * last;
      last = s[i] + (sum >> shift);
      s[i] = last;
    }
  }

  private static void long4(int[] s, int from, int to, int[] c, int shift) {
    long c0 = c[0];
    long c1 = c[1];
    long c2 = c[2];
    long c3 = c[3];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      long sum = c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2] + c0 * last;
      last = s[i] + (int) (sum >> shift);
      s[i] = last;
    }
  }

  private static void long8(int[] s, int from, int to, int[] c, int shift) {
    long c0 = c[0];
    long c1 = c[1];
    long c2 = c[2];
    long c3 = c[3];
    long c4 = c[4];
    long c5 = c[5];
    long c6 = c[6];
    long c7 = c[7];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      long sum =
          (c7 * s[i - 8] + c6 * s[i - 7] + c5 * s[i - 6] + c4 * s[i - 5])
              + (c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2])
              + c0 * last;
      last = s[i] + (int) (sum >> shift);
      s[i] = last;
    }
  }

  private static void long12(int[] s, int from, int to, int[] c, int shift) {
    long c0 = c[0];
    long c1 = c[1];
    long c2 = c[2];
    long c3 = c[3];
    long c4 = c[4];
    long c5 = c[5];
    long c6 = c[6];
    long c7 = c[7];
    long c8 = c[8];
    long c9 = c[9];
    long c10 = c[10];
    long c11 = c[11];
    int last = s[from - 1];
    for (int i = from; i < to; i++) {
      long sum =
          (c11 * s[i - 12] + c10 * s[i - 11] + c9 * s[i - 10] + c8 * s[i - 9])
              + (c7 * s[i - 8] + c6 * s[i - 7] + c5 * s[i - 6] + c4 * s[i - 5])
              + (c3 * s[i - 4] + c2 * s[i - 3] + c1 * s[i - 2])
              + c0 * last;
      last = s[i] + (int) (sum >> shift);
      s[i] = last;
    }
  }

  private static void longAny(int[] s, int from, int to, int[] c, int order, int shift) {
    for (int i = from; i < to; i++) {
      long sum = 0;
      for (int j = 0; j < order; j += 4) {
        sum +=
            (long) c[j] * s[i - 1 - j]
                + (long) c[j + 1] * s[i - 2 - j]
                + (long) c[j + 2] * s[i - 3 - j]
                + (long) c[j + 3] * s[i - 4 - j];
      }
      s[i] += (int) (sum >> shift);
    }
  }

  /**
   * The same for samples of 33 bits, the side of 32-bit stereo: residuals from {@code
   * residuals[from : to]}, samples in {@code wide}. A fixed predictor is one with shift 0.
   */
  static void wide(
      int[] residuals, long[] wide, int from, int to, int[] coefficients, int order, int shift) {
    for (int i = from; i < to; i++) {
      long sum = 0;
      for (int j = 0; j < order; j++) {
        sum += coefficients[j] * wide[i - 1 - j];
      }
      wide[i] = residuals[i] + (sum >> shift);
    }
  }
}
