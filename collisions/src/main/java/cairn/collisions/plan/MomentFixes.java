package cairn.collisions.plan;

import cairn.collisions.Pass;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Proposals;
import cairn.collisions.fix.ToneCost;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.HeldLine;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;

/**
 * What can be done about one moment of a pass, as the bus stands without marks; definitions.md, 4.
 *
 * @param leading the least fixes of each leading stem that is not left alone, by contribution
 * @param combs for each of them, the leading stems that carry the same sound
 * @param gentlest the fix that a plan would take here: the gentlest that clears, else the partial
 *     one that leaves the lowest peak
 * @param toneCostsDb what each of the fixes costs in tone, in dB
 */
public record MomentFixes(
    List<Proposals> leading,
    List<List<Integer>> combs,
    Optional<Attempt> gentlest,
    Map<Fix, Double> toneCostsDb) {

  public MomentFixes {
    leading = List.copyOf(leading);
    combs = List.copyOf(combs);
    toneCostsDb = Map.copyOf(toneCostsDb);
  }

  /**
   * The fixes at some moments.
   *
   * @param moments moments of the pass
   * @param limits how far a single fix may go
   * @param leftAlone indices of the stems that no fix may touch
   * @return one for each of the moments, in their order; with no fix at all for a long one
   */
  public static List<MomentFixes> at(
      Pass pass,
      StemSource source,
      List<Moment> moments,
      FixLimits limits,
      Set<Integer> leftAlone,
      Crew crew,
      Progress progress)
      throws IOException {
    HeldLine line = pass.line();
    FixFinder finder = new FixFinder(pass.session(), line, limits);
    int rateHz = pass.session().sampleRateHz();
    MomentFixes[] fixes = new MomentFixes[moments.size()];
    Toll toll = new Toll(progress, Progress.Step.PLAN, moments.size());
    try (WhatIf whatIf = WhatIf.of(pass, line, source, crew, Progress.NONE)) {
      crew.share(
          fixes.length,
          () ->
              task -> {
                fixes[task] = at(whatIf, finder, moments.get(task), leftAlone, rateHz);
                toll.pay(1);
              });
    }
    return Arrays.asList(fixes);
  }

  private static MomentFixes at(
      WhatIf whatIf, FixFinder finder, Moment moment, Set<Integer> leftAlone, int rateHz)
      throws IOException {
    Optional<OverRun> run = whatIf.listedAt(moment.peakFrame());
    if (moment.isLong() || run.isEmpty()) {
      return new MomentFixes(List.of(), List.of(), Optional.empty(), Map.of());
    }
    FixesHere here = whatIf.fixes(finder, run.get());
    List<Proposals> leading = new ArrayList<>();
    List<List<Integer>> combs = new ArrayList<>();
    List<Choice> choices = new ArrayList<>();
    Map<Fix, Double> costs = new HashMap<>();
    for (Contribution contribution : moment.leading()) {
      int k = contribution.stem();
      if (leftAlone.contains(k)) {
        continue;
      }
      Proposals proposals = here.proposals(k);
      List<Integer> same = here.combs(k);
      leading.add(proposals);
      combs.add(same);
      for (Optional<Attempt> attempt :
          List.of(proposals.nudge(), proposals.trim(), proposals.clip())) {
        attempt.ifPresent(a -> costs.put(a.fix(), here.toneCostDb(a.fix())));
        attempt
            .filter(a -> isWithin(PlanOptions.DEFAULT.limits(), a, rateHz))
            .map(
                a ->
                    new Choice(
                        a,
                        Gentleness.of(
                            a.fix(),
                            a.change(),
                            !same.isEmpty(),
                            proposals.hit().sustained(),
                            rateHz),
                        contribution.share(),
                        OptionalDouble.of(costs.get(a.fix())),
                        costs.get(a.fix()) > ToneCost.DEAR_OVER_DB))
            .ifPresent(choices::add);
      }
    }
    Optional<Attempt> gentlest =
        Choice.best(choices, moment.peak(), here, ToneCost.DEAR_OVER_DB).map(Choice::attempt);
    return new MomentFixes(leading, combs, gentlest, costs);
  }

  /** Whether a plan would take it at all. */
  private static boolean isWithin(FixLimits limits, Attempt attempt, int sampleRateHz) {
    if (attempt.fix() instanceof Trim trim) {
      return trim.tenthsDb() <= limits.trimTenthsDb();
    }
    return !(attempt.fix() instanceof Clip)
        || attempt.change().longestLobeFrames() <= limits.lobeFrames(sampleRateHz);
  }
}
