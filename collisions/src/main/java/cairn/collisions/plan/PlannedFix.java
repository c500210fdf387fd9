package cairn.collisions.plan;

import cairn.collisions.fix.Fix;
import java.util.List;
import java.util.Optional;

/**
 * One fix of a plan, with all the places where the same amount serves.
 *
 * @param marks one mark a place, the moment that it was found for first; at least one
 * @param gentleness the class that it was taken from
 * @param cleared whether it clears its moments, as the bus then stood; else it only lowers its one
 * @param peakAfter highest level of the bus after it and all before it, linear
 * @param alteredFrames frames of the stem that it changes, in all places
 * @param toneCostDb what it costs in tone, in dB; in several places the largest of them
 * @param isDear whether that is over the limit, so that it was taken for want of others
 * @param next the next best fix that clears its first moment; empty: there is none
 * @param reason what speaks for it, in plain words, for people
 * @param care what to listen for and what moves along, in the same words; empty: nothing
 */
public record PlannedFix(
    List<Mark.OfFix> marks,
    Gentleness gentleness,
    boolean cleared,
    double peakAfter,
    long alteredFrames,
    double toneCostDb,
    boolean isDear,
    Optional<Next> next,
    String reason,
    String care) {

  /**
   * What would have been taken in its place.
   *
   * @param fix the fix
   * @param toneCostDb what it costs in tone, in dB
   */
  public record Next(Fix fix, double toneCostDb) {}

  public PlannedFix {
    marks = List.copyOf(marks);
  }

  /** The fix at its first place; the others differ in their frames only. */
  public Fix fix() {
    return marks.get(0).fix();
  }

  /** What speaks for it and what to listen for, in one sentence. */
  public String why() {
    return care.isEmpty() ? reason : reason + "; " + care;
  }

  /** Index of the stem. */
  public int stem() {
    return fix().stem();
  }
}
