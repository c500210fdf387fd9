package cairn.io.flac;

/**
 * How one channel of a block is best written with fixed predictors, and what it takes; RFC 9639,
 * 9.2.
 */
final class SubframePlan {

  private static final int HIGHEST_ORDER = 4;

  /** The streamable subset allows 8 (RFC 9639, 7); more than 6 wins next to nothing here. */
  private static final int HIGHEST_PARTITION_ORDER = 6;

  /** Largest parameter of the method with 4 bits, and of that with 5. */
  private static final int LARGEST_OF_METHOD_0 = 14;

  private static final int LARGEST_OF_METHOD_1 = 30;

  private static final int VERBATIM = -1;
  private static final int CONSTANT = -2;

  private final int[] residual;
  private final long[] sums = new long[1 << HIGHEST_PARTITION_ORDER];
  private int[] samples = {};
  private int frames;
  private int bits;

  /** The predictor's order, or one of the two ways without. */
  private int order;

  private int partitionOrder;
  private long cost;

  SubframePlan(int mostFrames) {
    this.residual = new int[mostFrames];
  }

  /** Upper bound of the bits that {@link #write} takes. */
  long costBits() {
    return cost;
  }

  /**
   * Plans {@code channel[0 : count]}, numbers of {@code width} bits, 25 at most; the array must
   * stay as it is until it is written.
   */
  void plan(int[] channel, int count, int width) {
    samples = channel;
    frames = count;
    bits = width;
    cost = 8 + (long) count * width;
    order = VERBATIM;
    if (isConstant()) {
      order = CONSTANT;
      cost = 8L + width;
      return;
    }
    planFixed(bestOrder());
  }

  private boolean isConstant() {
    for (int i = 1; i < frames; i++) {
      if (samples[i] != samples[0]) {
        return false;
      }
    }
    return true;
  }

  /** The order with the smallest sum of sizes; the lower on a tie. */
  private int bestOrder() {
    int best = 0;
    long least = Long.MAX_VALUE;
    for (int k = 0; k <= Math.min(HIGHEST_ORDER, frames - 1); k++) {
      predict(k);
      long sum = 0;
      for (int i = HIGHEST_ORDER; i < frames; i++) {
        sum += Math.abs(residual[i]);
      }
      if (sum < least) {
        least = sum;
        best = k;
      }
    }
    return best;
  }

  /** Writes {@code residual[k : frames]}; at most 25 + 4 bits, so no difference passes an int. */
  private void predict(int k) {
    int[] s = samples;
    for (int i = k; i < frames; i++) {
      residual[i] =
          switch (k) {
            case 0 -> s[i];
            case 1 -> s[i] - s[i - 1];
            case 2 -> s[i] - 2 * s[i - 1] + s[i - 2];
            case 3 -> s[i] - 3 * s[i - 1] + 3 * s[i - 2] - s[i - 3];
            default -> s[i] - 4 * s[i - 1] + 6 * s[i - 2] - 4 * s[i - 3] + s[i - 4];
          };
    }
  }

  private void planFixed(int k) {
    predict(k);
    int finest = 0;
    while (finest < HIGHEST_PARTITION_ORDER
        && frames % (2 << finest) == 0
        && frames >> (finest + 1) > k) {
      finest++;
    }
    for (int p = finest; p >= 0; p--) {
      long bitsOfAll = 8 + (long) k * bits + 6;
      for (int j = 0; j < 1 << p; j++) {
        sums[j] = p == finest ? sum(j, p, k) : sums[2 * j] + sums[2 * j + 1];
        int length = length(j, p, k);
        int parameter = parameter(sums[j], length);
        bitsOfAll += 5 + length * (parameter + 1L) + (sums[j] >> parameter);
      }
      if (bitsOfAll < cost) {
        cost = bitsOfAll;
        order = k;
        partitionOrder = p;
      }
    }
  }

  private int start(int partition, int p, int k) {
    return partition == 0 ? k : partition * (frames >> p);
  }

  private int length(int partition, int p, int k) {
    return (partition + 1) * (frames >> p) - start(partition, p, k);
  }

  private long sum(int partition, int p, int k) {
    int from = start(partition, p, k);
    int to = from + length(partition, p, k);
    long sum = 0;
    for (int i = from; i < to; i++) {
      sum += folded(residual[i]);
    }
    return sum;
  }

  private static int folded(int residual) {
    return residual << 1 ^ residual >> 31;
  }

  /** The parameter that takes the fewest bits for {@code length} numbers that add up to the sum. */
  private static int parameter(long sum, int length) {
    int best = 0;
    long least = Long.MAX_VALUE;
    for (int parameter = 0; parameter <= LARGEST_OF_METHOD_1; parameter++) {
      long bitsOfAll = length * (parameter + 1L) + (sum >> parameter);
      if (bitsOfAll < least) {
        least = bitsOfAll;
        best = parameter;
      }
    }
    return best;
  }

  /** Writes the subframe. */
  void write(BitWriter out) {
    if (order == CONSTANT) {
      out.write(0, 8);
      out.write(samples[0], bits);
    } else if (order == VERBATIM) {
      out.write(1 << 1, 8);
      for (int i = 0; i < frames; i++) {
        out.write(samples[i], bits);
      }
    } else {
      out.write((8 + order) << 1, 8);
      for (int i = 0; i < order; i++) {
        out.write(samples[i], bits);
      }
      predict(order);
      writeResidual(out);
    }
  }

  private void writeResidual(BitWriter out) {
    int partitions = 1 << partitionOrder;
    int[] parameters = new int[partitions];
    int largest = 0;
    for (int j = 0; j < partitions; j++) {
      parameters[j] = parameter(sum(j, partitionOrder, order), length(j, partitionOrder, order));
      largest = Math.max(largest, parameters[j]);
    }
    int method = largest > LARGEST_OF_METHOD_0 ? 1 : 0;
    out.write(method, 2);
    out.write(partitionOrder, 4);
    for (int j = 0; j < partitions; j++) {
      int parameter = parameters[j];
      out.write(parameter, 4 + method);
      int from = start(j, partitionOrder, order);
      int to = from + length(j, partitionOrder, order);
      for (int i = from; i < to; i++) {
        int folded = folded(residual[i]);
        out.writeUnary(folded >>> parameter);
        out.write(folded, parameter);
      }
    }
  }
}
