package cairn.tui.model;

import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Ladder;
import cairn.collisions.plan.Marks;
import java.util.List;
import java.util.function.IntToDoubleFunction;

/**
 * The bus with marks applied.
 *
 * @param marks the marks
 * @param peak its largest level, linear
 * @param runs what is over the line, in time order
 * @param newRuns those of them that count as no listed moment
 * @param ladder headroom against moments and fixes that are left
 * @param blockPeak the largest level of each block of the pass's summary, linear
 */
public record BusNow(
    Marks marks,
    double peak,
    List<OverRun> runs,
    List<OverRun> newRuns,
    Ladder ladder,
    IntToDoubleFunction blockPeak) {
  public BusNow {
    runs = List.copyOf(runs);
    newRuns = List.copyOf(newRuns);
  }

  /** The same sum for marks that differ in their notes, or in what is called fine. */
  public BusNow with(Marks other) {
    return new BusNow(other, peak, runs, newRuns, ladder, blockPeak);
  }
}
