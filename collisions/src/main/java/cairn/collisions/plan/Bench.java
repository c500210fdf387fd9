package cairn.collisions.plan;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Change;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Explainer;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.PlacedMarks.Placed;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.MixDown;
import java.io.Closeable;
import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The one reader that all what-ifs of a pass read samples with, and its buffers. One thread at a
 * time: whoever uses it locks it.
 */
final class Bench implements Closeable {

  /** As long as most hits, so that a fix is not applied anew for many pieces. */
  private static final int PIECE_FRAMES = 32_768;

  /** Most samples that the excerpts kept may hold together, but for the last one: 24 MB. */
  private static final long MOST_EXCERPT_SAMPLES = 3_000_000;

  final Session session;
  final Summary summary;
  final HeldLine line;
  final TimeRange range;
  final long gapFrames;

  private final int stems;
  private final MixDown mixDown;
  private final Levels reading;
  private final int reach;

  /** A piece stands from index {@code reach} on, with as many frames on either side of it. */
  private final double[][] stem;

  private final double[][] bus;
  private final double[] levels;
  private final Explainer explainer;
  private PlacedMarks explained;
  private final Map<ExcerptKey, Excerpt> excerpts = new LinkedHashMap<>(8, 0.75f, true);

  /** Blocks of excerpts that were let go. */
  private final Deque<double[][]> free = new ArrayDeque<>();

  private record ExcerptKey(TimeRange range, List<List<Placed>> placed) {}

  Bench(Session session, Summary summary, HeldLine line, StemSource source) throws IOException {
    this.session = session;
    this.summary = summary;
    this.line = line;
    range = summary.grid().range();
    gapFrames = OverFrames.gapFrames(session.sampleRateHz());
    stems = session.stems().size();
    reading = Levels.of(line.mode());
    reach = reading.reach();
    stem = Block.stereo(PIECE_FRAMES + 2 * reach);
    bus = Block.stereo(PIECE_FRAMES + 2 * reach);
    levels = new double[PIECE_FRAMES + 2 * reach];
    explained = PlacedMarks.none(stems);
    // Stems are read one by one here, never summed by it.
    mixDown = new MixDown(session, source.openReader());
    explainer =
        new Explainer(
            session,
            line,
            (k, firstFrame, frames, y) -> stemOnBus(explained.of(k), k, firstFrame, frames, y));
  }

  /** Writes {@code y[0 : 2][0 : frames]}: a stem with some fixes; silence outside the range. */
  void stemOnBus(List<Placed> placed, int k, long firstFrame, int frames, double[][] y)
      throws IOException {
    long from = firstFrame;
    long end = firstFrame + frames;
    long bufferFrom = from;
    long bufferEnd = end;
    boolean[] needed = new boolean[placed.size()];
    boolean any = false;
    // Backwards from the last fix: [from, end) is what must be right before each of them.
    for (int i = placed.size() - 1; i >= 0; i--) {
      Placed p = placed.get(i);
      if (p.meets(from, end)) {
        needed[i] = true;
        any = true;
        boolean isClip = p.fix() instanceof Clip;
        long writesFrom = isClip ? p.fromFrame() : Math.max(from, p.fromFrame());
        long writesEnd = isClip ? p.endFrame() : Math.min(end, p.endFrame());
        from = Math.min(from, writesFrom - p.readsBefore());
        end = Math.max(end, writesEnd + p.readsAfter());
        TimeRange reads = reads(p.fix()).orElseThrow();
        bufferFrom = Math.min(bufferFrom, Math.min(from, reads.firstFrame()));
        bufferEnd = Math.max(bufferEnd, Math.max(end, reads.endFrame()));
      }
    }
    if (!any) {
      plain(k, firstFrame, frames, y);
      return;
    }
    int length = Math.toIntExact(bufferEnd - bufferFrom);
    double[][] buffer = Block.stereo(length);
    plain(k, bufferFrom, length, buffer);
    for (int i = 0; i < needed.length; i++) {
      if (needed[i]) {
        FixApplier.apply(placed.get(i).fix(), session.sampleRateHz(), buffer, bufferFrom, range);
      }
    }
    int at = (int) (firstFrame - bufferFrom);
    System.arraycopy(buffer[0], at, y[0], 0, frames);
    System.arraycopy(buffer[1], at, y[1], 0, frames);
  }

  private void plain(int k, long firstFrame, int frames, double[][] y) throws IOException {
    mixDown.stemOnBus(k, firstFrame, frames, y);
    Block.clear(y, 0, clip(range.firstFrame() - firstFrame, frames));
    Block.clear(y, clip(range.endFrame() - firstFrame, frames), frames);
  }

  private Optional<TimeRange> reads(Fix fix) {
    return FixApplier.reads(fix, session.sampleRateHz(), range);
  }

  private static int clip(long at, int frames) {
    return (int) Math.max(0, Math.min(frames, at));
  }

  /** Finds the frames that a fix changes. */
  Placed place(Fix fix, List<Placed> before) throws IOException {
    Optional<TimeRange> reads = reads(fix);
    if (reads.isEmpty()) {
      return new Placed(fix, fix.startFrame(), fix.startFrame());
    }
    long from = reads.get().firstFrame();
    int length = Math.toIntExact(reads.get().frames());
    double[][] y = Block.stereo(length);
    if (fix instanceof Clip) {
      // Where the others act does not depend on the samples.
      stemOnBus(before, fix.stem(), from, length, y);
    }
    Change change = FixApplier.apply(fix, session.sampleRateHz(), y, from, range);
    return new Placed(fix, change.fromFrame(), Math.max(change.fromFrame(), change.toFrame()));
  }

  /** The frames whose level may change where samples do. */
  List<TimeRange> levelsChanged(List<TimeRange> samples) {
    if (reach == 0) {
      return samples;
    }
    return samples.stream()
        .map(
            changed ->
                new TimeRange(
                    Math.max(range.firstFrame(), changed.firstFrame() - reach),
                    Math.min(range.endFrame(), changed.endFrame() + reach)))
        .toList();
  }

  /**
   * Sums {@code [from, end)} with some fixes and looks for over frames; writes the peaks of the
   * blocks from {@code firstBlock} on.
   */
  void scan(
      PlacedMarks placed, TimeRange where, OverFrames over, int firstBlock, double[] blockPeaks)
      throws IOException {
    Arrays.fill(blockPeaks, 0);
    for (long from = where.firstFrame(); from < where.endFrame(); from += PIECE_FRAMES) {
      int frames = (int) Math.min(PIECE_FRAMES, where.endFrame() - from);
      sum(placed, from, frames);
      over.look(bus, levels, reach, from, frames);
      long end = from + frames;
      for (int i = summary.blockOf(from);
          i < summary.blocks() && summary.blockFirstFrame(i) < end;
          i++) {
        if (i >= firstBlock && i < firstBlock + blockPeaks.length) {
          int at = clip(summary.blockFirstFrame(i) - from, frames);
          int to = clip(summary.blockEndFrame(i) - from, frames);
          int own = i - firstBlock;
          blockPeaks[own] = Math.max(blockPeaks[own], Block.peak(levels, reach + at, reach + to));
        }
      }
    }
  }

  /** {@code p} in a stretch of at most {@link #PIECE_FRAMES}. */
  double[] levels(PlacedMarks placed, TimeRange where) throws IOException {
    int frames = Math.toIntExact(where.frames());
    sum(placed, where.firstFrame(), frames);
    return Arrays.copyOfRange(levels, reach, reach + frames);
  }

  /** The channel that the level of a frame is that of; left on a tie. */
  int channelAt(PlacedMarks placed, long frame) throws IOException {
    sum(placed, frame, 1);
    return reading.channelAt(bus, reach);
  }

  /** The first frame of a block at which the level is {@code peak}. */
  long firstFrameAt(PlacedMarks placed, int block, double peak) throws IOException {
    long from = summary.blockFirstFrame(block);
    int frames = (int) (summary.blockEndFrame(block) - from);
    sum(placed, from, frames);
    return from - reach + Block.firstAt(levels, peak, reach, reach + frames);
  }

  /** Whether a frame is over with one set of fixes, and above its level with another. */
  boolean louder(PlacedMarks placed, PlacedMarks than, TimeRange where) throws IOException {
    double[] before = new double[(int) Math.min(PIECE_FRAMES, where.frames())];
    for (long from = where.firstFrame(); from < where.endFrame(); from += before.length) {
      int frames = (int) Math.min(before.length, where.endFrame() - from);
      sum(than, from, frames);
      System.arraycopy(levels, reach, before, 0, frames);
      sum(placed, from, frames);
      for (int i = 0; i < frames; i++) {
        double level = levels[reach + i];
        if (level > before[i] && level > line.levelAt(from + i)) {
          return true;
        }
      }
    }
    return false;
  }

  private void sum(PlacedMarks placed, long firstFrame, int frames) throws IOException {
    int all = frames + 2 * reach;
    Block.clear(bus, 0, all);
    for (int k = 0; k < stems; k++) {
      stemOnBus(placed.of(k), k, firstFrame - reach, all, stem);
      Block.add(bus[0], stem[0], 1, 0, all);
      Block.add(bus[1], stem[1], 1, 0, all);
    }
    reading.levels(levels, bus, reach, reach + frames);
  }

  /** The bus in a stretch; of the stems nothing is kept. */
  double[][] busOf(PlacedMarks placed, TimeRange where) throws IOException {
    int frames = Math.toIntExact(where.frames());
    double[][] sum = Block.stereo(frames);
    double[][] y = Block.stereo(frames);
    for (int k = 0; k < stems; k++) {
      stemOnBus(placed.of(k), k, where.firstFrame(), frames, y);
      Block.add(sum[0], y[0], 1, 0, frames);
      Block.add(sum[1], y[1], 1, 0, frames);
    }
    return sum;
  }

  Moment explain(PlacedMarks placed, OverRun run) throws IOException {
    explained = placed;
    return explainer.explain(run);
  }

  /** The samples of all stems in a stretch, without and with the fixes. */
  Excerpt excerpt(PlacedMarks placed, TimeRange where) throws IOException {
    List<List<Placed>> here = placed.meeting(where.firstFrame(), where.endFrame());
    ExcerptKey key = new ExcerptKey(where, here);
    Excerpt kept = excerpts.get(key);
    if (kept == null) {
      // Before it is read: of many stems there is room for one alone.
      long samples = 2L * stems * where.frames();
      while (!excerpts.isEmpty() && held() + samples > MOST_EXCERPT_SAMPLES) {
        excerpts.remove(excerpts.keySet().iterator().next());
      }
      kept = read(placed, here, where);
      excerpts.put(key, kept);
    }
    return kept;
  }

  /** Lets go of all excerpts; whoever was given one is done with it. */
  void letGo() {
    if (excerpts.isEmpty()) {
      return;
    }
    free.clear();
    for (Excerpt excerpt : excerpts.values()) {
      for (int k = 0; k < stems; k++) {
        free.add(excerpt.plain(k));
      }
    }
    excerpts.clear();
  }

  /** A block of two channels that may hold anything. */
  private double[][] block(int frames) {
    double[][] last = free.pollLast();
    if (last != null && last[0].length == frames) {
      return last;
    }
    // There is not room for both.
    free.clear();
    return Block.stereo(frames);
  }

  private long held() {
    return excerpts.values().stream().mapToLong(e -> 2L * stems * e.frames()).sum();
  }

  private Excerpt read(PlacedMarks placed, List<List<Placed>> here, TimeRange where)
      throws IOException {
    int frames = Math.toIntExact(where.frames());
    double[][][] plain = new double[stems][][];
    double[][][] marked = new double[stems][][];
    for (int k = 0; k < stems; k++) {
      plain[k] = block(frames);
      plain(k, where.firstFrame(), frames, plain[k]);
      marked[k] = plain[k];
      if (!here.get(k).isEmpty()) {
        marked[k] = Block.stereo(frames);
        stemOnBus(placed.of(k), k, where.firstFrame(), frames, marked[k]);
      }
    }
    return new Excerpt(reading, where.firstFrame(), frames, plain, marked);
  }

  @Override
  public void close() throws IOException {
    excerpts.clear();
    free.clear();
    mixDown.close();
  }
}
