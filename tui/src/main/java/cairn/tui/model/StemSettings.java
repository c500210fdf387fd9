package cairn.tui.model;

import cairn.collisions.Yokes;
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

  private static final Comparator<StemMove> MOST_USEFUL =
      Comparator.comparingInt(StemMove::left).thenComparingDouble(StemMove::peakAfter);

  /**
   * The settings of a stem, or of those that it moves with, that leave fewer moments than there
   * are: the fewest first, then the lowest peak.
   *
   * @param moments how many there are without it
   */
  public List<StemMove> helping(int stem, Yokes yokes, int moments) {
    return moves.stream()
        .filter(move -> move.setting().moved(yokes).contains(stem) && move.helps(moments))
        .sorted(MOST_USEFUL)
        .toList();
  }

  /** The most useful setting of all; empty: none leaves fewer. */
  public Optional<StemMove> mostUseful(int moments) {
    return moves.stream().filter(move -> move.helps(moments)).min(MOST_USEFUL);
  }
}
