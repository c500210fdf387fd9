package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * What is left at the earlier moments that are gone: the highest level in each of their
 * neighbourhoods, and who adds what to it; definitions.md, 5.
 */
public final class GoneMoments {

  private GoneMoments() {}

  /**
   * One for each earlier moment that is gone and not silent now, in the order of the fates. Their
   * ranks follow those of the moments that there are; nothing of them is over the line.
   *
   * @param comparison with the earlier pass
   * @param whatIf a what-if of the later pass, without marks
   * @param moments how many moments the later pass has
   */
  public static List<Moment> of(PassComparison comparison, WhatIf whatIf, int moments)
      throws IOException {
    long gapFrames = OverFrames.gapFrames(comparison.earlier().sampleRateHz());
    List<Moment> gone = new ArrayList<>();
    for (PassComparison.Fate fate : comparison.fates()) {
      if (fate.state() == PassComparison.State.GONE && fate.peakNow() > 0) {
        long shift = comparison.shiftFrames();
        Optional<OverRun> highest =
            highest(
                whatIf,
                fate.moment().firstOver() - gapFrames + shift,
                fate.moment().lastOver() + 1 + gapFrames + shift);
        if (highest.isPresent()) {
          gone.add(ranked(whatIf.explain(highest.get()), moments + gone.size() + 1));
        }
      }
    }
    return gone;
  }

  /** The highest frame of a stretch, as a run of its own. */
  private static Optional<OverRun> highest(WhatIf whatIf, long firstFrame, long endFrame)
      throws IOException {
    Optional<TimeRange> where = whatIf.within(firstFrame, endFrame);
    if (where.isEmpty()) {
      return Optional.empty();
    }
    double[] levels = whatIf.levels(where.get());
    int at = 0;
    for (int i = 1; i < levels.length; i++) {
      at = levels[i] > levels[at] ? i : at;
    }
    long frame = where.get().firstFrame() + at;
    return levels[at] > 0
        ? Optional.of(
            new OverRun(frame, frame, frame, whatIf.channelAt(frame), levels[at], 0, 0, 0, 0))
        : Optional.empty();
  }

  private static Moment ranked(Moment found, int rank) {
    return new Moment(
        rank,
        found.peakFrame(),
        found.channel(),
        found.peak(),
        found.averagePeak(),
        found.line(),
        found.firstOver(),
        found.lastOver(),
        0,
        0,
        found.depth(),
        false,
        found.contributions(),
        rank,
        1,
        found.instant());
  }
}
