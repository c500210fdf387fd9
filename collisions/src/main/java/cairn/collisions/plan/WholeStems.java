package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.moment.Moment;
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
import java.util.Collections;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Looks for settings of whole stems that do what many fixes would: an offset within 5 ms, polarity,
 * a ceiling, a fader step down to 3 dB; definitions.md, 4.
 *
 * <p>All settings of all stems are tried about the moments alone, which bounds from below how many
 * would be left; the best of each stem and kind is then checked on the whole song, and the next one
 * where that finds more moments than were promised, {@value #ROUNDS} times at most.
 */
public final class WholeStems {

  private static final int OFFSET_MILLIS = 5;
  private static final int FADER_TENTHS_DB = 30;
  private static final int CEILING_TENTHS_DB = 240;
  private static final int ROUNDS = 3;

  /** More moments are not tried: they count as left by every setting. */
  private static final int MOST_MOMENTS = 500;

  private static final int OVER_FRAMES = 48;
  private static final int PIECE_FRAMES = 8192;
  private static final int CHUNK_FRAMES = 1024;

  private final Pass pass;
  private final Session session;
  private final HeldLine line;
  private final List<Moment> listed;
  private final StemSource source;
  private final Crew crew;
  private final Progress progress;
  private final TimeRange range;
  private final int limit;
  private final long gapFrames;

  /** For the stems and the line of a pass. */
  public WholeStems(Pass pass, StemSource source, Crew crew, Progress progress) {
    this(pass, pass.line(), pass.moments(), source, crew, progress);
  }

  /**
   * For another line over the same average peak.
   *
   * @param line the line
   * @param moments all moments over it
   */
  public WholeStems(
      Pass pass,
      HeldLine line,
      List<Moment> moments,
      StemSource source,
      Crew crew,
      Progress progress) {
    this.pass = pass;
    this.line = line;
    this.listed = List.copyOf(moments);
    this.source = source;
    this.crew = crew;
    this.progress = progress;
    session = pass.session();
    range = line.grid().range();
    limit = (int) ((long) OFFSET_MILLIS * session.sampleRateHz() / 1000);
    gapFrames = OverFrames.gapFrames(session.sampleRateHz());
  }

  /** A setting, and what is known of it from the moments alone. */
  private static final class Tried {
    final StemSetting setting;
    int left;
    double peak;

    Tried(StemSetting setting) {
      this.setting = setting;
    }
  }

  private static final Comparator<Tried> BEST_FIRST =
      Comparator.<Tried>comparingInt(tried -> tried.left)
          .thenComparingDouble(tried -> tried.peak)
          .thenComparingInt(tried -> tried.setting.size())
          // The later offset on a tie.
          .thenComparing(
              Comparator.<Tried>comparingInt(tried -> tried.setting.amount()).reversed());

  private static final Comparator<StemMove> FEWEST_LEFT =
      Comparator.comparingInt(StemMove::left)
          .thenComparingDouble(StemMove::peakAfter)
          .thenComparingInt(move -> move.setting().size());

  /**
   * The best setting of each kind for each stem that is heard.
   *
   * @param leftAlone indices of the stems that are passed over
   * @return by stem, then kind; a kind without any setting is missing
   */
  public List<StemMove> best(Set<Integer> leftAlone) throws IOException {
    List<List<Tried>> open = tried(leftAlone);
    open.forEach(settings -> settings.sort(BEST_FIRST));
    return checkedBest(open);
  }

  /**
   * The one setting that leaves the fewest moments, as a plan would offer it.
   *
   * @param leastCleared how many moments it must clear at least
   * @return empty: none clears so many more than it brings up
   */
  public Optional<StemMove> mostUseful(Set<Integer> leftAlone, int leastCleared)
      throws IOException {
    int moments = listed.size();
    List<List<Tried>> open = new ArrayList<>();
    for (List<Tried> settings : tried(leftAlone)) {
      settings.sort(BEST_FIRST);
      if (!settings.isEmpty() && moments - settings.get(0).left >= leastCleared) {
        open.add(settings);
      }
    }
    open.sort(Comparator.comparing(settings -> settings.get(0), BEST_FIRST));
    return checkedBest(open.subList(0, Math.min(3, open.size()))).stream()
        .filter(move -> moments - move.left() >= leastCleared)
        .min(FEWEST_LEFT);
  }

  /** What given settings come to. */
  public List<StemMove> check(List<StemSetting> settings) throws IOException {
    List<List<List<OverRun>>> runs = new ArrayList<>();
    double[] peaks = new double[settings.size()];
    sumAll(settings, runs, peaks);
    List<long[]> lobes = lobes(settings);
    List<StemMove> moves = new ArrayList<>();
    for (int j = 0; j < settings.size(); j++) {
      List<OverRun> after = OverRun.joinedAll(runs.get(j), gapFrames);
      int cleared = 0;
      int fresh = after.size();
      for (Moment moment : listed) {
        long from = moment.firstOver() - gapFrames;
        long end = moment.lastOver() + 1 + gapFrames;
        cleared +=
            after.stream().noneMatch(run -> run.firstOver() < end && run.lastOver() >= from)
                ? 1
                : 0;
      }
      for (OverRun run : after) {
        for (Moment moment : listed) {
          if (run.peakFrame() >= moment.firstOver() - gapFrames
              && run.peakFrame() <= moment.lastOver() + gapFrames) {
            fresh--;
            break;
          }
        }
      }
      moves.add(
          new StemMove(
              settings.get(j),
              cleared,
              fresh,
              after.size(),
              peaks[j],
              lobes.get(j)[0],
              lobes.get(j)[1]));
    }
    return moves;
  }

  private List<StemMove> checkedBest(List<List<Tried>> open) throws IOException {
    IdentityHashMap<List<Tried>, StemMove> best = new IdentityHashMap<>();
    List<List<Tried>> asked = new ArrayList<>(open);
    asked.removeIf(List::isEmpty);
    for (int round = 0; round < ROUNDS && !asked.isEmpty(); round++) {
      int next = round;
      List<StemMove> moves =
          check(asked.stream().map(settings -> settings.get(next).setting).toList());
      List<List<Tried>> again = new ArrayList<>();
      for (int i = 0; i < moves.size(); i++) {
        List<Tried> settings = asked.get(i);
        StemMove found = best.merge(settings, moves.get(i), WholeStems::fewerLeft);
        if (round + 1 < settings.size() && settings.get(round + 1).left < found.left()) {
          again.add(settings);
        }
      }
      asked = again;
    }
    return open.stream().filter(best::containsKey).map(best::get).toList();
  }

  private static StemMove fewerLeft(StemMove one, StemMove other) {
    return FEWEST_LEFT.compare(other, one) < 0 ? other : one;
  }

  /** All settings of each stem and kind, with what is known from the moments. */
  private List<List<Tried>> tried(Set<Integer> leftAlone) throws IOException {
    List<List<Tried>> all = new ArrayList<>();
    try (MixDown mixDown = new MixDown(session, source.openReader())) {
      for (int k = 0; k < session.stems().size(); k++) {
        if (session.isOnBus(k) && !leftAlone.contains(k) && pass.summary().stemPeak(k) > 0) {
          settings(k, earliest(mixDown, k)).forEach((kind, settings) -> all.add(settings));
        }
      }
    }
    List<Moment> looked =
        listed.stream().filter(moment -> !moment.isLong()).limit(MOST_MOMENTS).toList();
    int others = listed.size() - looked.size();
    Toll toll = new Toll(progress, Progress.Step.PLAN, looked.size());
    crew.share(
        looked.size(),
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          int[][] left = new int[all.size()][];
          double[][] peak = new double[all.size()][];
          for (int i = 0; i < left.length; i++) {
            left[i] = new int[all.get(i).size()];
            peak[i] = new double[all.get(i).size()];
          }
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              new Place(mixDown, looked.get(task)).tryAll(all, left, peak);
              toll.pay(1);
            }

            @Override
            public void close() throws IOException {
              synchronized (all) {
                for (int i = 0; i < left.length; i++) {
                  for (int j = 0; j < left[i].length; j++) {
                    Tried tried = all.get(i).get(j);
                    tried.left += left[i][j];
                    tried.peak = Math.max(tried.peak, peak[i][j]);
                  }
                }
              }
              mixDown.close();
            }
          };
        });
    all.forEach(settings -> settings.forEach(tried -> tried.left += others));
    return all;
  }

  /** By how many frames a stem may go earlier before its first sound is lost. */
  private int earliest(MixDown mixDown, int k) throws IOException {
    double[][] y = Block.stereo(Math.max(1, limit));
    mixDown.stemOnBus(k, range.firstFrame(), limit, y);
    int silent = 0;
    while (silent < limit && y[0][silent] == 0 && y[1][silent] == 0) {
      silent++;
    }
    return silent;
  }

  private Map<StemSetting.Kind, List<Tried>> settings(int k, int earliest) {
    Map<StemSetting.Kind, List<Tried>> settings = new EnumMap<>(StemSetting.Kind.class);
    for (StemSetting.Kind kind : StemSetting.Kind.values()) {
      settings.put(kind, new ArrayList<>());
    }
    for (int d = -earliest; d <= limit; d++) {
      if (d != 0) {
        add(settings, new StemSetting(k, StemSetting.Kind.OFFSET, d));
      }
    }
    add(settings, new StemSetting(k, StemSetting.Kind.POLARITY, 0));
    for (int g = 1; g <= FADER_TENTHS_DB; g++) {
      add(settings, new StemSetting(k, StemSetting.Kind.FADER, g));
    }
    double peakDb = Decibels.ofAmplitude(pass.summary().stemPeak(k));
    double averageDb =
        Decibels.ofAmplitude(pass.stems().get(k).averagePeak().orElse(pass.summary().stemPeak(k)));
    int highest = (int) Math.ceil(peakDb * 10) - 1;
    // Under its own average peak a ceiling would cut every stroke: that is no longer a mend.
    int lowest = (int) Math.ceil(Math.max(averageDb * 10, peakDb * 10 - CEILING_TENTHS_DB));
    for (int c = highest; c >= lowest; c--) {
      add(settings, new StemSetting(k, StemSetting.Kind.CEILING, c));
    }
    return settings;
  }

  private static void add(Map<StemSetting.Kind, List<Tried>> settings, StemSetting setting) {
    settings.get(setting.kind()).add(new Tried(setting));
  }

  /** The samples about one moment. */
  private final class Place {
    private final int margin = limit;
    private final int frames;
    private final double[][][] y;
    private final double[][] bus;
    private final double[] threshold;
    private final int[] over;

    Place(MixDown mixDown, Moment moment) throws IOException {
      long from = Math.max(range.firstFrame(), moment.firstOver() - gapFrames);
      long end = Math.min(range.endFrame(), moment.lastOver() + 1 + gapFrames);
      frames = (int) (end - from);
      y = new double[session.stems().size()][][];
      bus = Block.stereo(frames + 2 * margin);
      for (int k = 0; k < y.length; k++) {
        y[k] = Block.stereo(frames + 2 * margin);
        mixDown.stemOnBus(k, from - margin, frames + 2 * margin, y[k]);
        Block.add(bus[0], y[k][0], 1, 0, frames + 2 * margin);
        Block.add(bus[1], y[k][1], 1, 0, frames + 2 * margin);
      }
      threshold = new double[frames];
      List<Integer> found = new ArrayList<>();
      double[] level = new double[frames];
      for (int i = 0; i < frames; i++) {
        threshold[i] = line.levelAt(from + i);
        level[i] = Math.max(Math.abs(bus[0][margin + i]), Math.abs(bus[1][margin + i]));
        if (level[i] > threshold[i]) {
          found.add(i);
        }
      }
      found.sort(Comparator.comparingDouble(i -> -level[i]));
      over = found.stream().limit(OVER_FRAMES).mapToInt(i -> i).toArray();
    }

    void tryAll(List<List<Tried>> all, int[][] left, double[][] peak) {
      double[][] rest = Block.stereo(frames + 2 * margin);
      int of = -1;
      for (int i = 0; i < all.size(); i++) {
        List<Tried> settings = all.get(i);
        for (int j = 0; j < settings.size(); j++) {
          StemSetting setting = settings.get(j).setting;
          if (setting.stem() != of) {
            of = setting.stem();
            for (int c = 0; c < 2; c++) {
              for (int n = 0; n < rest[c].length; n++) {
                rest[c][n] = bus[c][n] - y[of][c][n];
              }
            }
          }
          double factor = setting.factor();
          boolean isOver = false;
          double highest = 0;
          for (int n : over) {
            double level = level(setting, factor, rest, n);
            highest = Math.max(highest, level);
            isOver |= level > threshold[n];
          }
          for (int n = 0; n < frames && !isOver; n++) {
            isOver = level(setting, factor, rest, n) > threshold[n];
          }
          left[i][j] += isOver ? 1 : 0;
          peak[i][j] = Math.max(peak[i][j], highest);
        }
      }
    }

    private double level(StemSetting setting, double factor, double[][] rest, int n) {
      int i = margin + n;
      int from = i - setting.shift();
      double[][] x = y[setting.stem()];
      return Math.max(
          Math.abs(rest[0][i] + setting.of(x[0][from], factor)),
          Math.abs(rest[1][i] + setting.of(x[1][from], factor)));
    }
  }

  /** Sums the whole song with each of the settings. */
  private void sumAll(List<StemSetting> settings, List<List<List<OverRun>>> runs, double[] peaks)
      throws IOException {
    int pieces = (int) ((range.frames() + PIECE_FRAMES - 1) / PIECE_FRAMES);
    int tasks = Math.min(pieces, 8 * crew.workers());
    for (int j = 0; j < settings.size(); j++) {
      runs.add(new ArrayList<>(Collections.nCopies(tasks, List.<OverRun>of())));
    }
    Toll toll = new Toll(progress, Progress.Step.PLAN, pieces);
    crew.share(
        tasks,
        () ->
            new Summer(settings) {
              @Override
              public void work(int task) throws IOException {
                long first = (long) pieces * task / tasks;
                long end = (long) pieces * (task + 1) / tasks;
                List<OverFrames> over = new ArrayList<>();
                settings.forEach(setting -> over.add(new OverFrames(line, gapFrames)));
                for (long piece = first; piece < end; piece++) {
                  sum(range.firstFrame() + piece * PIECE_FRAMES, over);
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
  }

  /** Sums pieces with each of the settings. */
  private abstract class Summer implements Crew.Worker {
    final double[] highest;
    private final List<StemSetting> settings;
    private final MixDown mixDown = new MixDown(session, source.openReader());
    private final Levels reading = Levels.of(line.mode());
    private final double gain = reading.reach() == 0 ? 1 : Oversampler.GAIN;
    private final int margin = limit + reading.reach();
    private final double[][][] y = new double[session.stems().size()][][];
    private final double[][] bus = Block.stereo(PIECE_FRAMES + 2 * margin);
    private final double[][] after = Block.stereo(CHUNK_FRAMES + 2 * reading.reach());
    private final double[] levels = new double[CHUNK_FRAMES + 2 * reading.reach()];

    Summer(List<StemSetting> settings) throws IOException {
      this.settings = settings;
      highest = new double[settings.size()];
      for (int k = 0; k < y.length; k++) {
        y[k] = Block.stereo(PIECE_FRAMES + 2 * margin);
      }
    }

    final void sum(long firstFrame, List<OverFrames> over) throws IOException {
      int frames = (int) Math.min(PIECE_FRAMES, range.endFrame() - firstFrame);
      int all = frames + 2 * margin;
      Block.clear(bus, 0, all);
      for (int k = 0; k < y.length; k++) {
        mixDown.stemOnBus(k, firstFrame - margin, all, y[k]);
        int before = (int) Math.max(0, Math.min(all, range.firstFrame() - firstFrame + margin));
        int past = (int) Math.max(0, Math.min(all, range.endFrame() - firstFrame + margin));
        Block.clear(y[k], 0, before);
        Block.clear(y[k], past, all);
        Block.add(bus[0], y[k][0], 1, 0, all);
        Block.add(bus[1], y[k][1], 1, 0, all);
      }
      for (int at = 0; at < frames; at += CHUNK_FRAMES) {
        int chunk = Math.min(CHUNK_FRAMES, frames - at);
        int from = at;
        int to = at + chunk + 2 * margin;
        double busPeak = Math.max(Block.peak(bus[0], from, to), Block.peak(bus[1], from, to));
        double lowest = Double.POSITIVE_INFINITY;
        for (int i = 0; i < chunk; i++) {
          lowest = Math.min(lowest, line.levelAt(firstFrame + at + i));
        }
        int of = -1;
        double peak = 0;
        for (int j = 0; j < settings.size(); j++) {
          StemSetting setting = settings.get(j);
          if (setting.stem() != of) {
            of = setting.stem();
            peak = Math.max(Block.peak(y[of][0], from, to), Block.peak(y[of][1], from, to));
          }
          double bound = gain * (busPeak + mostChanged(setting, peak)) * (1 + 1e-12);
          if (bound > Math.min(lowest, highest[j])) {
            look(j, at, chunk, firstFrame, over.get(j));
          }
        }
      }
    }

    private double mostChanged(StemSetting setting, double peak) {
      return switch (setting.kind()) {
        case OFFSET, POLARITY -> 2 * peak;
        case CEILING -> Math.max(0, peak - setting.factor());
        case FADER -> peak * (1 - setting.factor());
      };
    }

    private void look(int j, int at, int chunk, long firstFrame, OverFrames over) {
      StemSetting setting = settings.get(j);
      int reach = reading.reach();
      int wide = chunk + 2 * reach;
      double factor = setting.factor();
      int shift = setting.shift();
      for (int c = 0; c < 2; c++) {
        double[] x = y[setting.stem()][c];
        double[] b = bus[c];
        double[] to = after[c];
        int start = at + margin - reach;
        for (int i = 0; i < wide; i++) {
          to[i] = b[start + i] - x[start + i] + setting.of(x[start + i - shift], factor);
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

  /** Of each ceiling how many frames are clipped and the longest lobe; of others 0. */
  private List<long[]> lobes(List<StemSetting> settings) throws IOException {
    List<long[]> lobes = new ArrayList<>();
    List<Integer> ceilings = new ArrayList<>();
    for (int j = 0; j < settings.size(); j++) {
      lobes.add(new long[2]);
      if (settings.get(j).kind() == StemSetting.Kind.CEILING) {
        ceilings.add(j);
      }
    }
    crew.share(
        ceilings.size(),
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          double[][] x = Block.stereo(PIECE_FRAMES);
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              int j = ceilings.get(task);
              StemSetting setting = settings.get(j);
              lobes.set(j, lobes(mixDown, x, setting.stem(), setting.factor()));
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
            }
          };
        });
    return lobes;
  }

  private long[] lobes(MixDown mixDown, double[][] x, int k, double ceiling) throws IOException {
    long clipped = 0;
    long longest = 0;
    // Of each channel: how long the lobe is so far, and on which side.
    long[] length = new long[2];
    int[] side = new int[2];
    for (long first = range.firstFrame(); first < range.endFrame(); first += PIECE_FRAMES) {
      int frames = (int) Math.min(PIECE_FRAMES, range.endFrame() - first);
      mixDown.stemOnBus(k, first, frames, x);
      for (int i = 0; i < frames; i++) {
        boolean any = false;
        for (int c = 0; c < 2; c++) {
          int now = x[c][i] > ceiling ? 1 : x[c][i] < -ceiling ? -1 : 0;
          length[c] = now == 0 ? 0 : now == side[c] ? length[c] + 1 : 1;
          side[c] = now;
          longest = Math.max(longest, length[c]);
          any |= now != 0;
        }
        clipped += any ? 1 : 0;
      }
    }
    return new long[] {clipped, longest};
  }
}
