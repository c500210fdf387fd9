package cairn.collisions.plan;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Oversampler;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;

/**
 * Sums the whole song with settings of whole stems, exactly, but reads only what may matter.
 *
 * <p>The song is cut into chunks. A chunk is left out where the peak of the bus there, known from
 * the first pass, and the most that a setting can add stay under the line and under the highest
 * level found. What is read leaves tighter bounds for the settings that are summed after: the peaks
 * of the stem and of all the rest.
 */
final class SettingSums {

  private static final int CHUNK_FRAMES = 1024;

  /** Chunks that are read in one go. */
  private static final int PIECE_CHUNKS = 8;

  /** The loudest chunks are summed first: they tell a level that the rest must pass. */
  private static final int LOUDEST = 8;

  /** Bounds are kept for so many stems and chunks together: 8 bytes each. */
  private static final long MOST_BOUNDS = 2_000_000;

  /** More than the rounding of a few sums, by which a level may pass its bound. */
  private static final double ROUNDING = 1 + 1e-12;

  private final Session session;
  private final Summary summary;
  private final HeldLine line;
  private final StemSource source;
  private final Crew crew;
  private final Progress progress;
  private final TimeRange range;
  private final long gapFrames;
  private final double gain;
  private final int reach;
  private final int margin;
  private final int chunks;
  private final double[] busPeak;
  private final double[] lowestLine;
  private final Map<List<Integer>, Bounds> bounds = new HashMap<>();

  /**
   * What a song comes to with a setting.
   *
   * @param runs over frames, joined to moments
   * @param peak highest level of the bus, linear
   */
  record Sum(List<OverRun> runs, double peak) {}

  /** Largest samples of what a setting moves and of all the rest, a chunk each; rounded up. */
  private static final class Bounds {
    final float[] own;
    final float[] rest;

    Bounds(int chunks) {
      own = new float[chunks];
      rest = new float[chunks];
      Arrays.fill(rest, Float.POSITIVE_INFINITY);
    }
  }

  /**
   * @param shiftFrames the longest offset either way
   */
  SettingSums(
      Session session,
      Summary summary,
      HeldLine line,
      int shiftFrames,
      StemSource source,
      Crew crew,
      Progress progress) {
    this.session = session;
    this.summary = summary;
    this.line = line;
    this.source = source;
    this.crew = crew;
    this.progress = progress;
    range = line.grid().range();
    gapFrames = OverFrames.gapFrames(session.sampleRateHz());
    Levels reading = Levels.of(line.mode());
    reach = reading.reach();
    gain = reach == 0 ? 1 : Oversampler.GAIN;
    margin = shiftFrames + reach;
    chunks = Math.toIntExact((range.frames() + CHUNK_FRAMES - 1) / CHUNK_FRAMES);
    busPeak = new double[chunks];
    lowestLine = new double[chunks];
    for (int i = 0; i < chunks; i++) {
      TimeRange at = chunk(i, reach);
      int last = summary.blockOf(at.endFrame() - 1);
      for (int block = summary.blockOf(at.firstFrame()); block <= last; block++) {
        busPeak[i] = Math.max(busPeak[i], summary.blockPeak(block));
      }
      TimeRange inside = chunk(i, 0);
      int lastWindow = line.grid().windowOf(inside.endFrame() - 1);
      lowestLine[i] = Double.POSITIVE_INFINITY;
      for (int j = line.grid().windowOf(inside.firstFrame()); j <= lastWindow; j++) {
        lowestLine[i] = Math.min(lowestLine[i], line.level(j));
      }
    }
  }

  /** Sums the song with each of the settings. */
  List<Sum> sum(List<StemSetting> settings) throws IOException {
    double[] peaks = new double[settings.size()];
    int[] loudest = loudest();
    try (Summer summer = new Summer(settings, peaks)) {
      for (int i : loudest) {
        summer.sum(i, i + 1, summer.found());
      }
      System.arraycopy(summer.highest, 0, peaks, 0, peaks.length);
    }
    List<int[]> pieces = pieces(settings, peaks);
    int tasks = Math.min(pieces.size(), 16 * crew.workers());
    List<List<List<OverRun>>> runs = new ArrayList<>();
    for (int j = 0; j < peaks.length; j++) {
      runs.add(new ArrayList<>(Collections.nCopies(tasks, List.<OverRun>of())));
    }
    Toll toll = new Toll(progress, Progress.Step.PLAN, pieces.size());
    crew.share(
        tasks,
        () ->
            new Summer(settings, peaks) {
              @Override
              public void work(int task) throws IOException {
                int first = (int) ((long) pieces.size() * task / tasks);
                int end = (int) ((long) pieces.size() * (task + 1) / tasks);
                List<OverFrames> over = found();
                for (int i = first; i < end; i++) {
                  sum(pieces.get(i)[0], pieces.get(i)[1], over);
                  toll.pay(1);
                }
                for (int j = 0; j < over.size(); j++) {
                  runs.get(j).set(task, over.get(j).found());
                }
              }

              @Override
              public void close() throws IOException {
                synchronized (peaks) {
                  for (int j = 0; j < peaks.length; j++) {
                    peaks[j] = Math.max(peaks[j], highest[j]);
                  }
                }
                super.close();
              }
            });
    List<Sum> sums = new ArrayList<>();
    for (int j = 0; j < peaks.length; j++) {
      sums.add(new Sum(OverRun.joinedAll(runs.get(j), gapFrames), peaks[j]));
    }
    return sums;
  }

  private int[] loudest() {
    return IntStream.range(0, chunks)
        .boxed()
        .sorted(Comparator.comparingDouble(i -> -busPeak[i]))
        .limit(LOUDEST)
        .sorted()
        .mapToInt(i -> i)
        .toArray();
  }

  /** Chunk {@code i}, with as many frames on either side as there are in the range. */
  private TimeRange chunk(int i, int wider) {
    long first = range.firstFrame() + (long) i * CHUNK_FRAMES;
    return new TimeRange(
        Math.max(range.firstFrame(), first - wider),
        Math.min(range.endFrame(), first + CHUNK_FRAMES + wider));
  }

  /** The stretches of chunks that may matter to a setting, {@code [first, end)} each, in order. */
  private List<int[]> pieces(List<StemSetting> settings, double[] peaks) {
    List<int[]> pieces = new ArrayList<>();
    int first = -1;
    for (int i = 0; i <= chunks; i++) {
      boolean matters = i < chunks && matters(settings, peaks, i);
      if (first >= 0 && (!matters || i - first == PIECE_CHUNKS)) {
        pieces.add(new int[] {first, i});
        first = -1;
      }
      if (matters && first < 0) {
        first = i;
      }
    }
    return pieces;
  }

  private boolean matters(List<StemSetting> settings, double[] peaks, int i) {
    for (int j = 0; j < peaks.length; j++) {
      if (highest(settings.get(j), i) > Math.min(lowestLine[i], peaks[j])) {
        return true;
      }
    }
    return false;
  }

  /** No level in a chunk is above this with a setting. */
  private double highest(StemSetting setting, int i) {
    List<Integer> moved = setting.moved(session.yokes());
    TimeRange at = chunk(i, margin);
    int last = summary.grid().windowOf(at.endFrame() - 1);
    double own = 0;
    for (int k : moved) {
      double peak = 0;
      for (int j = summary.grid().windowOf(at.firstFrame()); j <= last; j++) {
        peak = Math.max(peak, summary.stemWindowPeak(k, j));
      }
      own += peak;
    }
    double most = busPeak[i] + setting.mostChanged(own);
    Bounds known = bounds.get(moved);
    if (known != null && known.rest[i] < Float.POSITIVE_INFINITY) {
      most = Math.min(most, known.rest[i] + setting.largestOf(known.own[i]));
    }
    return gain * most * ROUNDING;
  }

  /** Bounds to be written for what a setting moves; null: there is no room for more. */
  private synchronized Bounds boundsOf(List<Integer> moved) {
    Bounds known = bounds.get(moved);
    if (known == null && (bounds.size() + 1L) * chunks <= MOST_BOUNDS) {
      known = new Bounds(chunks);
      bounds.put(moved, known);
    }
    return known;
  }

  private static float roundedUp(double value) {
    return Math.nextUp((float) value);
  }

  /** What settings move: one stem, or those of a yoke as one sound. */
  private final class Moved {
    final List<Integer> stems;
    final Bounds bounds;
    final double[][] y;
    double own;
    double rest;

    Moved(List<Integer> stems, int frames) {
      this.stems = stems;
      bounds = boundsOf(stems);
      y = Block.stereo(frames);
    }
  }

  /** Sums chunks with each of the settings, for one thread. */
  private class Summer implements Crew.Worker {
    final double[] highest;
    private final List<StemSetting> settings;
    private final MixDown mixDown = new MixDown(session, source.openReader());
    private final Levels reading = Levels.of(line.mode());
    private final Map<List<Integer>, Moved> moved = new HashMap<>();
    private final Moved[] ofSetting;
    private final int most = PIECE_CHUNKS * CHUNK_FRAMES + 2 * margin;
    private final double[][] bus = Block.stereo(most);
    private final double[][] stem = Block.stereo(most);
    private final double[][] after = Block.stereo(CHUNK_FRAMES + 2 * reach);
    private final double[] levels = new double[CHUNK_FRAMES + 2 * reach];

    Summer(List<StemSetting> settings, double[] peaks) throws IOException {
      this.settings = settings;
      highest = peaks.clone();
      ofSetting = new Moved[settings.size()];
      for (int j = 0; j < ofSetting.length; j++) {
        ofSetting[j] =
            moved.computeIfAbsent(
                settings.get(j).moved(session.yokes()), stems -> new Moved(stems, most));
      }
    }

    final List<OverFrames> found() {
      List<OverFrames> over = new ArrayList<>();
      settings.forEach(setting -> over.add(new OverFrames(line, gapFrames)));
      return over;
    }

    @Override
    public void work(int task) throws IOException {
      throw new IllegalStateException("it is handed its chunks");
    }

    /** Sums chunks {@code [firstChunk, endChunk)} and looks for over frames. */
    final void sum(int firstChunk, int endChunk, List<OverFrames> over) throws IOException {
      long firstFrame = chunk(firstChunk, 0).firstFrame();
      int frames = (int) (chunk(endChunk - 1, 0).endFrame() - firstFrame);
      int all = frames + 2 * margin;
      int before = (int) Math.max(0, Math.min(all, range.firstFrame() - firstFrame + margin));
      int past = (int) Math.max(0, Math.min(all, range.endFrame() - firstFrame + margin));
      mixDown.sum(firstFrame - margin, all, bus);
      Block.clear(bus, 0, before);
      Block.clear(bus, past, all);
      for (Moved each : moved.values()) {
        mixDown.stemOnBus(each.stems.get(0), firstFrame - margin, all, each.y);
        for (int k : each.stems.subList(1, each.stems.size())) {
          mixDown.stemOnBus(k, firstFrame - margin, all, stem);
          Block.add(each.y[0], stem[0], 1, 0, all);
          Block.add(each.y[1], stem[1], 1, 0, all);
        }
        Block.clear(each.y, 0, before);
        Block.clear(each.y, past, all);
      }
      for (int i = firstChunk; i < endChunk; i++) {
        int at = (i - firstChunk) * CHUNK_FRAMES;
        int chunk = Math.min(CHUNK_FRAMES, frames - at);
        for (Moved each : moved.values()) {
          bound(each, i, at, chunk);
        }
        for (int j = 0; j < ofSetting.length; j++) {
          Moved own = ofSetting[j];
          double bound = gain * (own.rest + settings.get(j).largestOf(own.own)) * ROUNDING;
          if (bound > Math.min(lowestLine[i], highest[j])) {
            look(j, at, chunk, firstFrame, over.get(j));
          }
        }
      }
    }

    private void bound(Moved each, int i, int at, int chunk) {
      double[][] y = each.y;
      int to = at + chunk + 2 * margin;
      each.own = Math.max(Block.peak(y[0], at, to), Block.peak(y[1], at, to));
      int from = at + margin - reach;
      int end = at + margin + chunk + reach;
      each.rest =
          Math.max(
              Block.peakOfDifference(bus[0], y[0], from, end),
              Block.peakOfDifference(bus[1], y[1], from, end));
      if (each.bounds != null) {
        each.bounds.own[i] = roundedUp(each.own);
        each.bounds.rest[i] = roundedUp(each.rest);
      }
    }

    private void look(int j, int at, int chunk, long firstFrame, OverFrames over) {
      StemSetting setting = settings.get(j);
      int start = at + margin - reach;
      int wide = chunk + 2 * reach;
      double factor = setting.factor();
      int shift = setting.shift();
      for (int c = 0; c < 2; c++) {
        double[] x = ofSetting[j].y[c];
        if (setting.kind() == StemSetting.Kind.CEILING) {
          clip(after[c], bus[c], x, start, wide, factor);
        } else {
          exchange(after[c], bus[c], x, start, shift, wide, factor);
        }
      }
      reading.levels(levels, after, reach, reach + chunk);
      highest[j] = Math.max(highest[j], Block.peak(levels, reach, reach + chunk));
      over.look(after, levels, reach, firstFrame + at, chunk);
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }

  private static void exchange(
      double[] to, double[] bus, double[] x, int start, int shift, int frames, double factor) {
    for (int i = 0; i < frames; i++) {
      to[i] = bus[start + i] - x[start + i] + factor * x[start + i - shift];
    }
  }

  private static void clip(
      double[] to, double[] bus, double[] x, int start, int frames, double ceiling) {
    for (int i = 0; i < frames; i++) {
      double y = x[start + i];
      to[i] = bus[start + i] - y + Math.max(-ceiling, Math.min(ceiling, y));
    }
  }
}
