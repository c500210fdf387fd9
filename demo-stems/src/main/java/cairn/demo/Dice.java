package cairn.demo;

/**
 * A small random generator whose sequence is fixed by its seed alone: the 64-bit mixing generator
 * of Steele, Lea and Flood, "Fast Splittable Pseudorandom Number Generators" (2014), constants from
 * memory. Not for several threads.
 */
final class Dice {

  private static final double TO_UNIT = 1.0 / (1L << 53);

  private long state;

  /** Dice of their own for one purpose: different names give unrelated sequences. */
  Dice(long seed, String name) {
    long mixed = seed;
    for (int i = 0; i < name.length(); i++) {
      mixed = mix(mixed + name.charAt(i));
    }
    state = mixed;
  }

  private static long mix(long z) {
    long a = z + 0x9E3779B97F4A7C15L;
    a = (a ^ (a >>> 30)) * 0xBF58476D1CE4E5B9L;
    a = (a ^ (a >>> 27)) * 0x94D049BB133111EBL;
    return a ^ (a >>> 31);
  }

  private long next() {
    long drawn = mix(state);
    state += 0x9E3779B97F4A7C15L;
    return drawn;
  }

  /** Evenly spread over [0, 1). */
  double unit() {
    return (next() >>> 11) * TO_UNIT;
  }

  /** Evenly spread over [low, high). */
  double between(double low, double high) {
    return low + (high - low) * unit();
  }

  /** White noise over [−1, 1). */
  double noise() {
    return 2 * unit() - 1;
  }

  /** Bell-shaped over (−1, 1), mostly near 0: the mean of three. */
  double lean() {
    return (noise() + noise() + noise()) / 3;
  }

  /** One of 0 to count − 1. */
  int pick(int count) {
    return (int) (unit() * count);
  }
}
