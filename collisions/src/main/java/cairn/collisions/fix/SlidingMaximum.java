package cairn.collisions.fix;

/** The largest value near each place. */
final class SlidingMaximum {

  private SlidingMaximum() {}

  /**
   * {@code max(p[i − reach .. i + reach])} for every {@code i}, ends cut off. Block by block of
   * {@code 2·reach + 1}, from running maxima forwards and backwards (van Herk 1992, from memory):
   * three comparisons a value for any reach.
   */
  static double[] of(double[] p, int reach) {
    int frames = p.length;
    int width = 2 * reach + 1;
    double[] forwards = new double[frames];
    double[] backwards = new double[frames];
    for (int i = 0; i < frames; i++) {
      forwards[i] = i % width == 0 ? p[i] : Math.max(forwards[i - 1], p[i]);
    }
    for (int i = frames - 1; i >= 0; i--) {
      boolean starts = i == frames - 1 || (i + 1) % width == 0;
      backwards[i] = starts ? p[i] : Math.max(backwards[i + 1], p[i]);
    }
    double[] largest = new double[frames];
    for (int i = 0; i < frames; i++) {
      int from = Math.max(0, i - reach);
      int to = Math.min(frames - 1, i + reach);
      // A stretch within one block starts with it or ends with it, or with the array.
      if (from / width != to / width) {
        largest[i] = Math.max(backwards[from], forwards[to]);
      } else {
        largest[i] = from % width == 0 ? forwards[to] : backwards[from];
      }
    }
    return largest;
  }
}
