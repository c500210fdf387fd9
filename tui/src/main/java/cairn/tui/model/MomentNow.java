package cairn.tui.model;

import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Hit;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Marks;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What can be seen and done at one moment, with the marks as they were.
 *
 * @param marks the marks it was worked out with
 * @param momentFrame peak frame of the moment as listed: which moment this is
 * @param allAlike whether fixes are for all that are alike to it, or for it alone
 * @param pile the peak as it stands
 * @param places the moment first, then all alike to it by rank
 * @param fixes least fixes at this moment alone, of each leading stem, as far as a hand may go, in
 *     place of the one that the stem has here; {@code advice} keeps to the limits of a plan
 * @param advice what could be done, gentlest first; the first is what is proposed; empty: nothing
 *     helps, see {@code why}
 * @param why why nothing is proposed, or what speaks for the first, one line
 * @param wave the close-up
 */
public record MomentNow(
    Marks marks,
    long momentFrame,
    boolean allAlike,
    Pile pile,
    List<Place> places,
    Map<Integer, Fixes> fixes,
    List<Advice> advice,
    String why,
    Wave wave) {

  /**
   * The highest instant in the moment's neighbourhood and what each stem adds there.
   *
   * @param over whether it is over the line
   * @param isLong whether it is over for so long that it is level, not a spike
   * @param peakFrame where
   * @param channel 0 left, 1 right
   * @param level linear
   * @param longestRun longest run of over frames
   * @param depth how many stems it takes; 0 where nothing is over
   * @param contributions in falling order, one a stem
   */
  public record Pile(
      boolean over,
      boolean isLong,
      long peakFrame,
      int channel,
      double level,
      long longestRun,
      int depth,
      List<Contribution> contributions) {
    public Pile {
      contributions = List.copyOf(contributions);
    }

    /** A moment that is over. */
    public static Pile of(Moment moment) {
      return new Pile(
          true,
          moment.isLong(),
          moment.peakFrame(),
          moment.channel(),
          moment.peak(),
          moment.longestRun(),
          moment.depth(),
          moment.contributions());
    }
  }

  /**
   * One place where a fix may be put.
   *
   * @param momentFrame peak frame of the moment there, as listed
   * @param firstOver first frame of its span as the bus stands
   * @param lastOver last frame of its span, inclusive
   * @param hits the hit of each leading stem
   */
  public record Place(long momentFrame, long firstOver, long lastOver, Map<Integer, Hit> hits) {
    public Place {
      hits = Map.copyOf(hits);
    }
  }

  /**
   * The least fixes of one stem at this moment.
   *
   * @param nudge empty: none, or none that helps
   * @param trim empty: none that helps
   * @param clip empty: none that helps
   */
  public record Fixes(Optional<Attempt> nudge, Optional<Attempt> trim, Optional<Attempt> clip) {

    /** The one of a kind. */
    public Optional<Attempt> of(Fix.Kind kind) {
      return switch (kind) {
        case NUDGE -> nudge;
        case TRIM -> trim;
        case CLIP -> clip;
      };
    }
  }

  /**
   * Samples about the peak on the pile's channel, turned so that the peak points up.
   *
   * @param firstFrame frame of the first sample
   * @param peakFrame the pile's peak
   * @param bus the bus with all marks
   * @param stems each leading stem, with its marks on this moment left out
   * @param marked each of them with all marks; the same samples where it has none here
   * @param proposed each stem of {@code advice}, as it would be after the first advice for it
   */
  public record Wave(
      long firstFrame,
      long peakFrame,
      Samples bus,
      Map<Integer, Samples> stems,
      Map<Integer, Samples> marked,
      Map<Integer, Samples> proposed) {
    public Wave {
      stems = Map.copyOf(stems);
      marked = Map.copyOf(marked);
      proposed = Map.copyOf(proposed);
    }
  }

  public MomentNow {
    places = List.copyOf(places);
    fixes = Map.copyOf(fixes);
    advice = List.copyOf(advice);
  }

  /** The same for marks that differ in their notes alone. */
  public MomentNow with(Marks other) {
    return new MomentNow(other, momentFrame, allAlike, pile, places, fixes, advice, why, wave);
  }
}
