package cairn.collisions.moment;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.OverBlocks;
import cairn.collisions.line.Summary;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;

/**
 * Second pass, sparse: reads again only what lies about the line, finds the moments and explains
 * them.
 */
public final class MomentFinder {

  private static final int PIECE_FRAMES = 8192;

  /** A moment of 35 ms either side at 48 kHz fits into one; all stems are held at once. */
  private static final int EXPLAIN_FRAMES = 4096;

  private static final int TASKS_PER_WORKER = 8;

  private final Session session;
  private final StemSource source;
  private final Summary summary;
  private final Crew crew;
  private final Progress progress;
  private final long gapFrames;

  /** A finder for the bus that the summary is of. */
  public MomentFinder(
      Session session, StemSource source, Summary summary, Crew crew, Progress progress) {
    this.session = session;
    this.source = source;
    this.summary = summary;
    this.crew = crew;
    this.progress = progress;
    gapFrames = OverFrames.gapFrames(session.sampleRateHz());
  }

  /** How many moments a line would leave; nothing is explained. */
  public int count(HeldLine line) throws IOException {
    List<TimeRange> ranges = OverBlocks.of(summary, line, PIECE_FRAMES);
    return overRuns(line, ranges, new Toll(progress, Progress.Step.EXPLAIN, units(ranges))).size();
  }

  /**
   * All moments, by rank.
   *
   * @param most the largest number of moments that will be explained
   * @throws Unanalysable.TooManyMoments if there are more
   */
  public List<Moment> find(HeldLine line, int most)
      throws IOException, Unanalysable.TooManyMoments {
    List<TimeRange> ranges = OverBlocks.of(summary, line, PIECE_FRAMES);
    long units = units(ranges);
    // To find the moments is told as half of the work, to explain them as the other half.
    Toll toll = new Toll(progress, Progress.Step.EXPLAIN, 2 * units);
    List<OverRun> runs = overRuns(line, ranges, toll);
    if (runs.size() > most) {
      throw new Unanalysable.TooManyMoments(runs.stream().map(OverRun::peak).toList());
    }
    Moment[] moments = new Moment[runs.size()];
    crew.share(
        moments.length,
        () ->
            new Explainer(line, toll) {
              @Override
              public void work(int task) throws IOException {
                moments[task] = explain(runs.get(task));
                toll.pay(units * (task + 1) / moments.length - units * task / moments.length);
              }
            });
    return Alike.group(session, source, summary.grid().range(), crew, ranked(List.of(moments)));
  }

  /** Excess downwards, then time upwards. */
  private static List<Moment> ranked(List<Moment> inTime) {
    List<Moment> order = new ArrayList<>(inTime);
    // On the linear ratio, not on rounded decibels; the sort is stable, so time order stays.
    order.sort(Comparator.comparingDouble((Moment m) -> m.peak() / m.averagePeak()).reversed());
    List<Moment> ranked = new ArrayList<>(order.size());
    for (Moment moment : order) {
      ranked.add(moment.withRank(ranked.size() + 1));
    }
    return Collections.unmodifiableList(ranked);
  }

  /** Frames times stems. */
  private long units(List<TimeRange> ranges) {
    return ranges.stream().mapToLong(TimeRange::frames).sum() * session.stems().size();
  }

  private List<OverRun> overRuns(HeldLine line, List<TimeRange> ranges, Toll toll)
      throws IOException {
    int tasks = Math.min(ranges.size(), crew.workers() * TASKS_PER_WORKER);
    List<List<OverRun>> parts = new ArrayList<>(Collections.nCopies(tasks, List.<OverRun>of()));
    crew.share(
        tasks,
        () ->
            new Scanner() {
              @Override
              public void work(int task) throws IOException {
                int first = (int) ((long) ranges.size() * task / tasks);
                int end = (int) ((long) ranges.size() * (task + 1) / tasks);
                OverFrames over = new OverFrames(line, gapFrames);
                for (TimeRange range : ranges.subList(first, end)) {
                  scan(range, over, toll);
                }
                parts.set(task, over.found());
              }
            });
    return OverRun.joinedAll(parts, gapFrames);
  }

  /** Sums ranges again and looks for over frames. */
  private abstract class Scanner implements Crew.Worker {
    final MixDown mixDown = new MixDown(session, source.openReader());
    final double[][] bus = Block.stereo(PIECE_FRAMES);
    private final double[] levels = new double[PIECE_FRAMES];

    Scanner() throws IOException {}

    final void scan(TimeRange range, OverFrames over, Toll toll) throws IOException {
      for (long from = range.firstFrame(); from < range.endFrame(); from += PIECE_FRAMES) {
        int frames = (int) Math.min(PIECE_FRAMES, range.endFrame() - from);
        mixDown.sum(from, frames, bus);
        Block.levels(levels, bus, 0, frames);
        over.look(bus, levels, from, frames);
        toll.pay((long) frames * session.stems().size());
      }
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }

  /** Says which stem adds what at a moment. */
  private abstract class Explainer implements Crew.Worker {
    private final HeldLine line;
    private final Toll toll;
    private final int stems = session.stems().size();
    private final MixDown mixDown = new MixDown(session, source.openReader());
    private final double[][] bus = Block.stereo(EXPLAIN_FRAMES);
    private final double[][][] stem = new double[stems][2][];
    private final double[] amplitude = new double[stems];
    private final double[] levelNear = new double[stems];
    private final double[] peakWithout = new double[stems];

    Explainer(HeldLine line, Toll toll) throws IOException {
      this.line = line;
      this.toll = toll;
    }

    final Moment explain(OverRun run) throws IOException {
      TimeRange range = line.grid().range();
      long nearFrom = Math.max(range.firstFrame(), run.peakFrame() - gapFrames);
      long nearTo = Math.min(range.endFrame(), run.peakFrame() + gapFrames + 1);
      Arrays.fill(levelNear, 0);
      Arrays.fill(peakWithout, 0);
      long end = Math.max(nearTo, run.lastOver() + 1);
      for (long from = Math.min(nearFrom, run.firstOver()); from < end; from += EXPLAIN_FRAMES) {
        int frames = (int) Math.min(EXPLAIN_FRAMES, end - from);
        explainPiece(run, from, frames, nearFrom, nearTo);
        // A moment may be as long as the song.
        toll.pay(0);
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
        mixDown.stemOnBus(k, from, frames, stem[k]);
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

    private int clip(long at, int frames) {
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

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }
}
