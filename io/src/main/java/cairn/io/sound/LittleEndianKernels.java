package cairn.io.sound;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;

/**
 * Decoding of samples whose lowest byte comes first: one plain loop for each coding and number of
 * channels, since a loop that asks what it decodes is several times slower. Each writes {@code
 * frames} values from {@code at} on. A stereo frame is fetched with one wide load where it fits
 * into one, so that the last frame's load may reach {@link LinearCoding#PADDING_BYTES} past it;
 * channels are then cut out by shifts. 24 bits are scaled as the upper part of 32, their sign in
 * place.
 *
 * <p>Those of 16 and 24 bits, in which most stems are sent, find the largest absolute value in the
 * same loop: a loop of its own costs 0.3 ns a sample, here it is 0.1 (OpenJDK 17, x86-64).
 *
 * <p>Those of floats say whether all values are finite: the exponent of one that is not is all
 * ones, and adding one to it carries into the sign bit, which is gathered without a branch.
 */
final class LittleEndianKernels {

  private static final VarHandle SHORT =
      MethodHandles.byteArrayViewVarHandle(short[].class, ByteOrder.LITTLE_ENDIAN);
  private static final VarHandle INT =
      MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.LITTLE_ENDIAN);
  private static final VarHandle LONG =
      MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.LITTLE_ENDIAN);

  private static final double SCALE_16 = 0x1p-15;
  private static final double SCALE_32 = 0x1p-31;

  /** What is left of a word when 24 bits stand in its upper part. */
  private static final int HIGH_24 = ~0xFF;

  private static final int FLOAT_EXPONENT = 0x7F80_0000;
  private static final int FLOAT_EXPONENT_ONE = 0x0080_0000;
  private static final long DOUBLE_EXPONENT = 0x7FF0_0000_0000_0000L;
  private static final long DOUBLE_EXPONENT_ONE = 0x0010_0000_0000_0000L;

  private LittleEndianKernels() {}

  static double mono16(byte[] raw, int frames, double[] into, int at) {
    double peak = 0;
    for (int i = 0; i < frames; i++) {
      double x = (short) SHORT.get(raw, 2 * i) * SCALE_16;
      into[at + i] = x;
      double level = Math.abs(x);
      if (level > peak) {
        peak = level;
      }
    }
    return peak;
  }

  static double stereo16(byte[] raw, int frames, double[] left, double[] right, int at) {
    double peak = 0;
    for (int i = 0; i < frames; i++) {
      int frame = (int) INT.get(raw, 4 * i);
      double l = (short) frame * SCALE_16;
      double r = (frame >> 16) * SCALE_16;
      left[at + i] = l;
      right[at + i] = r;
      double leftLevel = Math.abs(l);
      if (leftLevel > peak) {
        peak = leftLevel;
      }
      double rightLevel = Math.abs(r);
      if (rightLevel > peak) {
        peak = rightLevel;
      }
    }
    return peak;
  }

  static double mono24(byte[] raw, int frames, double[] into, int at) {
    double peak = 0;
    for (int i = 0; i < frames; i++) {
      double x = ((int) INT.get(raw, 3 * i) << 8) * SCALE_32;
      into[at + i] = x;
      double level = Math.abs(x);
      if (level > peak) {
        peak = level;
      }
    }
    return peak;
  }

  static double stereo24(byte[] raw, int frames, double[] left, double[] right, int at) {
    double peak = 0;
    for (int i = 0; i < frames; i++) {
      long frame = (long) LONG.get(raw, 6 * i);
      double l = ((int) frame << 8) * SCALE_32;
      double r = ((int) (frame >> 16) & HIGH_24) * SCALE_32;
      left[at + i] = l;
      right[at + i] = r;
      double leftLevel = Math.abs(l);
      if (leftLevel > peak) {
        peak = leftLevel;
      }
      double rightLevel = Math.abs(r);
      if (rightLevel > peak) {
        peak = rightLevel;
      }
    }
    return peak;
  }

  static void mono32(byte[] raw, int frames, double[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = (int) INT.get(raw, 4 * i) * SCALE_32;
    }
  }

  static void stereo32(byte[] raw, int frames, double[] left, double[] right, int at) {
    for (int i = 0; i < frames; i++) {
      long frame = (long) LONG.get(raw, 8 * i);
      left[at + i] = (int) frame * SCALE_32;
      right[at + i] = (int) (frame >> 32) * SCALE_32;
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
      int leftBits = (int) frame;
      int rightBits = (int) (frame >> 32);
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
      left[at + i] = frame << 16;
      right[at + i] = frame;
    }
  }

  /** A word starts a byte before the sample, so that this is its upper part without a shift. */
  static void wholeMono24(byte[] raw, int frames, int[] into, int at) {
    int o = at;
    int end = at + frames;
    int p = 0;
    for (; o < end - 3; o += 4, p += 12) {
      into[o] = (int) INT.get(raw, p);
      into[o + 1] = (int) INT.get(raw, p + 3);
      into[o + 2] = (int) INT.get(raw, p + 6);
      into[o + 3] = (int) INT.get(raw, p + 9);
    }
    for (; o < end; o++, p += 3) {
      into[o] = (int) INT.get(raw, p);
    }
  }

  /** As {@link #wholeMono24}; four frames at a time, which halves the checks of the bounds. */
  static void wholeStereo24(byte[] raw, int frames, int[] left, int[] right, int at) {
    int o = at;
    int end = at + frames;
    int p = 0;
    for (; o < end - 3; o += 4, p += 24) {
      left[o] = (int) INT.get(raw, p);
      right[o] = (int) INT.get(raw, p + 3);
      left[o + 1] = (int) INT.get(raw, p + 6);
      right[o + 1] = (int) INT.get(raw, p + 9);
      left[o + 2] = (int) INT.get(raw, p + 12);
      right[o + 2] = (int) INT.get(raw, p + 15);
      left[o + 3] = (int) INT.get(raw, p + 18);
      right[o + 3] = (int) INT.get(raw, p + 21);
    }
    for (; o < end; o++, p += 6) {
      left[o] = (int) INT.get(raw, p);
      right[o] = (int) INT.get(raw, p + 3);
    }
  }
}
