package cairn.collisions.moment;

import java.util.List;

/**
 * What is over a line.
 *
 * @param runs in time order, as they were found
 * @param moments the same explained, by rank
 */
public record OverLine(List<OverRun> runs, List<Moment> moments) {

  public OverLine {
    runs = List.copyOf(runs);
    moments = List.copyOf(moments);
    if (runs.size() != moments.size()) {
      throw new IllegalArgumentException(
          "runs and moments must be as many: runs=" + runs.size() + ", moments=" + moments.size());
    }
  }
}
