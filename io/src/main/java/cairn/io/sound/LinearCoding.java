package cairn.io.sound;

import cairn.collisions.signal.Block;
import cairn.io.sound.SoundFormat.Kind;
import java.nio.ByteOrder;

/**
 * How uncompressed samples lie in a file: width, byte order, whole numbers or IEEE 754. Frames are
 * interleaved, channel 0 first, without gaps. A whole number is scaled by 2^−(bits − 1), a power of
 * two, so that every decoded value is exact; a number that uses fewer bits than its container is
 * left-justified in it, so that the container's width gives the scale.
 */
public enum LinearCoding {
  /** 128 is zero: WAVE, and {@code raw } in AIFF-C. */
  UNSIGNED_8(1, Kind.INTEGER, ByteOrder.LITTLE_ENDIAN),
  SIGNED_8(1, Kind.INTEGER, ByteOrder.BIG_ENDIAN),
  PCM_16_LITTLE(2, Kind.INTEGER, ByteOrder.LITTLE_ENDIAN),
  PCM_16_BIG(2, Kind.INTEGER, ByteOrder.BIG_ENDIAN),
  PCM_24_LITTLE(3, Kind.INTEGER, ByteOrder.LITTLE_ENDIAN),
  PCM_24_BIG(3, Kind.INTEGER, ByteOrder.BIG_ENDIAN),
  PCM_32_LITTLE(4, Kind.INTEGER, ByteOrder.LITTLE_ENDIAN),
  PCM_32_BIG(4, Kind.INTEGER, ByteOrder.BIG_ENDIAN),
  FLOAT_32_LITTLE(4, Kind.FLOAT, ByteOrder.LITTLE_ENDIAN),
  FLOAT_32_BIG(4, Kind.FLOAT, ByteOrder.BIG_ENDIAN),
  FLOAT_64_LITTLE(8, Kind.FLOAT, ByteOrder.LITTLE_ENDIAN),
  FLOAT_64_BIG(8, Kind.FLOAT, ByteOrder.BIG_ENDIAN);

  /** Bytes by which {@link #decode} may look past the last frame. */
  public static final int PADDING_BYTES = 8;

  /** Byte of {@code raw} at which {@link #decodeWhole} finds the first sample. */
  static final int LEAD_BYTES = 1;

  private final int bytes;
  private final Kind kind;
  private final ByteOrder order;

  LinearCoding(int bytes, Kind kind, ByteOrder order) {
    this.bytes = bytes;
    this.kind = kind;
    this.order = order;
  }

  /** The signed whole numbers of that width, 1 to 4 bytes. */
  public static LinearCoding pcm(int bytes, ByteOrder order) {
    boolean little = order == ByteOrder.LITTLE_ENDIAN;
    return switch (bytes) {
      case 1 -> SIGNED_8;
      case 2 -> little ? PCM_16_LITTLE : PCM_16_BIG;
      case 3 -> little ? PCM_24_LITTLE : PCM_24_BIG;
      case 4 -> little ? PCM_32_LITTLE : PCM_32_BIG;
      default ->
          throw new IllegalArgumentException("PCM must have 1 to 4 bytes a sample: bytes=" + bytes);
    };
  }

  /** Width of one sample of one channel in bytes. */
  public int bytes() {
    return bytes;
  }

  /** Width of one sample of one channel in bits. */
  public int bits() {
    return 8 * bytes;
  }

  /** Whole numbers or IEEE 754. */
  public Kind kind() {
    return kind;
  }

  /** The byte order; without meaning for one byte. */
  public ByteOrder order() {
    return order;
  }

  /**
   * Decodes {@code raw[0 : frames * channels * bytes()]} into {@code into[0 : channels][at : at +
   * frames]}.
   *
   * @param raw the file's bytes; {@link #PADDING_BYTES} longer than what is decoded
   * @param channels 1 or 2
   * @return the largest absolute value; NaN if a value is not finite, and then all are in {@code
   *     into} all the same
   */
  double decode(byte[] raw, int channels, int frames, double[][] into, int at) {
    boolean mono = channels == 1;
    double[] left = into[0];
    double[] right = mono ? left : into[1];
    boolean finite = true;
    switch (this) {
      case UNSIGNED_8, SIGNED_8 -> {
        int flip = this == UNSIGNED_8 ? 0x80 : 0;
        if (mono) {
          ByteKernels.mono(raw, flip, frames, left, at);
        } else {
          ByteKernels.stereo(raw, flip, frames, left, right, at);
        }
      }
      case PCM_16_LITTLE -> {
        return mono
            ? LittleEndianKernels.mono16(raw, frames, left, at)
            : LittleEndianKernels.stereo16(raw, frames, left, right, at);
      }
      case PCM_16_BIG -> {
        if (mono) {
          BigEndianKernels.mono16(raw, frames, left, at);
        } else {
          BigEndianKernels.stereo16(raw, frames, left, right, at);
        }
      }
      case PCM_24_LITTLE -> {
        return mono
            ? LittleEndianKernels.mono24(raw, frames, left, at)
            : LittleEndianKernels.stereo24(raw, frames, left, right, at);
      }
      case PCM_24_BIG -> {
        if (mono) {
          BigEndianKernels.mono24(raw, frames, left, at);
        } else {
          BigEndianKernels.stereo24(raw, frames, left, right, at);
        }
      }
      case PCM_32_LITTLE -> {
        if (mono) {
          LittleEndianKernels.mono32(raw, frames, left, at);
        } else {
          LittleEndianKernels.stereo32(raw, frames, left, right, at);
        }
      }
      case PCM_32_BIG -> {
        if (mono) {
          BigEndianKernels.mono32(raw, frames, left, at);
        } else {
          BigEndianKernels.stereo32(raw, frames, left, right, at);
        }
      }
      case FLOAT_32_LITTLE -> {
        finite =
            mono
                ? LittleEndianKernels.monoFloat(raw, frames, left, at)
                : LittleEndianKernels.stereoFloat(raw, frames, left, right, at);
      }
      case FLOAT_32_BIG -> {
        finite =
            mono
                ? BigEndianKernels.monoFloat(raw, frames, left, at)
                : BigEndianKernels.stereoFloat(raw, frames, left, right, at);
      }
      case FLOAT_64_LITTLE -> {
        finite =
            mono
                ? LittleEndianKernels.monoDouble(raw, frames, left, at)
                : LittleEndianKernels.stereoDouble(raw, frames, left, right, at);
      }
      case FLOAT_64_BIG -> {
        finite =
            mono
                ? BigEndianKernels.monoDouble(raw, frames, left, at)
                : BigEndianKernels.stereoDouble(raw, frames, left, right, at);
      }
      default -> throw new AssertionError(this);
    }
    if (!finite) {
      return Double.NaN;
    }
    double peak = Block.peak(left, at, at + frames);
    return mono ? peak : Math.max(peak, Block.peak(right, at, at + frames));
  }

  /** The width in bits, where {@link #decodeWhole} knows the coding; else 0. */
  int wholeBits() {
    return switch (this) {
      case PCM_16_LITTLE, PCM_16_BIG, PCM_24_LITTLE, PCM_24_BIG -> bits();
      default -> 0;
    };
  }

  /**
   * Decodes {@code raw[LEAD_BYTES : LEAD_BYTES + frames * channels * bytes()]} into {@code into[0 :
   * channels][at : at + frames]}, each sample in the upper {@link #wholeBits} bits of a word; what
   * is below means nothing. There are {@link #PADDING_BYTES} more in {@code raw}.
   */
  void decodeWhole(byte[] raw, int channels, int frames, int[][] into, int at) {
    int[] left = into[0];
    if (channels == 1) {
      switch (this) {
        case PCM_16_LITTLE -> LittleEndianKernels.wholeMono16(raw, frames, left, at);
        case PCM_16_BIG -> BigEndianKernels.wholeMono16(raw, frames, left, at);
        case PCM_24_LITTLE -> LittleEndianKernels.wholeMono24(raw, frames, left, at);
        case PCM_24_BIG -> BigEndianKernels.wholeMono24(raw, frames, left, at);
        default -> throw new AssertionError(this);
      }
      return;
    }
    int[] right = into[1];
    switch (this) {
      case PCM_16_LITTLE -> LittleEndianKernels.wholeStereo16(raw, frames, left, right, at);
      case PCM_16_BIG -> BigEndianKernels.wholeStereo16(raw, frames, left, right, at);
      case PCM_24_LITTLE -> LittleEndianKernels.wholeStereo24(raw, frames, left, right, at);
      case PCM_24_BIG -> BigEndianKernels.wholeStereo24(raw, frames, left, right, at);
      default -> throw new AssertionError(this);
    }
  }

  /**
   * Encodes {@code from[0 : channels][at : at + frames]} into {@code raw[0 : frames * channels *
   * bytes()]}. A whole number is the nearest one, halves upwards, without dither; what lies beyond
   * its range becomes the range's end. What {@link #decode} gave comes back bit for bit.
   *
   * @return how many samples lay beyond the range
   * @throws IllegalArgumentException if a value is not finite, or too large for the float it
   *     becomes
   */
  public int encode(double[][] from, int at, int frames, int channels, byte[] raw) {
    return kind == Kind.FLOAT
        ? encodeFloats(from, at, frames, channels, raw)
        : encodeWholeNumbers(from, at, frames, channels, raw);
  }

  private int encodeFloats(double[][] from, int at, int frames, int channels, byte[] raw) {
    int step = channels * bytes;
    for (int c = 0; c < channels; c++) {
      double[] channel = from[c];
      for (int i = 0, p = c * bytes; i < frames; i++, p += step) {
        double amplitude = channel[at + i];
        if (bytes == 4) {
          float narrow = (float) amplitude;
          checkFinite(narrow, c, at + i);
          put(raw, p, Float.floatToRawIntBits(narrow));
        } else {
          checkFinite(amplitude, c, at + i);
          put(raw, p, Double.doubleToRawLongBits(amplitude));
        }
      }
    }
    return 0;
  }

  private int encodeWholeNumbers(double[][] from, int at, int frames, int channels, byte[] raw) {
    int step = channels * bytes;
    double fullScale = (double) (1L << (bits() - 1));
    long lowest = -(1L << (bits() - 1));
    long highest = -lowest - 1;
    int flip = this == UNSIGNED_8 ? 0x80 : 0;
    int beyond = 0;
    for (int c = 0; c < channels; c++) {
      double[] channel = from[c];
      for (int i = 0, p = c * bytes; i < frames; i++, p += step) {
        double amplitude = channel[at + i];
        checkFinite(amplitude, c, at + i);
        long whole = Math.round(amplitude * fullScale);
        if (whole < lowest || whole > highest) {
          beyond++;
          whole = whole < 0 ? lowest : highest;
        }
        put(raw, p, whole ^ flip);
      }
    }
    return beyond;
  }

  private static void checkFinite(double amplitude, int channel, int index) {
    if (!Double.isFinite(amplitude)) {
      throw new IllegalArgumentException(
          "samples must be finite: channel=" + channel + ", index=" + index);
    }
  }

  /** Writes the low {@code bytes} bytes of {@code value} to {@code raw[p : p + bytes]}. */
  private void put(byte[] raw, int p, long value) {
    boolean little = order == ByteOrder.LITTLE_ENDIAN;
    for (int b = 0; b < bytes; b++) {
      raw[little ? p + b : p + bytes - 1 - b] = (byte) (value >> (8 * b));
    }
  }
}
