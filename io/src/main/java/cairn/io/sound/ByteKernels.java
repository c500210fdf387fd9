package cairn.io.sound;

/** Decoding of one byte a sample; see {@link LittleEndianKernels}. */
final class ByteKernels {

  private static final double SCALE = 0x1p-7;

  private ByteKernels() {}

  /** Decodes {@code raw}, each byte first exclusive-ored with {@code flip}. */
  static void mono(byte[] raw, int flip, int frames, double[] into, int at) {
    for (int i = 0; i < frames; i++) {
      into[at + i] = (byte) (raw[i] ^ flip) * SCALE;
    }
  }

  /** Decodes {@code raw}, each byte first exclusive-ored with {@code flip}. */
  static void stereo(byte[] raw, int flip, int frames, double[] left, double[] right, int at) {
    for (int i = 0; i < frames; i++) {
      left[at + i] = (byte) (raw[2 * i] ^ flip) * SCALE;
      right[at + i] = (byte) (raw[2 * i + 1] ^ flip) * SCALE;
    }
  }
}
