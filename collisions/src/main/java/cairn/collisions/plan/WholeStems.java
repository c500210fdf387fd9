package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
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
  private final SettingSums sums;

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
    sums = new SettingSums(session, pass.summary(), line, limit, source, crew, progress);
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
    return checkedBest(open, false);
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
    return checkedBest(open.subList(0, Math.min(3, open.size())), true).stream()
        .filter(move -> moments - move.left() >= leastCleared)
        .min(FEWEST_LEFT);
  }

  /** What given settings come to. */
  public List<StemMove> check(List<StemSetting> settings) throws IOException {
    List<SettingSums.Sum> summed = sums.sum(settings);
    List<long[]> lobes = lobes(settings);
    List<StemMove> moves = new ArrayList<>();
    for (int j = 0; j < settings.size(); j++) {
      List<OverRun> after = summed.get(j).runs();
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
              summed.get(j).peak(),
              lobes.get(j)[0],
              lobes.get(j)[1]));
    }
    return moves;
  }

  /**
   * @param oneOfAll whether only the best of all is asked for
   */
  private List<StemMove> checkedBest(List<List<Tried>> open, boolean oneOfAll) throws IOException {
    IdentityHashMap<List<Tried>, StemMove> best = new IdentityHashMap<>();
    List<List<Tried>> asked = new ArrayList<>(open);
    asked.removeIf(List::isEmpty);
    for (int round = 0; round < ROUNDS && !asked.isEmpty(); round++) {
      int next = round;
      List<StemMove> moves =
          check(asked.stream().map(settings -> settings.get(next).setting).toList());
      for (int i = 0; i < moves.size(); i++) {
        best.merge(asked.get(i), moves.get(i), WholeStems::fewerLeft);
      }
      StemMove bestOfAll = best.values().stream().min(FEWEST_LEFT).orElseThrow();
      List<List<Tried>> again = new ArrayList<>();
      for (List<Tried> settings : asked) {
        if (next + 1 < settings.size()) {
          Tried promise = settings.get(next + 1);
          boolean isOpen = promise.left < best.get(settings).left();
          if (isOpen && (!oneOfAll || mayBeat(promise, bestOfAll))) {
            again.add(settings);
          }
        }
      }
      asked = again;
    }
    return open.stream().filter(best::containsKey).map(best::get).toList();
  }

  /** What is known from the moments bounds both from below. */
  private static boolean mayBeat(Tried promise, StemMove found) {
    return promise.left < found.left()
        || (promise.left == found.left() && promise.peak <= found.peakAfter());
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
          settings(k, mixDown).forEach((kind, settings) -> all.add(settings));
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

  /** Of yoked stems the first speaks for all, but for a ceiling. */
  private Map<StemSetting.Kind, List<Tried>> settings(int k, MixDown mixDown) throws IOException {
    Map<StemSetting.Kind, List<Tried>> settings = new EnumMap<>(StemSetting.Kind.class);
    for (StemSetting.Kind kind : StemSetting.Kind.values()) {
      settings.put(kind, new ArrayList<>());
    }
    ceilings(settings, k);
    List<Integer> group = session.yokes().groupOf(k);
    if (group.get(0) != k) {
      return settings;
    }
    int earliest = limit;
    for (int member : group) {
      earliest = Math.min(earliest, earliest(mixDown, member));
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
    return settings;
  }

  private void ceilings(Map<StemSetting.Kind, List<Tried>> settings, int k) {
    double peakDb = Decibels.ofAmplitude(pass.summary().stemPeak(k));
    double averageDb =
        Decibels.ofAmplitude(pass.stems().get(k).averagePeak().orElse(pass.summary().stemPeak(k)));
    int highest = (int) Math.ceil(peakDb * 10) - 1;
    // Under its own average peak a ceiling would cut every stroke: that is no longer a mend.
    int lowest = (int) Math.ceil(Math.max(averageDb * 10, peakDb * 10 - CEILING_TENTHS_DB));
    for (int c = highest; c >= lowest; c--) {
      add(settings, new StemSetting(k, StemSetting.Kind.CEILING, c));
    }
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
    private final double[][] rest;
    private final int[] mayBeOver;
    private double[][] x;
    private int candidates;

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
      rest = Block.stereo(frames);
      mayBeOver = new int[frames];
    }

    void tryAll(List<List<Tried>> all, int[][] left, double[][] peak) {
      List<Integer> of = List.of();
      for (int i = 0; i < all.size(); i++) {
        List<Tried> settings = all.get(i);
        for (int j = 0; j < settings.size(); j++) {
          StemSetting setting = settings.get(j).setting;
          if (j == 0) {
            List<Integer> moved = setting.moved(session.yokes());
            if (!moved.equals(of)) {
              of = moved;
              lift(moved);
            }
          }
          double factor = setting.factor();
          boolean clips = setting.kind() == StemSetting.Kind.CEILING;
          int shift = setting.shift();
          boolean isOver = false;
          double highest = 0;
          for (int n : over) {
            double level = level(n, shift, factor, clips);
            highest = level > highest ? level : highest;
            isOver |= level > threshold[n];
          }
          for (int m = 0; m < candidates && !isOver; m++) {
            int n = mayBeOver[m];
            isOver = level(n, shift, factor, clips) > threshold[n];
          }
          left[i][j] += isOver ? 1 : 0;
          peak[i][j] = Math.max(peak[i][j], highest);
        }
      }
    }

    /** Takes stems out of the bus, and finds the frames that they may lift over the line. */
    private void lift(List<Integer> moved) {
      x = y[moved.get(0)];
      if (moved.size() > 1) {
        x = new double[][] {x[0].clone(), x[1].clone()};
        for (int k : moved.subList(1, moved.size())) {
          Block.add(x[0], y[k][0], 1, 0, x[0].length);
          Block.add(x[1], y[k][1], 1, 0, x[1].length);
        }
      }
      double own = Math.max(Block.peak(x[0], 0, x[0].length), Block.peak(x[1], 0, x[1].length));
      candidates = 0;
      for (int n = 0; n < frames; n++) {
        rest[0][n] = bus[0][margin + n] - x[0][margin + n];
        rest[1][n] = bus[1][margin + n] - x[1][margin + n];
        // Rounding keeps order: what is added is no larger, so neither is the sum.
        if (Math.max(Math.abs(rest[0][n]), Math.abs(rest[1][n])) + own > threshold[n]) {
          mayBeOver[candidates] = n;
          candidates++;
        }
      }
    }

    private double level(int n, int shift, double factor, boolean clips) {
      double left = x[0][margin + n - shift];
      double right = x[1][margin + n - shift];
      if (clips) {
        left = Math.max(-factor, Math.min(factor, left));
        right = Math.max(-factor, Math.min(factor, right));
      } else {
        left *= factor;
        right *= factor;
      }
      return Math.max(Math.abs(rest[0][n] + left), Math.abs(rest[1][n] + right));
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

  /** Reads only the windows in which the stem is above the ceiling. */
  private long[] lobes(MixDown mixDown, double[][] x, int k, double ceiling) throws IOException {
    Lobe lobe = new Lobe(ceiling);
    WindowGrid grid = pass.summary().grid();
    for (int j = 0; j < grid.windows(); j++) {
      if (pass.summary().stemWindowPeak(k, j) <= ceiling) {
        lobe.end();
        continue;
      }
      for (long first = grid.firstFrame(j); first < grid.endFrame(j); first += PIECE_FRAMES) {
        int frames = (int) Math.min(PIECE_FRAMES, grid.endFrame(j) - first);
        mixDown.stemOnBus(k, first, frames, x);
        lobe.look(x, frames);
      }
    }
    return new long[] {lobe.clipped, lobe.longest};
  }

  /** Frames beyond a ceiling, and the longest lobe, of a stem that is handed over in order. */
  private static final class Lobe {
    private final double ceiling;
    private final long[] length = new long[2];
    private final int[] side = new int[2];
    long clipped;
    long longest;

    Lobe(double ceiling) {
      this.ceiling = ceiling;
    }

    void end() {
      side[0] = 0;
      side[1] = 0;
      length[0] = 0;
      length[1] = 0;
    }

    void look(double[][] x, int frames) {
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
  }
}
