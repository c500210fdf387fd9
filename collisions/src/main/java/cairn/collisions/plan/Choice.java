package cairn.collisions.plan;

import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixesHere;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * A fix that a plan may take at a moment.
 *
 * @param attempt the least fix of its stem and kind
 * @param gentleness its class; of a nudge that is not sure, that of one that does not comb
 * @param share share of the stem in the peak
 * @param toneCostDb what it costs in tone; empty: not sure, it is not known yet, nor whether it
 *     combs
 * @param isDear whether that is over the limit; false while it is not sure
 */
record Choice(
    Attempt attempt,
    Gentleness gentleness,
    double share,
    OptionalDouble toneCostDb,
    boolean isDear) {

  /** A partial fix must win at least 0.1 dB: the factor of that. */
  static final double WORTH = Math.pow(10, -0.1 / 20);

  /**
   * The gentlest first, dear ones last; the larger contribution, then stem and kind in order, on a
   * tie.
   */
  static final Comparator<Choice> GENTLEST =
      Comparator.comparing(Choice::isDear)
          .thenComparing(Choice::gentleness)
          .thenComparingLong(Choice::amount)
          .thenComparing(Comparator.comparingDouble(Choice::share).reversed())
          .thenComparingInt(choice -> choice.fix().stem())
          .thenComparing(choice -> choice.fix().kind());

  /** The last resorts only if there is no other; the gentler on a tie. */
  static final Comparator<Choice> LOWEST =
      Comparator.comparing((Choice choice) -> choice.isLastResort())
          .thenComparingDouble(choice -> choice.attempt().leftLevel())
          .thenComparing(GENTLEST);

  /** Whether it is known what it costs in tone, and whether it combs. */
  boolean isSure() {
    return toneCostDb.isPresent();
  }

  /** Whether it is taken only if nothing else helps. */
  boolean isLastResort() {
    return isDear || gentleness.isLastResort();
  }

  Fix fix() {
    return attempt.fix();
  }

  long amount() {
    return Gentleness.amount(attempt.fix(), attempt.change());
  }

  /**
   * The gentlest that clears; if none does, the partial one that leaves the lowest peak, if that is
   * worth it. Sure, since whether it combs and what it costs in tone is asked before it is taken.
   *
   * @param peak the peak before, linear
   * @param here the moment
   * @param dearOverDb over which tone cost a fix is dear
   */
  static Optional<Choice> best(
      List<Choice> choices, double peak, FixesHere here, double dearOverDb) {
    List<Choice> open = new ArrayList<>(choices);
    while (true) {
      Optional<Choice> best = best(open, peak);
      if (best.isEmpty() || best.get().isSure()) {
        return best;
      }
      // One that combs or is dear moves back, none moves forward: the first sure one is the best.
      open.set(open.indexOf(best.get()), best.get().sure(here, dearOverDb));
    }
  }

  /**
   * The least fix of a stem and kind at a moment, if there is one. It is not sure.
   *
   * @param here the moment
   */
  static Optional<Choice> least(FixesHere here, int stem, Fix.Kind kind, int sampleRateHz) {
    Optional<Attempt> attempt =
        switch (kind) {
          case NUDGE -> here.leastNudgeAlone(stem);
          case TRIM -> here.leastTrim(stem);
          case CLIP -> here.leastClip(stem);
        };
    return attempt.map(
        found ->
            new Choice(
                found,
                Gentleness.of(
                    found.fix(), found.change(), false, here.hit(stem).sustained(), sampleRateHz),
                here.share(stem),
                OptionalDouble.empty(),
                false));
  }

  /** The same, with it known whether it combs and what it costs in tone. */
  Choice sure(FixesHere here, double dearOverDb) {
    if (isSure()) {
      return this;
    }
    boolean combs = fix().kind() == Fix.Kind.NUDGE && !here.combs(fix().stem()).isEmpty();
    double cost = here.toneCostDb(fix());
    return new Choice(
        combs ? combing(here) : attempt,
        combs ? Gentleness.COMBING_NUDGE : gentleness,
        share,
        OptionalDouble.of(cost),
        cost > dearOverDb);
  }

  private Attempt combing(FixesHere here) {
    return new Attempt(
        fix(), attempt.cleared(), attempt.leftLevel(), attempt.change(), here.combs(fix().stem()));
  }

  private static Optional<Choice> best(List<Choice> choices, double peak) {
    Optional<Choice> clearing =
        choices.stream().filter(choice -> choice.attempt().cleared()).min(GENTLEST);
    return clearing.isPresent()
        ? clearing
        : choices.stream()
            .min(LOWEST)
            .filter(choice -> choice.attempt().leftLevel() <= peak * WORTH);
  }
}
