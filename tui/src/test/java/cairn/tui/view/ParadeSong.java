package cairn.tui.view;

import cairn.collisions.Analysis;
import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Stem;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Hit;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.Gentleness;
import cairn.collisions.plan.GoneMoments;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.Planner;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.plan.WholeStems;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Sound;
import cairn.collisions.spectrum.Portrait;
import cairn.tui.effect.StemBands;
import cairn.tui.effect.StepPeaks;
import cairn.tui.model.Bands;
import cairn.tui.model.BusNow;
import cairn.tui.model.Earlier;
import cairn.tui.model.MomentNow;
import cairn.tui.model.PlanSteps;
import cairn.tui.model.Row;
import cairn.tui.model.Samples;
import cairn.tui.model.Song;
import cairn.tui.model.Spectra;
import cairn.tui.model.StemSettings;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * A song of a parade band, worked out frame by frame: sixteen stems of which each goes round a
 * second of its own over and over, as loud as the section asks, and hits on top of them that
 * collide at planted places. Analysed, marked and planned with the program's own rules, so that the
 * screens show figures that belong together.
 */
final class ParadeSong implements StemSource {

  static final int RATE_HZ = 48_000;

  private static final int SECONDS = 72;
  private static final long FRAMES = (long) SECONDS * RATE_HZ;

  static final List<String> NAMES =
      List.of(
          "surdo low",
          "surdo two",
          "caixa",
          "repinique",
          "tamborim",
          "claps",
          "bass",
          "brass low",
          "brass high",
          "choir",
          "lead voice",
          "agogo",
          "shaker",
          "bells",
          "hall return",
          "crowd");

  private static final List<String> GROUPS =
      List.of(
          "drums", "drums", "drums", "drums", "drums", "drums", "low end", "brass", "brass",
          "voices", "voices", "drums", "drums", "drums", "returns", "returns");

  static final List<Song.Section> SECTIONS =
      List.of(
          section("gather", 0, 9),
          section("march", 9, 20),
          section("drop", 20, 31),
          section("square", 31, 40),
          section("drop 2", 40, 61),
          section("home", 61, SECONDS));

  private static final double[] SECTION_GAIN = {0.3, 0.55, 1, 0.6, 1, 0.45};

  private final List<List<Onset>> onsets = new ArrayList<>();
  private final double[][] loop = new double[NAMES.size()][RATE_HZ];

  /** One hit of a stem. */
  private static final class Onset {
    private final long frame;
    private final double[] shape;

    Onset(long frame, double[] shape) {
      this.frame = frame;
      this.shape = shape;
    }

    long frame() {
      return frame;
    }

    double[] shape() {
      return shape;
    }
  }

  private static Song.Section section(String name, int from, int to) {
    return new Song.Section(name, (long) from * RATE_HZ, (long) to * RATE_HZ);
  }

  ParadeSong() {
    for (int k = 0; k < NAMES.size(); k++) {
      onsets.add(new ArrayList<>());
      for (int n = 0; n < RATE_HZ; n++) {
        double turn = 2 * Math.PI * n / RATE_HZ;
        int tone = 110 + 37 * k;
        loop[k][n] =
            0.014 * Math.sin(tone * turn + 1.7 * k) + 0.006 * Math.sin((2 * tone + 1) * turn + k);
      }
    }
    for (int beat = 18; beat < 2 * SECONDS - 24; beat++) {
      long frame = (long) beat * RATE_HZ / 2;
      hit(0, frame + 300, 0.30, 62, 60, 0);
      hit(2, frame + RATE_HZ / 4, 0.22, 900, 6, 0);
    }
    plant();
  }

  /** Places where hits fall on each other. */
  private void plant() {
    long[] together = {21_03, 23_53, 26_03, 28_53, 41_53, 44_03, 49_53, 55_03};
    for (long at : together) {
      long frame = at * RATE_HZ / 100;
      hit(0, frame, 0.33, 60, 60, 0.25);
      hit(2, frame + 4, 0.27, 800, 2, 0.25);
    }
    long[] brass = {24_31, 46_12, 52_77, 57_41};
    for (long at : brass) {
      long frame = at * RATE_HZ / 100;
      hit(7, frame, 0.26, 220, 30, 0.25);
      hit(6, frame + 9, 0.25, 150, 25, 0.25);
      hit(9, frame, -0.05, 300, 20, 0.25);
    }
    long[] claps = {29_81, 47_20};
    for (long at : claps) {
      long frame = at * RATE_HZ / 100;
      hit(5, frame, 0.24, 1500, 1.5, 0.25);
      hit(4, frame + 3, 0.22, 2100, 1.2, 0.25);
      hit(3, frame + 2, 0.16, 1100, 2, 0.25);
    }
    hit(8, 53 * RATE_HZ + 800L, 0.6, 700, 1.5, 0.25);
    hit(1, 43 * RATE_HZ + 9_000L, 0.31, 80, 40, 0.25);
    hit(3, 43 * RATE_HZ + 9_010L, 0.28, 1300, 2, 0.25);
    hit(10, 50 * RATE_HZ + 13_000L, 0.2, 180, 300, 0.25);
    hit(1, 50 * RATE_HZ + 13_040L, 0.27, 90, 60, 0.25);
    hit(9, 58 * RATE_HZ + 7_000L, 0.34, 330, 260, 0.25);
    hit(11, 59 * RATE_HZ + 13_000L, 0.3, 1900, 1, 0.25);
    hit(12, 59 * RATE_HZ + 13_001L, 0.26, 2600, 1, 0.25);
  }

  /** A tone that dies away, with its highest point at the frame. */
  private void hit(
      int stem, long frame, double amplitude, double toneHz, double decayMillis, double turn) {
    int length = (int) (5 * decayMillis * RATE_HZ / 1000);
    int rise = (int) Math.max(4, turn * RATE_HZ / toneHz);
    double[] shape = new double[length + rise];
    for (int i = 0; i < shape.length; i++) {
      double after = i - rise;
      double envelope =
          after < 0
              ? (double) i / rise
              : Math.exp(-after * 1000 / (decayMillis * RATE_HZ)) * (1 - after / length);
      shape[i] = amplitude * envelope * Math.cos(2 * Math.PI * toneHz * after / RATE_HZ);
    }
    onsets.get(stem).add(new Onset(frame - rise, shape));
  }

  @Override
  public StemReader openReader() {
    return new StemReader() {
      @Override
      public void read(int stem, long firstFrame, int frames, double[][] into, int at) {
        for (int i = 0; i < frames; i++) {
          long n = firstFrame + i;
          into[0][at + i] = sectionGain(n) * loop[stem][(int) (n % RATE_HZ)];
        }
        for (Onset onset : onsets.get(stem)) {
          long from = Math.max(firstFrame, onset.frame());
          long end = Math.min(firstFrame + frames, onset.frame() + onset.shape().length);
          for (long n = from; n < end; n++) {
            into[0][at + (int) (n - firstFrame)] += onset.shape()[(int) (n - onset.frame())];
          }
        }
      }

      @Override
      public void close() {}
    };
  }

  private static double sectionGain(long frame) {
    for (int i = 0; i < SECTIONS.size(); i++) {
      if (frame < SECTIONS.get(i).endFrame()) {
        return SECTION_GAIN[i];
      }
    }
    return 0;
  }

  Session session() {
    return Session.atUnity(RATE_HZ, NAMES.stream().map(name -> new Stem(name, 1, FRAMES)).toList());
  }

  /** The song analysed, with a goal that draws the line. */
  Song analysed() {
    Goal goal = new Goal(-14, -1, PeakMode.SAMPLE_PEAK, 3, Goal.Part.LOUD);
    Settings settings = Settings.DEFAULT.withMetering(Metering.STEMS).withGoal(goal, false);
    return song(analysed(settings), NAMES, GROUPS);
  }

  /** A pass of the song. */
  Pass analysed(Settings settings) {
    try {
      return new Analysis(session(), this, Crew.ALONE, Progress.NONE).run(settings);
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  static Song song(Pass pass, List<String> names, List<String> groups) {
    return new Song("Lantern Row", 1, pass, names, names, groups, List.of(), Optional.empty());
  }

  /**
   * A second pass: two stems were turned down as a whole, another up; the first fixes of a plan
   * were made in the pass before.
   */
  Song second(Song first, List<Mark.OfFix> fixes) {
    try (WhatIf plain = WhatIf.of(first.pass(), this)) {
      EarlierPass earlier = EarlierPass.of(first.pass(), plain.to(Marks.NONE.addAll(fixes)));
      List<Fader> faders = new ArrayList<>(session().faders());
      fixes.forEach(fix -> faders.set(fix.fix().stem(), Fader.UNITY.withMuted(true)));
      faders.set(12, Fader.UNITY.withGainDb(-1));
      faders.set(5, Fader.UNITY.withGainDb(6));
      // Its one hit now falls on a beat.
      faders.set(11, Fader.UNITY.withOffset(-12_700));
      Session session = new Session(RATE_HZ, 0, session().stems(), faders);
      Pass pass =
          new Analysis(session, this, Crew.ALONE, Progress.NONE)
              .run(first.pass().settings().withLine(new Line.Held(earlier.lineLevel())));
      PassComparison compared = PassComparison.of(earlier, 0, pass, this, Crew.ALONE);
      List<Moment> gone;
      try (WhatIf bus = WhatIf.of(pass, this)) {
        gone = GoneMoments.of(compared, bus, pass.moments().size());
      }
      List<Earlier.Made> made = new ArrayList<>();
      fixes.forEach(fix -> made.add(new Earlier.Made(NAMES.get(fix.fix().stem()), fix, true)));
      return new Song(
          "Lantern Row",
          2,
          pass,
          NAMES,
          NAMES,
          GROUPS,
          List.of(),
          Optional.empty(),
          Optional.of(Earlier.of(compared, pass.moments(), gone, made)));
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  /** The bus with some marks. */
  BusNow bus(Song song, Marks marks) {
    try (WhatIf plain = WhatIf.of(song.pass(), this)) {
      WhatIf now = plain.to(marks);
      List<OverRun> fresh = now.runs().stream().filter(run -> now.listed(run).isEmpty()).toList();
      double[] peaks = new double[song.pass().summary().blocks()];
      Arrays.setAll(peaks, now::blockPeak);
      return new BusNow(
          marks, now.peak(), now.runs(), fresh, now.ladder(song.pass().moments()), i -> peaks[i]);
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  /** What rows of a plan come to. */
  PlanSteps steps(Song song, List<List<Mark.OfFix>> steps) {
    FixFinder finder = new FixFinder(song.pass().session(), song.pass().line(), FixLimits.DEFAULT);
    try (WhatIf plain = WhatIf.of(song.pass(), this)) {
      return StepPeaks.of(plain, finder, steps, () -> false).orElseThrow();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  Plan plan(Song song, Marks taken, Set<Integer> leftAlone) {
    try {
      return new Planner(song.pass(), this, Crew.ALONE, Progress.NONE)
          .plan(taken, PlanOptions.DEFAULT.withLeftAlone(leftAlone));
    } catch (IOException | Unanalysable.TooManyMoments e) {
      throw new AssertionError(e);
    }
  }

  /** What can be seen and done at the head of a row. */
  MomentNow look(Song song, Marks marks, Row row, boolean allAlike) {
    try (WhatIf plain = WhatIf.of(song.pass(), this)) {
      WhatIf now = plain.to(marks);
      Moment head = row.head();
      OverRun listed = plain.listedAt(head.peakFrame()).orElseThrow();
      Optional<OverRun> over =
          now.runs().stream()
              .filter(run -> Math.abs(run.peakFrame() - head.peakFrame()) < RATE_HZ / 28)
              .findFirst();
      WhatIf base = over.isPresent() ? now : plain;
      OverRun run = over.orElse(listed);
      Moment explained = base.explain(run);
      FixFinder finder = new FixFinder(song.pass().session(), song.pass().line(), LIMITS);
      Excerpt excerpt = base.excerpt(finder.excerptRange(run));
      FixesHere here = finder.at(excerpt, run);
      Map<Integer, MomentNow.Fixes> fixes = new HashMap<>();
      Map<Integer, Hit> hits = new HashMap<>();
      List<Advice> advice = new ArrayList<>();
      for (Contribution c : explained.leading()) {
        int k = c.stem();
        fixes.put(
            k, new MomentNow.Fixes(here.leastNudgeAlone(k), here.leastTrim(k), here.leastClip(k)));
        hits.put(k, here.hit(k));
        fixes.get(k).nudge().ifPresent(a -> advice.add(advice(a, row, allAlike)));
        fixes.get(k).trim().ifPresent(a -> advice.add(advice(a, row, allAlike)));
      }
      return new MomentNow(
          marks,
          head.peakFrame(),
          allAlike,
          pile(explained, over.isPresent(), now, head),
          List.of(new MomentNow.Place(head.peakFrame(), run.firstOver(), run.lastOver(), hits)),
          fixes,
          explained.isLong() ? List.of() : advice,
          "every hit here is sustained",
          wave(song, plain, now, explained, advice));
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  private static final FixLimits LIMITS = PlanOptions.DEFAULT.limits();

  private static MomentNow.Pile pile(Moment m, boolean over, WhatIf now, Moment head) {
    double level = over ? m.peak() : now.blockPeak(0) > 0 ? head.line() * 0.98 : 0;
    return new MomentNow.Pile(
        over,
        over && m.isLong(),
        m.peakFrame(),
        m.channel(),
        level,
        over ? m.longestRun() : 0,
        over ? m.depth() : 0,
        m.contributions());
  }

  /** The same fix in every place, moved there. */
  private static Advice advice(Attempt attempt, Row row, boolean allAlike) {
    List<Mark.OfFix> marks = new ArrayList<>();
    long from = row.head().peakFrame();
    for (Moment place : allAlike ? row.places() : List.of(row.head())) {
      long shift = place.peakFrame() - from;
      marks.add(new Mark.OfFix(place.peakFrame(), moved(attempt.fix(), shift), Optional.empty()));
    }
    return new Advice(
        attempt.fix().stem(),
        attempt.fix().kind(),
        marks,
        attempt.cleared() ? marks.size() : 0,
        marks.size(),
        attempt.fix() instanceof Trim ? Gentleness.TRIM : Gentleness.SMALL_NUDGE,
        attempt.leftLevel(),
        attempt.change().longestLobeFrames(),
        attempt.change().clippedFrames(),
        0,
        false,
        attempt.combs());
  }

  private static Fix moved(Fix fix, long by) {
    long start = fix.startFrame() + by;
    long end = fix.endFrame() + by;
    if (fix instanceof Nudge nudge) {
      return new Nudge(fix.stem(), start, end, nudge.frames());
    }
    return fix instanceof Trim trim
        ? new Trim(fix.stem(), start, end, trim.tenthsDb())
        : new Clip(fix.stem(), start, end, ((Clip) fix).ceilingTenthsDb());
  }

  private MomentNow.Wave wave(
      Song song, WhatIf plain, WhatIf now, Moment moment, List<Advice> advice) throws IOException {
    TimeRange all = song.pass().range();
    long half = RATE_HZ / 10;
    TimeRange range =
        new TimeRange(
            Math.max(all.firstFrame(), moment.peakFrame() - half),
            Math.min(all.endFrame(), moment.peakFrame() + half));
    int c = moment.channel();
    Excerpt before = plain.excerpt(range);
    Excerpt after = now.excerpt(range);
    double sign = before.bus()[c][(int) (moment.peakFrame() - range.firstFrame())] < 0 ? -1 : 1;
    Map<Integer, Samples> stems = new HashMap<>();
    Map<Integer, Samples> marked = new HashMap<>();
    Map<Integer, Samples> proposed = new HashMap<>();
    for (Contribution each : moment.leading()) {
      stems.put(each.stem(), samples(before.plain(each.stem())[c], sign));
      marked.put(each.stem(), samples(after.marked(each.stem())[c], sign));
    }
    for (Advice each : advice) {
      if (!proposed.containsKey(each.stem())) {
        double[][] y = {before.plain(each.stem())[0].clone(), before.plain(each.stem())[1].clone()};
        FixApplier.apply(each.marks().get(0).fix(), RATE_HZ, y, range.firstFrame(), all);
        proposed.put(each.stem(), samples(y[c], sign));
      }
    }
    return new MomentNow.Wave(
        range.firstFrame(),
        moment.peakFrame(),
        samples(after.bus()[c], sign),
        stems,
        marked,
        proposed);
  }

  /** What the bus is like, and a reference with less of the surdos and more of the shaker. */
  StemSettings settings(Song song, Set<Integer> leftAlone) {
    try {
      return new StemSettings(
          leftAlone,
          true,
          new WholeStems(song.pass(), this, Crew.ALONE, Progress.NONE).best(leftAlone),
          SharedSound.strong(song.pass(), this, Crew.ALONE),
          "");
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  Spectra spectra(Song song) {
    Session bus = song.pass().session();
    List<Fader> faders = new ArrayList<>(bus.faders());
    faders.set(0, faders.get(0).withGainDb(-9));
    faders.set(1, faders.get(1).withGainDb(-9));
    faders.set(12, faders.get(12).withGainDb(9));
    Session reference = new Session(RATE_HZ, 0, bus.stems(), faders);
    return new Spectra(
        Optional.of(portrait(bus)), Optional.of(portrait(reference)), "last-year.wav", "");
  }

  Portrait portrait(Session session) {
    try (MixDown mixDown = new MixDown(session, openReader())) {
      return Portrait.of(Sound.ofBus(session, mixDown), RATE_HZ);
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  Bands bands(Song song, Marks marks, MomentNow moment) {
    try (WhatIf plain = WhatIf.of(song.pass(), this)) {
      return StemBands.of(
          plain.to(marks),
          song.pass(),
          moment.pile().peakFrame(),
          moment.pile().contributions().stream()
              .filter(Contribution::leads)
              .map(Contribution::stem)
              .toList());
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  private static Samples samples(double[] y, double sign) {
    float[] values = new float[y.length];
    for (int i = 0; i < values.length; i++) {
      values[i] = (float) (sign * y[i]);
    }
    return new Samples(values);
  }

  /** A level in dB, for messages. */
  static double db(double level) {
    return Decibels.ofAmplitude(level);
  }
}
