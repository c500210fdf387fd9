package cairn.io.flac;

/** The header of one frame, reused from frame to frame; RFC 9639, 9.1. */
final class FrameHeader {

  /** Sync and codes 4, number 7, block 2, rate 2, checksum 1. */
  static final int LARGEST_BYTES = 16;

  static final int FOOTER_BYTES = 2;

  static final String NO_FRAME = "no block starts there";
  static final String CUT_OFF = "the block is cut off";

  /** Channel codes: up to 7 the number of channels − 1, then the three stereo ways. */
  static final int LEFT_SIDE = 8;

  static final int SIDE_RIGHT = 9;
  static final int MID_SIDE = 10;

  private static final int[] RATES_HZ = {
    0, 88_200, 176_400, 192_000, 8_000, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000, 96_000
  };
  private static final int[] DEPTHS = {0, 8, 12, 0, 16, 20, 24, 32};

  static final int RATE_IN_KHZ = 12;
  static final int RATE_IN_HZ = 13;
  static final int RATE_IN_TENS_OF_HZ = 14;

  private int bytes;
  private boolean variable;
  private int blockFrames;
  private int channelCode;
  private long number;

  /**
   * Takes the header at {@code source[at]}.
   *
   * @param end first index of {@code source} that does not count
   * @param info what the frame must agree with
   * @return null if all is well, else what is wrong, and then the fields mean nothing
   */
  String take(byte[] source, int at, int end, StreamInfo info) {
    if (end - at < 6) {
      return CUT_OFF;
    }
    if (source[at] != (byte) 0xFF || (source[at + 1] & 0xFE) != 0xF8) {
      return NO_FRAME;
    }
    int codes = source[at + 2] & 0xFF;
    int more = source[at + 3] & 0xFF;
    int blockCode = codes >>> 4;
    int rateCode = codes & 15;
    int depthCode = more >>> 1 & 7;
    if (blockCode == 0 || rateCode == 15 || more >>> 4 > MID_SIDE || depthCode == 3) {
      return "the block's header has a reserved code";
    }
    if ((more & 1) != 0) {
      return "the block's header has a reserved bit";
    }
    int first = source[at + 4] & 0xFF;
    int ones = Integer.numberOfLeadingZeros(~(first << 24));
    if (ones == 1 || ones == 8) {
      return "the block's number is not well formed";
    }
    int numberBytes = Math.max(1, ones);
    int blockBytes = blockCode == 6 ? 1 : blockCode == 7 ? 2 : 0;
    int rateBytes = rateCode == RATE_IN_KHZ ? 1 : rateCode > RATE_IN_KHZ ? 2 : 0;
    int length = 4 + numberBytes + blockBytes + rateBytes + 1;
    if (end - at < length) {
      return CUT_OFF;
    }
    if (Crc.crc8(source, at, at + length) != 0) {
      return "the checksum of the block's header is wrong";
    }
    long coded = first & (ones == 0 ? 0x7F : 0x7F >>> ones);
    for (int i = 1; i < numberBytes; i++) {
      int b = source[at + 4 + i] & 0xFF;
      if (b >>> 6 != 2) {
        return "the block's number is not well formed";
      }
      coded = coded << 6 | (b & 0x3F);
    }
    int tail = at + 4 + numberBytes;
    int block =
        switch (blockCode) {
          case 1 -> 192;
          case 2, 3, 4, 5 -> 144 << blockCode;
          case 6, 7 -> (int) StreamInfo.number(source, tail, blockBytes) + 1;
          default -> 1 << blockCode;
        };
    long written = StreamInfo.number(source, tail + blockBytes, rateBytes);
    long rateHz =
        switch (rateCode) {
          case RATE_IN_KHZ -> written * 1000;
          case RATE_IN_HZ -> written;
          case RATE_IN_TENS_OF_HZ -> written * 10;
          default -> RATES_HZ[rateCode];
        };
    if (rateCode != 0 && rateHz != info.sampleRateHz()) {
      return "the block says " + rateHz + " Hz, the file " + info.sampleRateHz() + " Hz";
    }
    int channels = more >>> 4 < LEFT_SIDE ? (more >>> 4) + 1 : 2;
    if (channels != info.channels()) {
      return "the block has " + channels + " channels, the file " + info.channels();
    }
    if (depthCode != 0 && DEPTHS[depthCode] != info.bits()) {
      return "the block says " + DEPTHS[depthCode] + " bits, the file " + info.bits();
    }
    if (block > info.maxBlockFrames()) {
      return "the block has " + block + " samples, the file allows " + info.maxBlockFrames();
    }
    bytes = length;
    variable = (source[at + 1] & 1) != 0;
    blockFrames = block;
    channelCode = more >>> 4;
    number = coded;
    return null;
  }

  /** The code that a writer gives for a rate; 0 if only STREAMINFO can hold it. */
  static int rateCode(int sampleRateHz) {
    for (int code = 1; code < RATES_HZ.length; code++) {
      if (RATES_HZ[code] == sampleRateHz) {
        return code;
      }
    }
    if (sampleRateHz < 1 << 16) {
      return RATE_IN_HZ;
    }
    return sampleRateHz % 10 == 0 && sampleRateHz / 10 < 1 << 16 ? RATE_IN_TENS_OF_HZ : 0;
  }

  /** The code that a writer gives for a depth; 0 if only STREAMINFO can hold it. */
  static int depthCode(int bits) {
    for (int code = 1; code < DEPTHS.length; code++) {
      if (DEPTHS[code] == bits) {
        return code;
      }
    }
    return 0;
  }

  /** Length of the header, checksum and all. */
  int bytes() {
    return bytes;
  }

  /** Whether blocks differ in length, and {@link #number} counts samples instead of blocks. */
  boolean isVariable() {
    return variable;
  }

  int blockFrames() {
    return blockFrames;
  }

  /** Up to 7 the number of channels − 1, else one of the three stereo ways. */
  int channelCode() {
    return channelCode;
  }

  /** The coded number, under 2^36. */
  long number() {
    return number;
  }
}
