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
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * Second pass, sparse: reads again only what lies about the line, finds the moments and explains
 * them.
 */
public final class MomentFinder {

  private static final int PIECE_FRAMES = 8192;

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
    return runs(line).size();
  }

  /** The moments over a line, in time order; nothing is explained. */
  public List<OverRun> runs(HeldLine line) throws IOException {
    List<TimeRange> ranges = OverBlocks.of(summary, line, PIECE_FRAMES);
    return overRuns(line, ranges, new Toll(progress, Progress.Step.EXPLAIN, units(ranges)));
  }

  /**
   * All moments, by rank.
   *
   * @param most the largest number of moments that will be explained
   * @throws Unanalysable.TooManyMoments if there are more
   */
  public List<Moment> find(HeldLine line, int most)
      throws IOException, Unanalysable.TooManyMoments {
    return overLine(line, most).moments();
  }

  /**
   * All moments, by rank, and the runs that they are.
   *
   * @param most the largest number of moments that will be explained
   * @throws Unanalysable.TooManyMoments if there are more
   */
  public OverLine overLine(HeldLine line, int most)
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
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          Explainer explainer =
              new Explainer(
                  session,
                  line,
                  (k, firstFrame, frames, y) -> {
                    // So that a long moment can be cancelled too.
                    toll.pay(0);
                    mixDown.stemOnBus(k, firstFrame, frames, y);
                  });
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              moments[task] = explainer.explain(runs.get(task));
              toll.pay(units * (task + 1) / moments.length - units * task / moments.length);
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
            }
          };
        });
    return new OverLine(
        runs,
        Alike.group(
            session, source, summary.grid().range(), crew, Ranking.ranked(List.of(moments))));
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
            new Scanner(Levels.of(line.mode())) {
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
    private final Levels reading;
    private final int reach;
    private final double[][] bus;
    private final double[] levels;

    Scanner(Levels reading) throws IOException {
      this.reading = reading;
      reach = reading.reach();
      bus = Block.stereo(PIECE_FRAMES + 2 * reach);
      levels = new double[PIECE_FRAMES + 2 * reach];
    }

    final void scan(TimeRange range, OverFrames over, Toll toll) throws IOException {
      for (long from = range.firstFrame(); from < range.endFrame(); from += PIECE_FRAMES) {
        int frames = (int) Math.min(PIECE_FRAMES, range.endFrame() - from);
        mixDown.sum(from - reach, frames + 2 * reach, bus);
        silenceOutside(from - reach, frames + 2 * reach);
        reading.levels(levels, bus, reach, reach + frames);
        over.look(bus, levels, reach, from, frames);
        toll.pay((long) frames * session.stems().size());
      }
    }

    /** Only frames that levels reach for can lie outside the range. */
    private void silenceOutside(long first, int frames) {
      TimeRange all = summary.grid().range();
      Block.clear(bus, 0, (int) Math.max(0, all.firstFrame() - first));
      Block.clear(bus, (int) Math.min(frames, all.endFrame() - first), frames);
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }
}
