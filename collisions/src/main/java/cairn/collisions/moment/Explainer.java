package cairn.collisions.moment;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.StemsOnBus;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/** Says which stem adds what at a moment; definitions.md, 3. For one thread. */
public final class Explainer {

  /** A moment of 35 ms either side at 48 kHz fits into one; all stems are held at once. */
  private static final int EXPLAIN_FRAMES = 4096;

  private final Session session;
  private final HeldLine line;
  private final StemsOnBus stemsOnBus;
  private final long gapFrames;
  private final int stems;
  private final double[][] bus = Block.stereo(EXPLAIN_FRAMES);
  private final double[][][] stem;
  private final double[] amplitude;
  private final double[] levelNear;
  private final double[] peakWithout;

  /**
   * @param stemsOnBus the stems that the moments are the sum of; stays open
   */
  public Explainer(Session session, HeldLine line, StemsOnBus stemsOnBus) {
    this.session = session;
    this.line = line;
    this.stemsOnBus = stemsOnBus;
    gapFrames = OverFrames.gapFrames(session.sampleRateHz());
    stems = session.stems().size();
    stem = new double[stems][2][];
    amplitude = new double[stems];
    levelNear = new double[stems];
    peakWithout = new double[stems];
  }

  /** The moment that a run is, not ranked yet: its rank is 0. */
  public Moment explain(OverRun run) throws IOException {
    TimeRange range = line.grid().range();
    long nearFrom = Math.max(range.firstFrame(), run.peakFrame() - gapFrames);
    long nearTo = Math.min(range.endFrame(), run.peakFrame() + gapFrames + 1);
    Arrays.fill(levelNear, 0);
    Arrays.fill(peakWithout, 0);
    long end = Math.max(nearTo, run.lastOver() + 1);
    for (long from = Math.min(nearFrom, run.firstOver()); from < end; from += EXPLAIN_FRAMES) {
      int frames = (int) Math.min(EXPLAIN_FRAMES, end - from);
      explainPiece(run, from, frames, nearFrom, nearTo);
    }
    double a = line.averagePeakAt(run.peakFrame());
    double t = line.levelAt(run.peakFrame());
    List<Contribution> falling = falling(run);
    return new Moment(
        0,
        run.peakFrame(),
        run.channel(),
        run.peak(),
        a,
        t,
        run.firstOver(),
        run.lastOver(),
        run.overFrames(),
        run.longestRun(),
        Depth.of(falling, a, t),
        OverRun.isLong(run.firstOver(), run.lastOver(), session.sampleRateHz()),
        falling);
  }

  private void explainPiece(OverRun run, long from, int frames, long nearFrom, long nearTo)
      throws IOException {
    Block.clear(bus, 0, frames);
    for (int k = 0; k < stems; k++) {
      if (stem[k][0] == null) {
        stem[k] = Block.stereo(EXPLAIN_FRAMES);
      }
      stemsOnBus.stemOnBus(k, from, frames, stem[k]);
      Block.add(bus[0], stem[k][0], 1, 0, frames);
      Block.add(bus[1], stem[k][1], 1, 0, frames);
    }
    int near0 = clip(nearFrom - from, frames);
    int near1 = clip(nearTo - from, frames);
    int span0 = clip(run.firstOver() - from, frames);
    int span1 = clip(run.lastOver() + 1 - from, frames);
    for (int k = 0; k < stems; k++) {
      for (int c = 0; c < 2; c++) {
        levelNear[k] = Math.max(levelNear[k], Block.peak(stem[k][c], near0, near1));
        peakWithout[k] =
            Math.max(peakWithout[k], Block.peakOfDifference(bus[c], stem[k][c], span0, span1));
      }
    }
    if (run.peakFrame() >= from && run.peakFrame() < from + frames) {
      int at = (int) (run.peakFrame() - from);
      double sign = Math.signum(bus[run.channel()][at]);
      for (int k = 0; k < stems; k++) {
        amplitude[k] = sign * stem[k][run.channel()][at];
      }
    }
  }

  private static int clip(long at, int frames) {
    return (int) Math.max(0, Math.min(frames, at));
  }

  private List<Contribution> falling(OverRun run) {
    List<Contribution> falling = new ArrayList<>(stems);
    for (int k = 0; k < stems; k++) {
      // Adding 0 turns −0 into 0.
      double a = amplitude[k] + 0.0;
      falling.add(new Contribution(k, a, a / run.peak(), levelNear[k], peakWithout[k]));
    }
    falling.sort(Comparator.comparingDouble(Contribution::amplitude).reversed());
    return falling;
  }
}
