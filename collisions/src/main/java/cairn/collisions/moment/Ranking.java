package cairn.collisions.moment;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;

/** The order of a list of moments; definitions.md, 3. */
public final class Ranking {

  private Ranking() {}

  /** Moments in time order, ranked: excess downwards, then time upwards. */
  public static List<Moment> ranked(List<Moment> inTime) {
    List<Moment> order = new ArrayList<>(inTime);
    // On the linear ratio, not on rounded decibels; the sort is stable, so time order stays.
    order.sort(Comparator.comparingDouble((Moment m) -> m.peak() / m.averagePeak()).reversed());
    List<Moment> ranked = new ArrayList<>(order.size());
    for (Moment moment : order) {
      ranked.add(moment.withRank(ranked.size() + 1));
    }
    return Collections.unmodifiableList(ranked);
  }
}
