package cairn.io.flac;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;

/**
 * Bits from a byte array, the highest of a byte first. The next bits stand left-aligned in a long
 * that is filled up by one load of eight bytes, so the array must go on for {@link #PADDING} bytes
 * after the limit; what they hold does not matter.
 */
final class BitReader {

  /** Bytes that must follow the limit in the array. */
  static final int PADDING = 16;

  /**
   * Largest Rice parameter of the short way: there a quotient is under 64, so that the folded value
   * is under 64 · 2^26 = 2^32.
   */
  private static final int LARGEST_SHORT_PARAMETER = 26;

  private static final VarHandle LONGS =
      MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.BIG_ENDIAN);

  private byte[] bytes = {};
  private int limit;

  /** Index of the first byte that is not counted in {@link #have}. */
  private int next;

  /** The next bits, left-aligned. Those after the first {@link #have} are right too, or 0. */
  private long window;

  /** How many bits of the window count, 0 to 63. */
  private int have;

  /** Starts at {@code source[at]}; bytes from {@code end} on do not count. */
  void start(byte[] source, int at, int end) {
    bytes = source;
    limit = end;
    next = at;
    window = 0;
    have = 0;
  }

  /** Index of the first whole byte not yet touched; above the limit if too much was read. */
  int position() {
    return next - (have >>> 3);
  }

  /**
   * Fills the window up to 56 bits or more. Past the limit it gives padding for a while, since the
   * window may still hold bits that count: 64 bits later none is left.
   */
  private void fill() throws BrokenFrame {
    if (next > limit + 8) {
      throw BrokenFrame.cutOff();
    }
    window |= (long) LONGS.get(bytes, next) >>> have;
    next += (63 - have) >>> 3;
    have |= 56;
  }

  /** The next {@code n} bits as a number of at least 0; n from 0 to 33. */
  long unsigned(int n) throws BrokenFrame {
    if (have < n) {
      fill();
    }
    long bits = window >>> 1 >>> (63 - n);
    window <<= n;
    have -= n;
    return bits;
  }

  /** The next {@code n} bits in two's complement; n from 1 to 33. */
  long signed(int n) throws BrokenFrame {
    if (have < n) {
      fill();
    }
    long bits = window >> (64 - n);
    window <<= n;
    have -= n;
    return bits;
  }

  /** The number of zeros before the next one, which is taken too. */
  int unary() throws BrokenFrame {
    int zeros = 0;
    while (true) {
      if (have == 0) {
        fill();
      }
      int run = Long.numberOfLeadingZeros(window);
      if (run < have) {
        window = window << run << 1;
        have -= run + 1;
        return zeros + run;
      }
      zeros += have;
      window <<= have;
      have = 0;
    }
  }

  /** Writes {@code into[from : to]}, values of {@code width} bits; width from 1 to 32. */
  void signed(int[] into, int from, int to, int width) throws BrokenFrame {
    for (int i = from; i < to; i++) {
      into[i] = (int) signed(width);
    }
  }

  /**
   * Writes {@code into[from : to]} from Rice codes: a quotient in unary, {@code parameter} bits of
   * remainder, the sign folded into the lowest bit. RFC 9639, 9.2.7.
   *
   * @param parameter 0 to 30
   */
  void rice(int[] into, int from, int to, int parameter) throws BrokenFrame {
    int i = from;
    while (i < to) {
      if (parameter <= LARGEST_SHORT_PARAMETER) {
        i = shortRice(into, i, to, parameter);
      }
      if (i < to) {
        into[i] = longRice(parameter);
        i++;
      }
    }
  }

  /**
   * Rice codes as long as each fits into a full window.
   *
   * @return where it stopped: at {@code to}, or before a long code or the end of the bytes
   */
  private int shortRice(int[] into, int from, int to, int parameter) {
    byte[] source = bytes;
    int lastLoad = limit + 8;
    int at = next;
    long bits = window;
    int count = have;
    int shift = 63 - parameter;
    int rest = parameter + 1;
    int i = from;
    for (; i < to; i++) {
      if (count < 32) {
        if (at > lastLoad) {
          break;
        }
        bits |= (long) LONGS.get(source, at) >>> count;
        at += (63 - count) >>> 3;
        count |= 56;
      }
      int quotient = Long.numberOfLeadingZeros(bits);
      int used = quotient + rest;
      if (used > count) {
        if (count < 56 && at <= lastLoad) {
          bits |= (long) LONGS.get(source, at) >>> count;
          at += (63 - count) >>> 3;
          count |= 56;
        }
        quotient = Long.numberOfLeadingZeros(bits);
        used = quotient + rest;
        if (used > count) {
          break;
        }
      }
      // The shifted bits start with the one that ends the quotient: it counts 2^parameter too
      // much, taken back by one quotient less.
      long tail = bits << quotient;
      int folded = ((quotient - 1) << parameter) + (int) (tail >>> shift);
      into[i] = (folded >>> 1) ^ -(folded & 1);
      bits = tail << rest;
      count -= used;
    }
    next = at;
    window = bits;
    have = count;
    return i;
  }

  private int longRice(int parameter) throws BrokenFrame {
    long quotient = unary();
    long folded = (quotient << parameter) | unsigned(parameter);
    // 9.2.7.3: a residual has 32 bits and is not the lowest such number.
    if (folded >= 0xFFFF_FFFFL) {
      throw BrokenFrame.because("a residual is over 32 bits");
    }
    return (int) (folded >>> 1) ^ -(int) (folded & 1);
  }
}
