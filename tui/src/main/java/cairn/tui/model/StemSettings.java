package cairn.tui.model;

import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.StemMove;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * What one setting of a stem for the whole song would do, as the Stems screen shows it.
 *
 * @param leftAlone the stems that were passed over
 * @param isThere whether it is worked out
 * @param moves the best setting of each stem and kind, without any mark
 * @param shared stems that carry the same sound and are not yoked
 * @param failure why it is not there; empty: nothing failed
 */
public record StemSettings(
    Set<Integer> leftAlone,
    boolean isThere,
    List<StemMove> moves,
    List<SharedSound> shared,
    String failure) {

  public StemSettings {
    leftAlone = Set.copyOf(leftAlone);
    moves = List.copyOf(moves);
    shared = List.copyOf(shared);
  }

  /** Being worked out. */
  public static StemSettings pending(Set<Integer> leftAlone) {
    return new StemSettings(leftAlone, false, List.of(), List.of(), "");
  }

  /**
   * The setting of a stem that leaves the fewest moments, then the lowest peak.
   *
   * @param moments how many there are without it
   * @return empty: none leaves fewer
   */
  public Optional<StemMove> best(int stem, int moments) {
    return moves.stream()
        .filter(move -> move.setting().stem() == stem && move.helps(moments))
        .min(Comparator.comparingInt(StemMove::left).thenComparingDouble(StemMove::peakAfter));
  }
}
