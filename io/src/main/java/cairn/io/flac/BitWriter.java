package cairn.io.flac;

import java.util.Arrays;

/** Bits into a byte array that grows, the highest of a byte first. */
final class BitWriter {

  private byte[] bytes = new byte[1 << 15];
  private int count;

  /** Bits not yet in the array, right-aligned; fewer than 8 between two calls. */
  private long pending;

  private int pendingBits;

  void clear() {
    count = 0;
    pending = 0;
    pendingBits = 0;
  }

  /** The array; what has been written stands in {@code [0 : count()]}. */
  byte[] bytes() {
    return bytes;
  }

  /** Whole bytes written. */
  int count() {
    return count;
  }

  /** Writes the lowest {@code n} bits of {@code number}; n from 0 to 56. */
  void write(long number, int n) {
    if (bytes.length - count < 8) {
      bytes = Arrays.copyOf(bytes, bytes.length * 2);
    }
    pending = pending << n | (number & ((1L << n) - 1));
    pendingBits += n;
    while (pendingBits >= 8) {
      pendingBits -= 8;
      bytes[count] = (byte) (pending >>> pendingBits);
      count++;
    }
  }

  /** Writes {@code zeros} zeros and a one. */
  void writeUnary(int zeros) {
    int left = zeros;
    while (left > 32) {
      write(0, 32);
      left -= 32;
    }
    write(1, left + 1);
  }

  /** Fills the last byte up with zeros. */
  void align() {
    write(0, -pendingBits & 7);
  }
}
