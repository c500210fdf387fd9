package cairn.collisions.plan;

import cairn.collisions.fix.Fix;
import java.util.List;

/**
 * One thing that could be done about a moment, in all places where the same amount serves;
 * definitions.md, 3 (alike) and 5 (order of gentleness).
 *
 * @param stem index of the stem
 * @param kind what is done
 * @param marks one a place, the moment that was asked for first; not yet made
 * @param cleared how many of the places it clears
 * @param places how many places were asked for
 * @param gentleness its class
 * @param leftLevel highest level left in the neighbourhood of the moment asked for, linear
 * @param longestLobeFrames of a clip; else 0
 * @param clippedFrames frames that a clip changes at the moment asked for; else 0
 * @param toneCostDb what it costs in tone at the moment asked for, in dB
 * @param isDear whether that is over the limit
 * @param combs the other leading stems that carry the same sound; empty but for a nudge
 */
public record Advice(
    int stem,
    Fix.Kind kind,
    List<Mark.OfFix> marks,
    int cleared,
    int places,
    Gentleness gentleness,
    double leftLevel,
    long longestLobeFrames,
    long clippedFrames,
    double toneCostDb,
    boolean isDear,
    List<Integer> combs) {

  public Advice {
    marks = List.copyOf(marks);
    combs = List.copyOf(combs);
    if (marks.isEmpty()) {
      throw new IllegalArgumentException("marks must not be empty");
    }
  }

  /** Whether it clears every place that was asked for. */
  public boolean clearsAll() {
    return cleared == places;
  }
}
