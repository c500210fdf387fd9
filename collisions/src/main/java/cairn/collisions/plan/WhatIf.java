package cairn.collisions.plan;

import cairn.collisions.Pass;
import cairn.collisions.TimeRange;
import cairn.collisions.Yokes;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.moment.Ranking;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.Closeable;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The bus with marks applied; definitions.md, 5. Average peak and line are those of the bus without
 * marks.
 *
 * <p>Immutable: a change gives another what-if that shares all it can with this one, so that going
 * back is keeping the old one. Only what marks affect is summed again, in stem order, so that peaks
 * and runs are the same to the bit as those of the whole marked stems.
 *
 * <p>All what-ifs that come of one {@link #of} share one reader; closing one closes it for all.
 * They may be used by several threads, one after the other where samples are read.
 */
public final class WhatIf implements Closeable {

  private final Bench bench;
  private final List<OverRun> listed;
  private final Marks marks;
  private final PlacedMarks placed;
  private final BlockPeaks peaks;
  private final List<OverRun> runs;

  /**
   * Another what-if, and every frame whose level may differ.
   *
   * @param changed in any order, ranges may meet
   */
  record Step(WhatIf whatIf, List<TimeRange> changed) {}

  private WhatIf(
      Bench bench,
      List<OverRun> listed,
      Marks marks,
      PlacedMarks placed,
      BlockPeaks peaks,
      List<OverRun> runs) {
    this.bench = bench;
    this.listed = listed;
    this.marks = marks;
    this.placed = placed;
    this.peaks = peaks;
    this.runs = runs;
  }

  /** The bus of a pass without marks, at the line of the pass. */
  public static WhatIf of(Pass pass, StemSource source) throws IOException {
    return pass.runs().size() == pass.moments().size()
        ? of(pass, pass.line(), pass.runs(), source)
        : of(pass, pass.line(), source, Crew.ALONE, Progress.NONE);
  }

  /**
   * The bus of a pass without marks, at another line.
   *
   * @param line a line over the pass's own average peak, held against levels of the same kind
   */
  public static WhatIf of(Pass pass, HeldLine line, StemSource source, Crew crew, Progress progress)
      throws IOException {
    Summary summary = pass.summary();
    return of(
        pass,
        line,
        new MomentFinder(pass.session(), source, summary, crew, progress).runs(line),
        source);
  }

  private static WhatIf of(Pass pass, HeldLine line, List<OverRun> found, StemSource source)
      throws IOException {
    Summary summary = pass.summary();
    List<OverRun> runs = List.copyOf(found);
    return new WhatIf(
        new Bench(pass.session(), summary, line, source),
        runs,
        Marks.NONE,
        PlacedMarks.none(pass.session().stems().size()),
        BlockPeaks.of(summary),
        runs);
  }

  /** With one more mark, made last. */
  public WhatIf with(Mark mark) throws IOException {
    return to(marks.add(mark));
  }

  /** With some more marks, made last, in this order. */
  public WhatIf withAll(List<? extends Mark> more) throws IOException {
    return to(marks.addAll(more));
  }

  /** Without one of the marks. */
  public WhatIf without(Mark mark) throws IOException {
    return to(marks.remove(mark));
  }

  /** With other marks; only where they differ is anything summed again. */
  public WhatIf to(Marks others) throws IOException {
    return step(others).whatIf();
  }

  /** What the marks do to each stem, yokes and all. */
  private List<Fix> onAll(Marks others) {
    List<Fix> fixes = new ArrayList<>();
    for (Mark.OfFix mark : others.fixes()) {
      fixes.addAll(mark.fix().onAll(bench.session.yokes()));
    }
    return fixes;
  }

  Step step(Marks others) throws IOException {
    synchronized (bench) {
      List<Fix> fixes = onAll(others);
      PlacedMarks.Change change = placed.changedTo(fixes, bench::place);
      List<TimeRange> changed = bench.levelsChanged(change.changed());
      BlockPeaks newPeaks = peaks;
      List<OverRun> newRuns = new ArrayList<>();
      int next = 0;
      for (Region region : regions(changed)) {
        while (next < runs.size() && runs.get(next).lastOver() < region.firstFrame) {
          OverRun.append(newRuns, runs.get(next), bench.gapFrames);
          next++;
        }
        while (next < runs.size() && runs.get(next).firstOver() < region.endFrame) {
          next++;
        }
        OverFrames over = new OverFrames(bench.line, bench.gapFrames);
        double[] fresh = new double[region.endBlock - region.firstBlock];
        bench.scan(
            change.placed(),
            new TimeRange(region.firstFrame, region.endFrame),
            over,
            region.firstBlock,
            fresh);
        newPeaks = newPeaks.with(region.firstBlock, fresh);
        for (OverRun run : over.found()) {
          OverRun.append(newRuns, run, bench.gapFrames);
        }
      }
      newRuns.addAll(runs.subList(next, runs.size()));
      WhatIf whatIf =
          new WhatIf(bench, listed, others, change.placed(), newPeaks, List.copyOf(newRuns));
      return new Step(whatIf, changed);
    }
  }

  /**
   * A stretch to sum again: the blocks that changed, widened by the runs that lie within 35 ms of
   * them, each as a whole. What is over outside it stays more than 35 ms away from all inside.
   */
  private record Region(int firstBlock, int endBlock, long firstFrame, long endFrame) {}

  private List<Region> regions(List<TimeRange> changed) {
    List<TimeRange> inTime = new ArrayList<>(changed);
    inTime.sort(Comparator.comparingLong(TimeRange::firstFrame));
    List<Region> regions = new ArrayList<>();
    for (TimeRange range : inTime) {
      Region region = region(range);
      Region last = regions.isEmpty() ? null : regions.get(regions.size() - 1);
      if (last != null && region.firstFrame <= last.endFrame) {
        regions.set(
            regions.size() - 1,
            new Region(
                last.firstBlock,
                Math.max(last.endBlock, region.endBlock),
                Math.min(last.firstFrame, region.firstFrame),
                Math.max(last.endFrame, region.endFrame)));
      } else {
        regions.add(region);
      }
    }
    return regions;
  }

  private Region region(TimeRange range) {
    Summary summary = bench.summary;
    int firstBlock = summary.blockOf(range.firstFrame());
    int endBlock = summary.blockOf(range.endFrame() - 1) + 1;
    long from = summary.blockFirstFrame(firstBlock);
    long end = summary.blockEndFrame(endBlock - 1);
    long widestFrom = from;
    long widestEnd = end;
    for (OverRun run : runsNear(from - bench.gapFrames, end + bench.gapFrames)) {
      widestFrom = Math.min(widestFrom, run.firstOver());
      widestEnd = Math.max(widestEnd, run.lastOver() + 1);
    }
    return new Region(firstBlock, endBlock, widestFrom, widestEnd);
  }

  /** The runs with a frame in {@code [from, end)}, in time order. */
  List<OverRun> runsNear(long from, long end) {
    return near(runs, from, end);
  }

  /** Those of {@code runs}, which are in time order, with a frame in {@code [from, end)}. */
  private static List<OverRun> near(List<OverRun> runs, long from, long end) {
    int low = 0;
    int high = runs.size();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (runs.get(middle).lastOver() < from) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    int last = low;
    while (last < runs.size() && runs.get(last).firstOver() < end) {
      last++;
    }
    return runs.subList(low, last);
  }

  /** Number of stems. */
  int stems() {
    return bench.session.stems().size();
  }

  /** Its marks. */
  public Marks marks() {
    return marks;
  }

  /** Average peak and line, held. */
  public HeldLine line() {
    return bench.line;
  }

  /** The largest level of the bus, linear. */
  public double peak() {
    return peaks.largest();
  }

  /** The first frame at which the level is largest. */
  public long peakFrame() throws IOException {
    synchronized (bench) {
      return bench.firstFrameAt(placed, peaks.firstLargest(), peak());
    }
  }

  /** The largest level of summary block {@code i}, linear, exact. */
  public double blockPeak(int i) {
    return peaks.peak(i);
  }

  /** What is over the line, in time order. */
  public List<OverRun> runs() {
    return runs;
  }

  /** Which stem adds what there; the rank is 0, since it is not ranked among the others. */
  public Moment explain(OverRun run) throws IOException {
    synchronized (bench) {
      return bench.explain(placed, run);
    }
  }

  /** All its moments, explained, by rank. */
  public List<Moment> moments() throws IOException {
    List<Moment> moments = new ArrayList<>();
    for (OverRun run : runs) {
      moments.add(explain(run));
    }
    return Ranking.ranked(moments);
  }

  /** What is over the line on the bus without marks, in time order. */
  public List<OverRun> listed() {
    return listed;
  }

  /** The listed moment that a run counts as; empty: it is new. */
  public Optional<OverRun> listed(OverRun run) {
    return listedAt(run.peakFrame());
  }

  /**
   * The listed moment in whose neighbourhood a frame lies. Where two neighbourhoods overlap, that
   * of the nearer span, the earlier one on a tie.
   */
  public Optional<OverRun> listedAt(long frame) {
    return nearest(listed, frame);
  }

  /**
   * The highest of what is over in the neighbourhood of the listed moment at a frame; empty:
   * nothing is over there, or no listed moment is near.
   */
  public Optional<OverRun> highestAt(long frame) {
    Optional<OverRun> listed = listedAt(frame);
    if (listed.isEmpty()) {
      return Optional.empty();
    }
    TimeRange place = neighbourhood(listed.get());
    return runsNear(place.firstFrame(), place.endFrame()).stream()
        .filter(run -> place.contains(run.peakFrame()))
        .max(Comparator.comparingDouble(OverRun::peak));
  }

  /** The same among any runs of this bus, in time order. */
  Optional<OverRun> nearest(List<OverRun> among, long frame) {
    OverRun nearest = null;
    for (OverRun run : near(among, frame - bench.gapFrames, frame + bench.gapFrames + 1)) {
      if (nearest == null || distance(run, frame) < distance(nearest, frame)) {
        nearest = run;
      }
    }
    return Optional.ofNullable(nearest);
  }

  private static long distance(OverRun run, long frame) {
    return Math.max(0, Math.max(run.firstOver() - frame, frame - run.lastOver()));
  }

  /** A run's span and 35 ms on either side, cut to the range that is looked at. */
  public TimeRange neighbourhood(OverRun run) {
    return new TimeRange(
        Math.max(bench.range.firstFrame(), run.firstOver() - bench.gapFrames),
        Math.min(bench.range.endFrame(), run.lastOver() + 1 + bench.gapFrames));
  }

  /** The frames of its stem that a mark changes; of no frames: empty. */
  public Optional<TimeRange> affected(Mark.OfFix mark) {
    PlacedMarks.Placed found = placed.find(mark.fix());
    return found.endFrame() > found.fromFrame()
        ? Optional.of(new TimeRange(found.fromFrame(), found.endFrame()))
        : Optional.empty();
  }

  /** The sum of the affected ranges of a mark on all stems that it acts on, in frames. */
  long alteredFrames(Mark.OfFix mark) {
    int stems = mark.fix().onAll(bench.session.yokes()).size();
    return stems * affected(mark).map(TimeRange::frames).orElse(0L);
  }

  /** Which stems move together. */
  Yokes yokes() {
    return bench.session.yokes();
  }

  /** The sum of the affected ranges of all marks, in frames. */
  public long alteredFrames() {
    return placed.alteredFrames();
  }

  /**
   * Writes {@code y[0 : 2][0 : frames]}, stem {@code k} from {@code firstFrame} on with its marks.
   */
  public void stemOnBus(int k, long firstFrame, int frames, double[][] y) throws IOException {
    synchronized (bench) {
      bench.stemOnBus(placed.of(k), k, firstFrame, frames, y);
    }
  }

  /**
   * Lets go of the excerpts that are kept for whoever asks for the same again. Nobody may use one
   * any more that this bus, or one that shares its reader, has given: their arrays are written anew
   * for the next one that is as long. Of 64 stems they take 36 MB, which else were new at every
   * moment.
   */
  public void letGo() {
    synchronized (bench) {
      bench.letGo();
    }
  }

  /** The samples of all stems in a stretch, without and with marks. */
  public Excerpt excerpt(TimeRange range) throws IOException {
    synchronized (bench) {
      return bench.excerpt(placed, range);
    }
  }

  /**
   * The bus in a stretch, {@code [channel][frame]}, to the bit that of an {@link #excerpt}; needs
   * the memory of one stem where that needs the memory of all.
   */
  public double[][] bus(TimeRange range) throws IOException {
    synchronized (bench) {
      return bench.busOf(placed, range);
    }
  }

  /** {@code p} in a short stretch of the range that is looked at. */
  double[] levels(TimeRange where) throws IOException {
    synchronized (bench) {
      return bench.levels(placed, where);
    }
  }

  /** The channel that {@code p} of a frame is that of; left on a tie. */
  int channelAt(long frame) throws IOException {
    synchronized (bench) {
      return bench.channelAt(placed, frame);
    }
  }

  /** As much of a stretch as is looked at. */
  Optional<TimeRange> within(long firstFrame, long endFrame) {
    long from = Math.max(bench.range.firstFrame(), firstFrame);
    long end = Math.min(bench.range.endFrame(), endFrame);
    return from < end ? Optional.of(new TimeRange(from, end)) : Optional.empty();
  }

  /** What can be done about a run of this bus. */
  public FixesHere fixes(FixFinder finder, OverRun run) throws IOException {
    return finder.at(excerpt(finder.excerptRange(run)), run);
  }

  /**
   * Whether some frame is over here, and above its level there.
   *
   * @param changed every frame whose level may differ
   */
  boolean louderThan(WhatIf there, List<TimeRange> changed) throws IOException {
    synchronized (bench) {
      for (TimeRange range : changed) {
        // A frame that is over lies in a run; the rest need not be summed.
        for (OverRun run : runsNear(range.firstFrame(), range.endFrame())) {
          long from = Math.max(run.firstOver(), range.firstFrame());
          long end = Math.min(run.lastOver() + 1, range.endFrame());
          if (bench.louder(placed, there.placed, new TimeRange(from, end))) {
            return true;
          }
        }
      }
      return false;
    }
  }

  /**
   * Headroom against moments and fixes on this bus.
   *
   * @param grouped the moments of the bus without marks at this line, each with its head
   */
  public Ladder ladder(List<Moment> grouped) {
    Map<Long, Integer> heads = new HashMap<>();
    for (Moment moment : grouped) {
      heads.put(moment.peakFrame(), moment.alikeTo());
    }
    List<Ladder.Rung> rungs = new ArrayList<>();
    for (OverRun run : runs) {
      Optional<Integer> head = listed(run).map(OverRun::peakFrame).map(heads::get);
      // A new moment is alike to none: no rank is under 0.
      rungs.add(
          new Ladder.Rung(
              run.peak(),
              bench.line.averagePeakAt(run.peakFrame()),
              head.isPresent() ? head.get() : -1 - run.peakFrame()));
    }
    return Ladder.ofRungs(rungs, bench.line);
  }

  @Override
  public void close() throws IOException {
    synchronized (bench) {
      bench.close();
    }
  }
}
