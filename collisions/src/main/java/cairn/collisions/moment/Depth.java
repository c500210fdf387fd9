package cairn.collisions.moment;

import java.util.List;

/** How many stems it takes; definitions.md, 3. */
final class Depth {

  private Depth() {}

  /**
   * The least number of contributions, from the largest on, that add up to more than the smaller of
   * the average peak and the line; one is enough only if it passes the line alone.
   *
   * @param falling contributions in falling order
   * @param averagePeak {@code A} at the moment, linear
   * @param line {@code T} at the moment, linear
   */
  static int of(List<Contribution> falling, double averagePeak, double line) {
    double enough = Math.min(averagePeak, line);
    double sum = 0;
    int adding = 0;
    for (int i = 0; i < falling.size() && falling.get(i).amplitude() > 0; i++) {
      adding++;
      sum += falling.get(i).amplitude();
      if (i == 0 ? sum > line : sum > enough) {
        return i + 1;
      }
    }
    // Only rounding leads here, since the bus, summed in stem order, is over the line. It takes all
    // stems that add to the peak; one that is silent or eases it never makes up the depth.
    return adding;
  }
}
