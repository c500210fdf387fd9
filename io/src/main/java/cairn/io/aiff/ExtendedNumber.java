package cairn.io.aiff;

import cairn.io.sound.HeaderBytes;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.ByteBuffer;

/**
 * The 80-bit numbers in which AIFF gives the sample rate: sign and exponent in 16 bits, bias 16383,
 * then 64 bits of mantissa with its leading 1 written out; value = mantissa · 2^(exponent − 16383 −
 * 63). 44100 is {@code 40 0E AC 44 00 00 00 00 00 00}.
 */
final class ExtendedNumber {

  private static final int BIAS = 16383;
  private static final int MANTISSA_BITS = 64;

  private ExtendedNumber() {}

  /**
   * The sample rate at {@code position}, in Hz.
   *
   * @throws UnusableStem if it is not a whole number, or none that a sound has
   */
  static int sampleRateHz(HeaderBytes header, long position) throws IOException {
    int exponent = header.u16(position);
    long mantissa = header.u64(position + 2);
    // A negative number has bit 15 set and so is a huge one here: both are refused.
    int wholeBits = mantissa == 0 ? 0 : exponent - BIAS + 1;
    if (wholeBits > Integer.SIZE) {
      throw new UnusableStem.Damaged(header.path(), "says no usable sample rate; export it again");
    }
    boolean whole = wholeBits > 0 ? mantissa << wholeBits == 0 : mantissa == 0;
    long hz = wholeBits > 0 ? mantissa >>> (MANTISSA_BITS - wholeBits) : 0;
    if (!whole) {
      throw new UnusableStem.NotReadHere(
          header.path(),
          "has a sample rate that is not a whole number, a little over "
              + hz
              + " Hz; export it at a whole one");
    }
    SoundFormat.checkSampleRate(header.path(), hz);
    return (int) hz;
  }

  /** Writes a whole number above 0. */
  static void put(ByteBuffer to, int hz) {
    int wholeBits = Integer.SIZE - Integer.numberOfLeadingZeros(hz);
    to.putShort((short) (BIAS - 1 + wholeBits));
    to.putLong((long) hz << (MANTISSA_BITS - wholeBits));
  }
}
