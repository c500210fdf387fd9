package cairn.collisions.moment;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
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
  private final Levels reading;
  private final int reach;
  private final double[][] bus;
  private final double[] rest;
  private final double[][][] stem;
  private int instant;
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
    reading = Levels.of(line.mode());
    reach = reading.reach();
    bus = Block.stereo(EXPLAIN_FRAMES + 2 * reach);
    rest = new double[reach == 0 ? 0 : EXPLAIN_FRAMES + 2 * reach];
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
        falling,
        0,
        1,
        instant / 8.0);
  }

  /** Blocks hold the piece from index {@code reach} on, and as many frames on either side of it. */
  private void explainPiece(OverRun run, long from, int frames, long nearFrom, long nearTo)
      throws IOException {
    int all = frames + 2 * reach;
    long first = from - reach;
    Block.clear(bus, 0, all);
    for (int k = 0; k < stems; k++) {
      if (stem[k][0] == null) {
        stem[k] = Block.stereo(EXPLAIN_FRAMES + 2 * reach);
      }
      stemsOnBus.stemOnBus(k, first, all, stem[k]);
      silenceOutside(stem[k], first, all);
      Block.add(bus[0], stem[k][0], 1, 0, all);
      Block.add(bus[1], stem[k][1], 1, 0, all);
    }
    int near0 = reach + clip(nearFrom - from, frames);
    int near1 = reach + clip(nearTo - from, frames);
    int span0 = reach + clip(run.firstOver() - from, frames);
    int span1 = reach + clip(run.lastOver() + 1 - from, frames);
    for (int k = 0; k < stems; k++) {
      for (int c = 0; c < 2; c++) {
        levelNear[k] = reading.peak(stem[k][c], near0, near1, levelNear[k]);
        peakWithout[k] =
            reach == 0
                ? Math.max(peakWithout[k], Block.peakOfDifference(bus[c], stem[k][c], span0, span1))
                : peakOfRest(bus[c], stem[k][c], span0, span1, peakWithout[k]);
      }
    }
    if (run.peakFrame() >= from && run.peakFrame() < from + frames) {
      int at = (int) (run.peakFrame() - first);
      instant = reading.instantAt(bus[run.channel()], at);
      double sign = Math.signum(reading.at(bus[run.channel()], at, instant));
      for (int k = 0; k < stems; k++) {
        amplitude[k] = sign * reading.at(stem[k][run.channel()], at, instant);
      }
    }
  }

  private double peakOfRest(double[] b, double[] y, int from, int to, double highest) {
    if (from >= to) {
      return highest;
    }
    for (int i = from - reach; i < to + reach; i++) {
      rest[i] = b[i] - y[i];
    }
    return reading.peak(rest, from, to, highest);
  }

  /** Only frames that levels reach for can lie outside the range that is looked at. */
  private void silenceOutside(double[][] y, long first, int frames) {
    TimeRange range = line.grid().range();
    Block.clear(y, 0, clip(range.firstFrame() - first, frames));
    Block.clear(y, clip(range.endFrame() - first, frames), frames);
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
