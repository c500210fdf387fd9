package cairn.tui.effect;

import cairn.collisions.fix.FixFinder;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.WhatIf;
import cairn.tui.model.PlanSteps;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;

/** Works out what the rows of a plan come to, one after the other. */
public final class StepPeaks {

  private StepPeaks() {}

  /**
   * Sums the bus after each step.
   *
   * @param any a what-if of the pass, with any marks
   * @param finder for tone costs, without limits
   * @param cancelled whether nobody waits for it any more
   * @return empty if it was cancelled
   */
  public static Optional<PlanSteps> of(
      WhatIf any, FixFinder finder, List<List<Mark.OfFix>> steps, BooleanSupplier cancelled)
      throws IOException {
    WhatIf now = any.to(Marks.NONE);
    List<Double> peaks = new ArrayList<>();
    List<Double> costs = new ArrayList<>();
    for (List<Mark.OfFix> step : steps) {
      if (cancelled.getAsBoolean()) {
        return Optional.empty();
      }
      costs.add(toneCostDb(now, finder, step));
      now = now.to(now.marks().addAll(step));
      peaks.add(now.peak());
    }
    return Optional.of(new PlanSteps(steps, peaks, costs, now.runs().size()));
  }

  private static double toneCostDb(WhatIf before, FixFinder finder, List<Mark.OfFix> step)
      throws IOException {
    double largest = Double.NaN;
    for (Mark.OfFix mark : step) {
      Optional<OverRun> run = before.highestAt(mark.momentFrame());
      if (run.isPresent()) {
        double cost = before.fixes(finder, run.get()).toneCostDb(mark.fix());
        largest = Double.isNaN(largest) ? cost : Math.max(largest, cost);
      }
    }
    return largest;
  }
}
