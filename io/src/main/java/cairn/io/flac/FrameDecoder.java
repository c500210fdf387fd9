package cairn.io.flac;

import java.util.Arrays;

/**
 * Turns the subframes of one frame into samples; RFC 9639, 9.2. Its arrays are reused and grow to
 * the largest block met.
 */
final class FrameDecoder {

  /**
   * Elements before the first sample, so that a predictor whose coefficients are filled up with
   * zeros may look back before it; the highest order.
   */
  static final int LEAD = 32;

  private static final int[][] FIXED_COEFFICIENTS = {{}, {1}, {2, -1}, {3, -3, 1}, {4, -6, 4, -1}};

  private static final int CONSTANT = 0;
  private static final int VERBATIM = 1;
  private static final int FIRST_FIXED = 8;
  private static final int LAST_FIXED = 12;
  private static final int FIRST_LINEAR = 32;

  private final StreamInfo info;
  private final BitReader reader = new BitReader();
  private final int[] coefficients = new int[LEAD];
  private int shift;
  private int[][] samples;

  /** The side channel of 32-bit stereo, which has 33 bits; made when first needed. */
  private long[] wide = {};

  FrameDecoder(StreamInfo info) {
    this.info = info;
    this.samples = new int[info.channels()][0];
  }

  /**
   * The samples of the last frame decoded: {@code [channel][LEAD : LEAD + blockFrames]}. Not to be
   * changed, and valid until the next one.
   */
  int[][] samples() {
    return samples;
  }

  /**
   * Decodes the subframes at {@code source[at]}, writes {@link #samples}.
   *
   * @param end first index of {@code source} that does not count; {@link BitReader#PADDING} bytes
   *     follow it
   * @return index of the frame's footer, at most {@code end}
   */
  int decode(FrameHeader header, byte[] source, int at, int end) throws BrokenFrame {
    int block = header.blockFrames();
    if (samples[0].length < LEAD + block) {
      samples = new int[info.channels()][LEAD + block];
    }
    reader.start(source, at, end);
    int code = header.channelCode();
    int side =
        switch (code) {
          case FrameHeader.LEFT_SIDE, FrameHeader.MID_SIDE -> 1;
          case FrameHeader.SIDE_RIGHT -> 0;
          default -> -1;
        };
    for (int c = 0; c < info.channels(); c++) {
      subframe(samples[c], block, info.bits() + (c == side ? 1 : 0));
    }
    int footer = reader.position();
    if (footer > end) {
      throw BrokenFrame.cutOff();
    }
    if (side >= 0) {
      if (info.bits() == 32) {
        joinWide(code, block);
      } else {
        join(code, samples[0], samples[1], LEAD + block);
      }
    }
    for (int[] channel : samples) {
      if (beyond(channel, LEAD + block, info.bits())) {
        throw BrokenFrame.because("a sample is over " + info.bits() + " bits");
      }
    }
    return footer;
  }

  private void subframe(int[] out, int block, int fullBits) throws BrokenFrame {
    if (reader.unsigned(1) != 0) {
      throw BrokenFrame.because("a subframe has a reserved bit");
    }
    int type = (int) reader.unsigned(6);
    int wasted = 0;
    if (reader.unsigned(1) != 0) {
      wasted = reader.unary() + 1;
      if (wasted >= fullBits) {
        throw BrokenFrame.because("a subframe wastes all its bits");
      }
    }
    int bits = fullBits - wasted;
    if (fullBits > 32) {
      wideSubframe(out, block, type, bits, wasted);
      return;
    }
    int end = LEAD + block;
    if (type == CONSTANT) {
      Arrays.fill(out, LEAD, end, (int) reader.signed(bits));
    } else if (type == VERBATIM) {
      reader.signed(out, LEAD, end, bits);
    } else {
      int order = order(type, block);
      int from = LEAD + order;
      reader.signed(out, LEAD, from, bits);
      if (type >= FIRST_LINEAR) {
        takeCoefficients(order);
        residual(out, order, block);
        Prediction.linear(out, from, end, coefficients, order, shift, bits);
      } else {
        residual(out, order, block);
        Prediction.fixed(out, from, end, order);
      }
    }
    if (wasted > 0) {
      for (int i = LEAD; i < end; i++) {
        out[i] <<= wasted;
      }
    }
  }

  private void wideSubframe(int[] scratch, int block, int type, int bits, int wasted)
      throws BrokenFrame {
    int end = LEAD + block;
    if (wide.length < end) {
      wide = new long[end];
    }
    if (type == CONSTANT) {
      Arrays.fill(wide, LEAD, end, reader.signed(bits));
    } else {
      int order = type == VERBATIM ? block : order(type, block);
      int from = LEAD + order;
      for (int i = LEAD; i < from; i++) {
        wide[i] = reader.signed(bits);
      }
      if (type >= FIRST_LINEAR) {
        takeCoefficients(order);
        residual(scratch, order, block);
        Prediction.wide(scratch, wide, from, end, coefficients, order, shift);
      } else if (type >= FIRST_FIXED) {
        residual(scratch, order, block);
        Prediction.wide(scratch, wide, from, end, FIXED_COEFFICIENTS[order], order, 0);
      }
    }
    if (wasted > 0) {
      for (int i = LEAD; i < end; i++) {
        wide[i] <<= wasted;
      }
    }
  }

  private static int order(int type, int block) throws BrokenFrame {
    int order;
    if (type >= FIRST_LINEAR) {
      order = type - FIRST_LINEAR + 1;
    } else if (type >= FIRST_FIXED && type <= LAST_FIXED) {
      order = type - FIRST_FIXED;
    } else {
      throw BrokenFrame.because("a subframe has a reserved type");
    }
    if (order > block) {
      throw BrokenFrame.because("a subframe predicts from more samples than it has");
    }
    return order;
  }

  private void takeCoefficients(int order) throws BrokenFrame {
    int precision = (int) reader.unsigned(4) + 1;
    if (precision == 16) {
      throw BrokenFrame.because("a subframe has a reserved precision");
    }
    shift = (int) reader.signed(5);
    if (shift < 0) {
      throw BrokenFrame.because("a subframe has a negative shift");
    }
    for (int i = 0; i < order; i++) {
      coefficients[i] = (int) reader.signed(precision);
    }
    Arrays.fill(coefficients, order, LEAD, 0);
  }

  /** Writes {@code out[LEAD + order : LEAD + block]}; RFC 9639, 9.2.7. */
  private void residual(int[] out, int order, int block) throws BrokenFrame {
    int method = (int) reader.unsigned(2);
    if (method > 1) {
      throw BrokenFrame.because("a subframe has a reserved residual coding");
    }
    int parameterBits = 4 + method;
    int escape = (1 << parameterBits) - 1;
    int partitionOrder = (int) reader.unsigned(4);
    int partitions = 1 << partitionOrder;
    int length = block >>> partitionOrder;
    if (length << partitionOrder != block || length < order) {
      throw BrokenFrame.because("a subframe's partitions do not fit its length");
    }
    int from = LEAD + order;
    for (int p = 1; p <= partitions; p++) {
      int to = LEAD + p * length;
      int parameter = (int) reader.unsigned(parameterBits);
      if (parameter != escape) {
        reader.rice(out, from, to, parameter);
      } else {
        int width = (int) reader.unsigned(5);
        if (width == 0) {
          Arrays.fill(out, from, to, 0);
        } else {
          reader.signed(out, from, to, width);
        }
      }
      from = to;
    }
  }

  /** Left and right from what was coded, in place. Exact: no sum of valid samples passes an int. */
  private static void join(int code, int[] first, int[] second, int end) {
    if (code == FrameHeader.LEFT_SIDE) {
      for (int i = LEAD; i < end; i++) {
        second[i] = first[i] - second[i];
      }
    } else if (code == FrameHeader.SIDE_RIGHT) {
      for (int i = LEAD; i < end; i++) {
        first[i] += second[i];
      }
    } else {
      for (int i = LEAD; i < end; i++) {
        int side = second[i];
        int twiceMid = first[i] << 1 | (side & 1);
        first[i] = (twiceMid + side) >> 1;
        second[i] = (twiceMid - side) >> 1;
      }
    }
  }

  /** The same where the side channel has 33 bits and stands in {@link #wide}. */
  private void joinWide(int code, int block) throws BrokenFrame {
    int[] first = samples[0];
    int[] second = samples[1];
    boolean fits = true;
    for (int i = LEAD; i < LEAD + block; i++) {
      long side = wide[i];
      long left;
      long right;
      if (code == FrameHeader.LEFT_SIDE) {
        left = first[i];
        right = left - side;
      } else if (code == FrameHeader.SIDE_RIGHT) {
        right = second[i];
        left = right + side;
      } else {
        long twiceMid = (long) first[i] << 1 | (side & 1);
        left = (twiceMid + side) >> 1;
        right = (twiceMid - side) >> 1;
      }
      fits &= left == (int) left && right == (int) right;
      first[i] = (int) left;
      second[i] = (int) right;
    }
    if (!fits) {
      throw BrokenFrame.because("a sample is over 32 bits");
    }
  }

  private static boolean beyond(int[] channel, int end, int bits) {
    int all = 0;
    for (int i = LEAD; i < end; i++) {
      all |= channel[i] ^ (channel[i] >> 31);
    }
    return bits < 32 && all >>> (bits - 1) != 0;
  }
}
