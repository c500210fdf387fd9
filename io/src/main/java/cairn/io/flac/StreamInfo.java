package cairn.io.flac;

import java.util.HexFormat;

/**
 * The first metadata block; RFC 9639, 8.2.
 *
 * @param minBlockFrames smallest block but the last, in frames
 * @param maxBlockFrames largest block, in frames
 * @param maxFrameBytes bytes of the largest coded block; 0: not known
 * @param sampleRateHz sample rate in Hz
 * @param channels number of channels
 * @param bits bits of a sample
 * @param frames length in frames; 0: not known
 * @param md5 16 bytes as hexadecimal digits; all zero: not known
 */
record StreamInfo(
    int minBlockFrames,
    int maxBlockFrames,
    int maxFrameBytes,
    int sampleRateHz,
    int channels,
    int bits,
    long frames,
    String md5) {

  /** Bytes of the block. */
  static final int BYTES = 34;

  /** From the {@link #BYTES} of the block. */
  static StreamInfo of(byte[] block) {
    long packed = number(block, 10, 8);
    return new StreamInfo(
        (int) number(block, 0, 2),
        (int) number(block, 2, 2),
        (int) number(block, 7, 3),
        (int) (packed >>> 44),
        (int) (packed >>> 41 & 7) + 1,
        (int) (packed >>> 36 & 31) + 1,
        packed & 0xF_FFFF_FFFFL,
        HexFormat.of().formatHex(block, 18, BYTES));
  }

  /** Whether the file says which samples it holds. */
  boolean hasMd5() {
    return !md5.matches("0*");
  }

  /** Bytes of a frame of {@code blockFrames} that is not compressed at all. */
  int plainFrameBytes(int blockFrames) {
    int bitsOfAll = channels * bits + (channels - 1);
    return FrameHeader.LARGEST_BYTES
        + channels * 2
        + (int) (((long) blockFrames * bitsOfAll + 7) / 8)
        + FrameHeader.FOOTER_BYTES;
  }

  /** A big-endian number of {@code count} bytes from {@code bytes[at]}. */
  static long number(byte[] bytes, int at, int count) {
    long number = 0;
    for (int i = 0; i < count; i++) {
      number = number << 8 | (bytes[at + i] & 0xFF);
    }
    return number;
  }
}
