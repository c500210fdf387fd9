package cairn.io.flac;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;

/** The two checksums of a frame; RFC 9639, 9.1.8 and 9.3. */
final class Crc {

  private static final VarHandle LONGS =
      MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.BIG_ENDIAN);

  private static final int POLYNOMIAL_8 = 0x07;
  private static final int POLYNOMIAL_16 = 0x8005;

  private static final byte[] TABLE_8 = new byte[256];

  /** {@code T0[b]} is the checksum of byte b, {@code Tn[b]} that of b and n zero bytes. */
  private static final char[] T0 = new char[256];

  private static final char[] T1 = new char[256];
  private static final char[] T2 = new char[256];
  private static final char[] T3 = new char[256];
  private static final char[] T4 = new char[256];
  private static final char[] T5 = new char[256];
  private static final char[] T6 = new char[256];
  private static final char[] T7 = new char[256];

  static {
    for (int b = 0; b < 256; b++) {
      int crc8 = b;
      int crc16 = b << 8;
      for (int bit = 0; bit < 8; bit++) {
        crc8 = (crc8 << 1) ^ ((crc8 & 0x80) != 0 ? POLYNOMIAL_8 : 0);
        crc16 = (crc16 << 1) ^ ((crc16 & 0x8000) != 0 ? POLYNOMIAL_16 : 0);
      }
      TABLE_8[b] = (byte) crc8;
      T0[b] = (char) crc16;
    }
    char[][] tables = {T0, T1, T2, T3, T4, T5, T6, T7};
    for (int n = 1; n < tables.length; n++) {
      for (int b = 0; b < 256; b++) {
        int crc16 = tables[n - 1][b];
        tables[n][b] = (char) ((crc16 << 8) ^ T0[crc16 >>> 8]);
      }
    }
  }

  private Crc() {}

  /** The CRC-8 of {@code bytes[from : to]}, 0 to 255. */
  static int crc8(byte[] bytes, int from, int to) {
    int crc = 0;
    for (int i = from; i < to; i++) {
      crc = TABLE_8[(crc ^ bytes[i]) & 0xFF];
    }
    return crc & 0xFF;
  }

  /** The CRC-16 of {@code bytes[from : to]}, 0 to 65535; eight bytes a step. */
  static int crc16(byte[] bytes, int from, int to) {
    int crc = 0;
    int i = from;
    for (; i <= to - 8; i += 8) {
      long w = (long) LONGS.get(bytes, i) ^ ((long) crc << 48);
      crc =
          T7[(int) (w >>> 56)]
              ^ T6[(int) (w >>> 48) & 0xFF]
              ^ T5[(int) (w >>> 40) & 0xFF]
              ^ T4[(int) (w >>> 32) & 0xFF]
              ^ T3[(int) w >>> 24]
              ^ T2[(int) w >>> 16 & 0xFF]
              ^ T1[(int) w >>> 8 & 0xFF]
              ^ T0[(int) w & 0xFF];
    }
    for (; i < to; i++) {
      crc = ((crc << 8) ^ T0[((crc >>> 8) ^ bytes[i]) & 0xFF]) & 0xFFFF;
    }
    return crc;
  }
}
