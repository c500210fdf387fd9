package cairn.io.sound;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;

/**
 * Decoding of samples whose highest byte comes first; see {@link LittleEndianKernels}, of which
 * this is the mirror.
 */
final class BigEndianKernels {

  private static final VarHandle SHORT =
      MethodHandles.byteArrayViewVarHandle(short[].class, ByteOrder.BIG_ENDIAN);
  private static final VarHandle INT =
      MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.BIG_ENDIAN);
  private static final VarHandle LONG =
      MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.BIG_ENDIAN);

  private static final double SCALE_16 = 0x1p-15;
  private static final double SCALE_24 = 0x1p-23;
  private static final double SCALE_32 = 0x1p-31;

  private static final int FLOAT_EXPONENT = 0x7F80_0000;
  private static final int FLOAT_EXPONENT_ONE = 0x0080_0000;
  private static final long DOUBLE_EXPONENT = 0x7FF0_0000_0000_0000L;
  private static final long DOUBLE_EXPONENT_ONE = 0x0010_0000_0000_0000L;

  private BigEndianKernels() {}

  static void mono16(byte[] raw, int frames, double[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = (short) SHORT.get(raw, 2 * i) * SCALE_16;
    }
  }

  static void stereo16(byte[] raw, int frames, double[] left, double[] right, int at) {
    for (int i = 0; i < frames; i++) {
      int frame = (int) INT.get(raw, 4 * i);
      left[at + i] = (frame >> 16) * SCALE_16;
      right[at + i] = (short) frame * SCALE_16;
    }
  }

  static void mono24(byte[] raw, int frames, double[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = ((int) INT.get(raw, 3 * i) >> 8) * SCALE_24;
    }
  }

  static void stereo24(byte[] raw, int frames, double[] left, double[] right, int at) {
    for (int i = 0; i < frames; i++) {
      long frame = (long) LONG.get(raw, 6 * i);
      left[at + i] = ((int) (frame >> 32) >> 8) * SCALE_24;
      right[at + i] = ((int) (frame >> 8) >> 8) * SCALE_24;
    }
  }

  static void mono32(byte[] raw, int frames, double[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = (int) INT.get(raw, 4 * i) * SCALE_32;
    }
  }

  static void stereo32(byte[] raw, int frames, double[] left, double[] right, int at) {
    for (int i = 0; i < frames; i++) {
      long frame = (long) LONG.get(raw, 8 * i);
      left[at + i] = (int) (frame >> 32) * SCALE_32;
      right[at + i] = (int) frame * SCALE_32;
    }
  }

  static boolean monoFloat(byte[] raw, int frames, double[] into, int at) {
    int carried = 0;
    for (int i = 0; i < frames; i++) {
      int bits = (int) INT.get(raw, 4 * i);
      carried |= (bits & FLOAT_EXPONENT) + FLOAT_EXPONENT_ONE;
      into[at + i] = Float.intBitsToFloat(bits);
    }
    return carried >= 0;
  }

  static boolean stereoFloat(byte[] raw, int frames, double[] left, double[] right, int at) {
    int carried = 0;
    for (int i = 0; i < frames; i++) {
      long frame = (long) LONG.get(raw, 8 * i);
      int leftBits = (int) (frame >> 32);
      int rightBits = (int) frame;
      carried |= (leftBits & FLOAT_EXPONENT) + FLOAT_EXPONENT_ONE;
      carried |= (rightBits & FLOAT_EXPONENT) + FLOAT_EXPONENT_ONE;
      left[at + i] = Float.intBitsToFloat(leftBits);
      right[at + i] = Float.intBitsToFloat(rightBits);
    }
    return carried >= 0;
  }

  static boolean monoDouble(byte[] raw, int frames, double[] into, int at) {
    long carried = 0;
    for (int i = 0; i < frames; i++) {
      long bits = (long) LONG.get(raw, 8 * i);
      carried |= (bits & DOUBLE_EXPONENT) + DOUBLE_EXPONENT_ONE;
      into[at + i] = Double.longBitsToDouble(bits);
    }
    return carried >= 0;
  }

  static boolean stereoDouble(byte[] raw, int frames, double[] left, double[] right, int at) {
    long carried = 0;
    for (int i = 0; i < frames; i++) {
      long leftBits = (long) LONG.get(raw, 16 * i);
      long rightBits = (long) LONG.get(raw, 16 * i + 8);
      carried |= (leftBits & DOUBLE_EXPONENT) + DOUBLE_EXPONENT_ONE;
      carried |= (rightBits & DOUBLE_EXPONENT) + DOUBLE_EXPONENT_ONE;
      left[at + i] = Double.longBitsToDouble(leftBits);
      right[at + i] = Double.longBitsToDouble(rightBits);
    }
    return carried >= 0;
  }

  static void wholeMono16(byte[] raw, int frames, int[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = (short) SHORT.get(raw, 2 * i + 1) << 16;
    }
  }

  static void wholeStereo16(byte[] raw, int frames, int[] left, int[] right, int at) {
    for (int i = 0; i < frames; i++) {
      int frame = (int) INT.get(raw, 4 * i + 1);
      left[at + i] = frame;
      right[at + i] = frame << 16;
    }
  }

  /** A word starts at the sample, so that this is its upper part without a shift. */
  static void wholeMono24(byte[] raw, int frames, int[] into, int at) {
    int o = at;
    int end = at + frames;
    int p = 0;
    for (; o < end - 3; o += 4, p += 12) {
      into[o] = (int) INT.get(raw, p + 1);
      into[o + 1] = (int) INT.get(raw, p + 4);
      into[o + 2] = (int) INT.get(raw, p + 7);
      into[o + 3] = (int) INT.get(raw, p + 10);
    }
    for (; o < end; o++, p += 3) {
      into[o] = (int) INT.get(raw, p + 1);
    }
  }

  /** As {@link #wholeMono24}; four frames at a time, which halves the checks of the bounds. */
  static void wholeStereo24(byte[] raw, int frames, int[] left, int[] right, int at) {
    int o = at;
    int end = at + frames;
    int p = 0;
    for (; o < end - 3; o += 4, p += 24) {
      left[o] = (int) INT.get(raw, p + 1);
      right[o] = (int) INT.get(raw, p + 4);
      left[o + 1] = (int) INT.get(raw, p + 7);
      right[o + 1] = (int) INT.get(raw, p + 10);
      left[o + 2] = (int) INT.get(raw, p + 13);
      right[o + 2] = (int) INT.get(raw, p + 16);
      left[o + 3] = (int) INT.get(raw, p + 19);
      right[o + 3] = (int) INT.get(raw, p + 22);
    }
    for (; o < end; o++, p += 6) {
      left[o] = (int) INT.get(raw, p + 1);
      right[o] = (int) INT.get(raw, p + 4);
    }
  }
}
