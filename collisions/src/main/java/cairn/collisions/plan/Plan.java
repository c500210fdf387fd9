package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.line.HeldLine;
import java.util.List;

/**
 * A proposed set of fixes, and what comes of it; definitions.md, 5. Nothing of it is taken until
 * the engineer takes it.
 *
 * @param line the line that it was made for
 * @param peakBefore highest level of the bus with the marks that were taken before, linear
 * @param peakAfter the same with the plan's marks too, linear
 * @param fixes the fixes in the order in which they apply
 * @param moments how many moments were over the line before
 * @param cleared how many of them are cleared
 * @param partlyCleared how many are lowered, but still over
 * @param open every moment that is still over, in time order: those partly cleared, those left, and
 *     those that came up
 * @param finePriceDb by how many dB the peak would be lower at the end without the moments called
 *     fine, at most down to the line; 0 if there are none
 * @param alteredFrames sum of the affected ranges of the plan's marks
 * @param alteredSeconds the same in seconds
 * @param alteredShare the same as a share of the length of all stems together
 * @param ladder how many moments and fixes each half dB asks for, on the bus without marks
 */
public record Plan(
    HeldLine line,
    double peakBefore,
    double peakAfter,
    List<PlannedFix> fixes,
    int moments,
    int cleared,
    int partlyCleared,
    List<OpenMoment> open,
    double finePriceDb,
    long alteredFrames,
    double alteredSeconds,
    double alteredShare,
    Ladder ladder) {

  public Plan {
    fixes = List.copyOf(fixes);
    open = List.copyOf(open);
  }

  /** By how many dB the highest peak comes down. */
  public double wonDb() {
    return Decibels.ofAmplitude(peakBefore) - Decibels.ofAmplitude(peakAfter);
  }

  /** How many marks it has: a fix in several places counts in each. */
  public int places() {
    return marks().size();
  }

  /** How many of the moments before are left as they were. */
  public int left() {
    return moments - cleared - partlyCleared;
  }

  /** Its marks in the order in which they apply, to be taken after those taken before. */
  public List<Mark.OfFix> marks() {
    return fixes.stream().flatMap(fix -> fix.marks().stream()).toList();
  }
}
