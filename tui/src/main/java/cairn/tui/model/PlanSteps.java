package cairn.tui.model;

import cairn.collisions.plan.Mark;
import java.util.List;
import java.util.Optional;

/**
 * What the rows of a plan come to one after the other, where the plan itself does not tell: with
 * fixes that were taken before it, other fixes, other amounts or rows dropped.
 *
 * @param steps the marks of each row, without notes; none for a row that is dropped
 * @param peaks the largest level of the bus after each of them, linear; fewer: the rest is being
 *     worked out
 * @param toneCostsDb tone cost of each in dB; NaN: there is nothing to be held against
 * @param over how many moments are over the line after all of them
 */
public record PlanSteps(
    List<List<Mark.OfFix>> steps, List<Double> peaks, List<Double> toneCostsDb, int over) {
  public PlanSteps {
    steps = List.copyOf(steps);
    peaks = List.copyOf(peaks);
    toneCostsDb = List.copyOf(toneCostsDb);
  }

  /** Being worked out; what the first steps come to is known where they were the same before. */
  public static PlanSteps pending(List<List<Mark.OfFix>> steps, Optional<PlanSteps> before) {
    int same = 0;
    List<Double> known = before.map(PlanSteps::peaks).orElse(List.of());
    int most = Math.min(known.size(), steps.size() - 1);
    while (same < most && steps.get(same).equals(before.orElseThrow().steps.get(same))) {
      same++;
    }
    return new PlanSteps(
        steps,
        known.subList(0, same),
        before.map(PlanSteps::toneCostsDb).orElse(List.of()).subList(0, same),
        0);
  }

  /** Whether they are worked out. */
  public boolean isThere() {
    return peaks.size() == steps.size();
  }
}
