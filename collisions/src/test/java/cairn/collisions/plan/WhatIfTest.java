package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Analysis;
import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class WhatIfTest {

  private static final int RATE = 8_000;

  private static final Settings AT_AVERAGE = Settings.DEFAULT.withLine(new Line.Margin(0));

  /** A song with a bed, pulses that crest together, and a stem of each number of channels. */
  private static ArrayStems song(Random random, int seconds) {
    int frames = seconds * RATE;
    ArrayStems stems = new ArrayStems(RATE);
    double phase = random.nextDouble();
    stems.mono("bed", frames, n -> 0.2 * Math.sin(2 * Math.PI * (n / 73.0 + phase)));
    for (int k = 0; k < 4; k++) {
      int length = k == 2 ? frames - 500 : frames;
      double[][] x = new double[k == 1 ? 1 : 2][length];
      int period = 1_500 + 250 * random.nextInt(4);
      for (int hit = random.nextInt(800); hit < length; hit += period) {
        double size = 0.1 + 0.2 * random.nextDouble();
        double wave = 20 + random.nextInt(30);
        for (int i = 0; i < 500 && hit + i < length; i++) {
          double value = size * Math.exp(-i / 120.0) * Math.sin(2 * Math.PI * (i + 4) / wave);
          x[0][hit + i] += value;
          if (x.length == 2) {
            x[1][hit + i] += 0.7 * value;
          }
        }
      }
      stems.stem("pulse " + k, x);
    }
    return stems;
  }

  private static Session faders(ArrayStems stems, Random random) {
    List<Fader> faders = new ArrayList<>();
    for (int k = 0; k < stems.session().stems().size(); k++) {
      faders.add(
          Fader.UNITY
              .withGainDb(random.nextInt(7) - 3)
              .withOffset(k == 0 ? 0 : random.nextInt(41) - 20)
              .withMuted(k == 4 && random.nextBoolean()));
    }
    return new Session(RATE, -3, stems.session().stems(), faders);
  }

  /** A fix about a moment, of any size, so that many meet on one stem. */
  private static Mark.OfFix anyMark(Random random, List<OverRun> runs, int stems) {
    OverRun run = runs.get(random.nextInt(runs.size()));
    int stem = random.nextInt(stems);
    long from = run.peakFrame() - 50 - random.nextInt(900);
    long end = run.peakFrame() + 50 + random.nextInt(2_500);
    Fix fix =
        switch (random.nextInt(3)) {
          case 0 -> new Nudge(stem, from, end, 1 + random.nextInt(24));
          case 1 -> new Trim(stem, from, end, 1 + random.nextInt(60));
          default ->
              new Clip(stem, run.firstOver(), run.lastOver() + 1, -260 + random.nextInt(200));
        };
    if (fix instanceof Nudge nudge && random.nextBoolean()) {
      fix = new Nudge(stem, from, end, -nudge.frames());
    }
    return (Mark.OfFix) Mark.of(run.peakFrame(), fix);
  }

  private static List<Mark.OfFix> anyMarks(Random random, WhatIf plain, int stems, int count) {
    List<Mark.OfFix> marks = new ArrayList<>();
    while (marks.size() < count) {
      Mark.OfFix mark = anyMark(random, plain.runs(), stems);
      if (!marks.contains(mark)) {
        marks.add(mark);
      }
    }
    return marks;
  }

  /** The whole stems with all fixes applied, summed and analysed at the line of the pass. */
  private static final class WholeStems {
    final List<OverRun> runs;
    final Pass pass;
    final double[][][] y;

    WholeStems(Pass pass, ArrayStems stems, List<Mark.OfFix> marks) throws IOException {
      TimeRange range = pass.range();
      int frames = (int) pass.session().frames();
      int count = pass.session().stems().size();
      y = new double[count][2][frames];
      ArrayStems marked = new ArrayStems(RATE);
      try (MixDown mixDown = new MixDown(pass.session(), stems.openReader())) {
        for (int k = 0; k < count; k++) {
          mixDown.stemOnBus(k, 0, frames, y[k]);
          for (double[] channel : y[k]) {
            Arrays.fill(channel, 0, (int) range.firstFrame(), 0);
            Arrays.fill(channel, (int) range.endFrame(), frames, 0);
          }
        }
      }
      for (Mark.OfFix mark : marks) {
        FixApplier.apply(mark.fix(), RATE, y[mark.fix().stem()], 0, range);
      }
      for (int k = 0; k < count; k++) {
        marked.stem("whole " + k, y[k]);
      }
      this.pass = marked.analyse(pass.settings());
      runs =
          new MomentFinder(
                  this.pass.session(), marked, this.pass.summary(), Crew.ALONE, Progress.NONE)
              .runs(pass.line());
    }

    /** The levels that all blocks peak at, the runs and the peak are those of the what-if. */
    void sameAs(WhatIf whatIf, String what) throws IOException {
      assertEquals(runs, whatIf.runs(), what);
      assertArrayEquals(blockPeaks(pass), blockPeaks(pass, whatIf), what);
      assertEquals(pass.summary().peak(), whatIf.peak(), 0, what);
      assertEquals(pass.summary().peakFrame(), whatIf.peakFrame(), what);
      Random random = new Random(what.hashCode());
      for (int i = 0; i < 150; i++) {
        int k = random.nextInt(y.length);
        int frames = 1 + random.nextInt(i % 2 == 0 ? 60 : 900);
        int from = random.nextInt(y[k][0].length - frames);
        double[][] part = new double[2][frames];
        whatIf.stemOnBus(k, from, frames, part);
        for (int c = 0; c < 2; c++) {
          double[] expected = Arrays.copyOfRange(y[k][c], from, from + frames);
          assertArrayEquals(expected, part[c], what + ", stem " + k + " from " + from);
        }
      }
    }
  }

  private static double[] blockPeaks(Pass pass) {
    return IntStream.range(0, pass.summary().blocks())
        .mapToDouble(pass.summary()::blockPeak)
        .toArray();
  }

  private static double[] blockPeaks(Pass pass, WhatIf whatIf) {
    return IntStream.range(0, pass.summary().blocks()).mapToDouble(whatIf::blockPeak).toArray();
  }

  private static Pass pass(ArrayStems stems, Session session, Settings settings) {
    return stems.analyse(session, settings);
  }

  @ParameterizedTest
  @EnumSource
  void anyMarksAddedOneByOneGiveWhatTheWholeMarkedStemsGive(PeakMode mode) throws IOException {
    for (int seed = 0; seed < 8; seed++) {
      Random random = new Random(seed);
      ArrayStems stems = song(random, 6);
      Session session = faders(stems, random);
      Settings settings =
          (seed % 3 == 1 ? Settings.DEFAULT.withBaseline(Baseline.LOCAL) : Settings.DEFAULT)
              .withMode(mode)
              .withLine(new Line.Margin(seed % 2 == 0 ? 0.5 : -3));
      if (seed % 4 == 3) {
        settings = settings.withRange(new TimeRange(3_001, 37_777));
      }
      Pass pass = pass(stems, session, settings);
      try (WhatIf plain = WhatIf.of(pass, stems)) {
        List<Mark.OfFix> marks = anyMarks(random, plain, 5, 14);
        WhatIf whatIf = plain;
        for (Mark mark : marks) {
          whatIf = whatIf.with(mark);
        }
        String what = mode + ", seed " + seed;
        new WholeStems(pass, stems, marks).sameAs(whatIf, what);

        WhatIf atOnce = plain.withAll(marks);
        assertEquals(whatIf.runs(), atOnce.runs(), what);
        assertEquals(whatIf.peak(), atOnce.peak(), 0, what);

        List<Mark.OfFix> some = new ArrayList<>(marks);
        for (int i = 0; i < 5; i++) {
          Mark.OfFix gone = some.remove(random.nextInt(some.size()));
          whatIf = whatIf.without(gone);
        }
        new WholeStems(pass, stems, some).sameAs(whatIf, what + ", some taken off");

        Collections.shuffle(some, random);
        whatIf = whatIf.to(new Marks(List.copyOf(some)));
        new WholeStems(pass, stems, some).sameAs(whatIf, what + ", in another order");

        WhatIf back = whatIf.to(Marks.NONE);
        assertEquals(plain.runs(), back.runs(), what);
        new WholeStems(pass, stems, List.of()).sameAs(back, what + ", all taken off");
      }
    }
  }

  @ParameterizedTest
  @EnumSource
  void marksThatMeetOnOneStemInAllWaysGiveWhatTheWholeMarkedStemGives(PeakMode mode)
      throws IOException {
    int seeds = mode == PeakMode.SAMPLE_PEAK ? 60 : 20;
    for (int seed = 0; seed < seeds; seed++) {
      Random random = new Random(1_000 + seed);
      ArrayStems stems = crowd(random);
      Pass pass =
          stems.analyse(
              Settings.DEFAULT.withMode(mode).withLine(new Line.Level(-9 - random.nextInt(3))));
      try (WhatIf plain = WhatIf.of(pass, stems)) {
        WhatIf whatIf = plain;
        for (int i = 0; i < 12; i++) {
          List<Mark> marks = new ArrayList<>(whatIf.marks().list());
          if (i % 3 == 2) {
            marks.remove(random.nextInt(marks.size()));
          } else {
            marks.add(random.nextInt(marks.size() + 1), Mark.of(1 + i, crowdedFix(random)));
          }
          whatIf = whatIf.to(new Marks(marks));
          new WholeStems(pass, stems, whatIf.marks().fixes())
              .sameAs(whatIf, mode + ", seed " + seed + ", change " + i);
        }
      }
    }
  }

  /** Strokes about 35 ms (280 frames) from each other, most of them near the line. */
  private static ArrayStems crowd(Random random) {
    double[] strokes = new double[5_000];
    double[] other = new double[5_000];
    for (int n = 200; n < 4_900; n += 120 + random.nextInt(220)) {
      double size = 0.2 + 0.3 * random.nextDouble();
      for (int i = 0; i < 60; i++) {
        strokes[n + i] += size * Math.exp(-i / 25.0) * Math.cos(2 * Math.PI * i / 23);
        other[n + i] += 0.3 * size * Math.exp(-i / 30.0) * Math.cos(2 * Math.PI * i / 31);
      }
    }
    return new ArrayStems(RATE).mono("caixa", strokes).mono("surdo", other);
  }

  private static Fix crowdedFix(Random random) {
    int stem = random.nextInt(4) == 0 ? 1 : 0;
    long from = 1_200L + random.nextInt(1_600);
    long end = from + 30 + random.nextInt(500);
    return switch (random.nextInt(3)) {
      case 0 -> new Nudge(stem, from, end, random.nextBoolean() ? 40 : -1 - random.nextInt(40));
      case 1 -> new Trim(stem, from, end, 1 + random.nextInt(40));
      default -> new Clip(stem, from, end, -250 + random.nextInt(180));
    };
  }

  @Test
  void aFrameThatIsOverButNoHigherIsNotLouder() throws IOException {
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("caixa", 40_000, n -> n == 8_000 ? 0.8 : 0)
            .mono("rest", 40_000, n -> n == 30_000 ? 0.1 : 0);
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-6)));
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      // The one changes nothing that is heard, the other lowers the peak and leaves it over.
      WhatIf idle = plain.with(Mark.of(8_000, new Trim(1, 7_000, 9_000, 30)));
      WhatIf lower = plain.with(Mark.of(8_000, new Trim(0, 7_000, 9_000, 10)));
      WhatIf.Step withoutIdle = idle.step(Marks.NONE);
      WhatIf.Step withoutLower = lower.step(Marks.NONE);

      assertEquals(1, lower.runs().size());
      assertFalse(withoutIdle.whatIf().louderThan(idle, withoutIdle.changed()));
      assertTrue(withoutLower.whatIf().louderThan(lower, withoutLower.changed()));
    }
  }

  @Test
  void marksOnOneStemWhoseRangesDoNotMeetGiveTheSameInAnyOrder() throws IOException {
    Random random = new Random(5);
    ArrayStems stems = song(random, 6);
    Pass pass = pass(stems, stems.session(), Settings.DEFAULT);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      List<Mark.OfFix> marks = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        long from = 2_000 + 5_000L * i;
        marks.add(
            (Mark.OfFix)
                Mark.of(
                    from,
                    i % 2 == 0
                        ? new Nudge(2, from, from + 4_000, 7 - i)
                        : new Trim(2, from, from + 4_000, 5 + i)));
      }
      WhatIf first = plain.withAll(marks);
      for (int i = 0; i < 4; i++) {
        Collections.shuffle(marks, random);
        WhatIf other = plain.withAll(marks);
        assertEquals(first.runs(), other.runs());
        assertArrayEquals(blockPeaks(pass, first), blockPeaks(pass, other));
      }
    }
  }

  @ParameterizedTest
  @EnumSource
  void contributionsOfWhatIfMomentsAddUpToTheirPeak(PeakMode mode) throws IOException {
    for (int seed = 0; seed < 4; seed++) {
      Random random = new Random(100 + seed);
      ArrayStems stems = song(random, 5);
      Pass pass = pass(stems, faders(stems, random), AT_AVERAGE.withMode(mode));
      try (WhatIf plain = WhatIf.of(pass, stems)) {
        WhatIf whatIf = plain.withAll(anyMarks(random, plain, 5, 8));
        List<Moment> moments = whatIf.moments();
        assertEquals(whatIf.runs().size(), moments.size());
        for (Moment moment : moments) {
          double sum = moment.contributions().stream().mapToDouble(Contribution::amplitude).sum();
          // Five addends in another order: a few ulps.
          assertEquals(moment.peak(), sum, 1e-12, "seed " + seed);
        }
      }
    }
  }

  @Test
  void withoutMarksItIsThePass() throws IOException {
    Random random = new Random(1);
    ArrayStems stems = song(random, 5);
    Pass pass = pass(stems, stems.session(), AT_AVERAGE);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      List<Moment> moments = plain.moments();
      assertEquals(pass.moments().size(), moments.size());
      for (int i = 0; i < moments.size(); i++) {
        Moment expected = pass.moments().get(i);
        assertEquals(expected.rank(), moments.get(i).rank());
        assertEquals(expected.peakFrame(), moments.get(i).peakFrame());
        assertEquals(expected.depth(), moments.get(i).depth());
        assertEquals(expected.contributions(), moments.get(i).contributions());
      }
      assertEquals(Ladder.of(pass.moments(), pass.line()), plain.ladder(pass.moments()));
      assertEquals(pass.peak(), plain.peak(), 0);
      assertEquals(pass.summary().peakFrame(), plain.peakFrame());
      assertSame(pass.line(), plain.line());
    }
  }

  @Test
  void theLineStaysWhereItWasWhateverIsMarked() throws IOException {
    Random random = new Random(2);
    ArrayStems stems = song(random, 5);
    Pass pass = pass(stems, stems.session(), AT_AVERAGE);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      WhatIf whatIf = plain.withAll(anyMarks(random, plain, 5, 10));
      assertSame(pass.line(), whatIf.line());
    }
  }

  @Test
  void anExcerptHoldsTheStemsWithoutAndWithMarks() throws IOException {
    Random random = new Random(3);
    ArrayStems stems = song(random, 5);
    Pass pass = pass(stems, stems.session(), AT_AVERAGE);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      List<Mark.OfFix> marks = anyMarks(random, plain, 5, 8);
      WhatIf whatIf = plain.withAll(marks);
      WholeStems whole = new WholeStems(pass, stems, marks);
      Excerpt excerpt = whatIf.excerpt(new TimeRange(9_000, 23_000));
      for (int k = 0; k < 5; k++) {
        assertArrayEquals(Arrays.copyOfRange(whole.y[k][0], 9_000, 23_000), excerpt.marked(k)[0]);
        assertArrayEquals(
            Arrays.copyOfRange(stems.samples(k)[0], 9_000, 23_000), excerpt.plain(k)[0]);
      }
      assertSame(excerpt, whatIf.excerpt(new TimeRange(9_000, 23_000)));
      double[][] bus = whatIf.bus(new TimeRange(9_000, 23_000));
      assertArrayEquals(excerpt.bus()[0], bus[0]);
      assertArrayEquals(excerpt.bus()[1], bus[1]);
    }
  }

  @Test
  void aMomentThatComesUpElsewhereIsNewAndOneNearCountsAsTheListedOne() throws IOException {
    // One pulse at frame 8000 over a bed of 0.1; A = (9 · 0.1 + 0.5) / 10 = 0.14. Moved by 100
    // frames it stays within 35 ms (280 frames at 8 kHz), by 300 frames it does not.
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("bed", 40_000, n -> n % 100 == 0 ? 0.1 : 0)
            .mono("tamborim", 40_000, n -> n == 8_000 ? 0.4 : 0);
    Pass pass = stems.analyse(Settings.DEFAULT);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      OverRun listed = plain.runs().get(0);
      assertEquals(1, plain.runs().size());

      WhatIf near = plain.with(Mark.of(8_000, new Nudge(1, 7_000, 9_000, 100)));
      assertEquals(8_100, near.runs().get(0).peakFrame());
      assertEquals(listed, near.listed(near.runs().get(0)).orElseThrow());

      WhatIf far = plain.with(Mark.of(8_000, new Nudge(1, 7_000, 9_000, -300)));
      assertEquals(7_700, far.runs().get(0).peakFrame());
      assertTrue(far.listed(far.runs().get(0)).isEmpty());
    }
  }

  @Test
  void aMarkOutsideTheRangeThatIsLookedAtChangesNothing() throws IOException {
    ArrayStems stems = song(new Random(4), 6);
    Pass pass = stems.analyse(Settings.DEFAULT.withRange(new TimeRange(8_000, 40_000)));
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      Mark.OfFix mark = (Mark.OfFix) Mark.of(3_000, new Trim(1, 2_000, 4_000, 30));
      WhatIf whatIf = plain.with(mark);
      assertEquals(plain.runs(), whatIf.runs());
      assertTrue(whatIf.affected(mark).isEmpty());
      assertEquals(0, whatIf.alteredFrames());
    }
  }

  @Test
  void fineMarksChangeNoSample() throws IOException {
    ArrayStems stems = song(new Random(4), 5);
    Pass pass = stems.analyse(Settings.DEFAULT);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      WhatIf whatIf = plain.with(Mark.fine(plain.runs().get(0).peakFrame()));
      assertEquals(plain.runs(), whatIf.runs());
      assertEquals(plain.peak(), whatIf.peak(), 0);
      assertFalse(whatIf.marks().fineFrames().isEmpty());
    }
  }

  @Test
  void aFixOfAStemThatThereIsNotIsRefused() throws IOException {
    ArrayStems stems = song(new Random(4), 5);
    Pass pass = stems.analyse(Settings.DEFAULT);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      IllegalArgumentException refused =
          assertThrows(
              IllegalArgumentException.class, () -> plain.with(Mark.of(9, new Trim(5, 0, 10, 1))));
      assertEquals("stem must be under 5: stem=5", refused.getMessage());
    }
  }

  @Test
  void anExcerptAfterOthersWereLetGoIsThatOfAFreshBusInTheSameArrays() throws Exception {
    ArrayStems stems = song(new Random(4), 6);
    Pass pass = new Analysis(stems.session(), stems, Crew.ALONE, Progress.NONE).run(AT_AVERAGE);
    try (WhatIf whatIf = WhatIf.of(pass, stems);
        WhatIf fresh = WhatIf.of(pass, stems)) {
      Excerpt before = whatIf.excerpt(new TimeRange(9_000, 11_000));
      whatIf.letGo();
      Excerpt after = whatIf.excerpt(new TimeRange(20_000, 22_000));
      Excerpt expected = fresh.excerpt(new TimeRange(20_000, 22_000));
      for (int k = 0; k < after.stems(); k++) {
        double[][] y = after.plain(k);
        assertArrayEquals(expected.plain(k)[0], y[0]);
        assertArrayEquals(expected.plain(k)[1], y[1]);
        assertTrue(
            IntStream.range(0, before.stems()).anyMatch(other -> before.plain(other) == y),
            "stem " + k);
      }
      assertArrayEquals(expected.levels(), after.levels());
      // One of another length takes none of them, nor does one while the other is kept.
      whatIf.letGo();
      assertEquals(2_500, whatIf.excerpt(new TimeRange(20_000, 22_500)).plain(0)[0].length);
      Excerpt third = whatIf.excerpt(new TimeRange(20_000, 22_000));
      assertArrayEquals(expected.levels(), third.levels());
    }
  }
}
