package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.function.LongToDoubleFunction;
import org.junit.jupiter.api.Test;

class AdvisorTest {

  private static final int RATE = 8_000;

  private static List<Advice> advise(
      Pass pass, WhatIf now, PlanOptions options, List<Long> momentFrames) throws IOException {
    return new Advisor(
            new FixFinder(pass.session(), now.line(), options.limits()),
            options,
            pass.session().sampleRateHz())
        .advise(now, momentFrames, () -> false);
  }

  /** A bed of one sample in every window, so that the average peak is known. */
  private static ArrayStems bed(double level) {
    return new ArrayStems(RATE).mono("bed", 40_000, n -> n % 4_000 == 2_000 ? level : 0);
  }

  /** A decaying stroke of a size of its own at each frame. */
  private static LongToDoubleFunction strokes(long[] at, double... sizes) {
    return n -> {
      double sum = 0;
      for (int i = 0; i < at.length; i++) {
        if (n >= at[i] && n < at[i] + 600) {
          double since = n - at[i];
          sum += sizes[i] * Math.exp(-since / 60) * Math.sin(2 * Math.PI * (since + 1) / 64);
        }
      }
      return sum;
    };
  }

  private static ArrayStems twoImpulses() {
    return bed(0.25)
        .mono("caixa", 40_000, n -> n == 12_300 ? 0.30 : 0)
        .mono("surdo", 40_000, n -> n == 12_300 ? 0.30 : 0);
  }

  @Test
  void allFixesOfAllLeadingStemsComeByGentlenessAndPartialOnesLast() throws IOException {
    // A = (9 · 0.25 + 0.60) / 10 = 0.285, T = 0.319773. A clip of one sample clears (see
    // PlannerTest); so does a nudge of one sample, which combs, since both are the same sound.
    // A trim of at most 3 dB leaves 0.30 · (1 + 10^(−3/20)).
    ArrayStems stems = twoImpulses();
    Pass pass = stems.analyse(Settings.DEFAULT);
    try (WhatIf now = WhatIf.of(pass, stems)) {
      List<Advice> advice = advise(pass, now, PlanOptions.DEFAULT, List.of(12_300L));

      assertEquals(
          List.of(
              Gentleness.SHORT_CLIP,
              Gentleness.SHORT_CLIP,
              Gentleness.COMBING_NUDGE,
              Gentleness.COMBING_NUDGE,
              Gentleness.TRIM,
              Gentleness.TRIM),
          advice.stream().map(Advice::gentleness).toList());
      assertEquals(List.of(1, 2, 1, 2, 1, 2), advice.stream().map(Advice::stem).toList());
      assertEquals(
          List.of(new Mark.OfFix(12_300, new Clip(1, 12_300, 12_301, -341), Optional.empty())),
          advice.get(0).marks());
      assertEquals(1, advice.get(0).longestLobeFrames());
      assertEquals(1, advice.get(0).clippedFrames());
      assertTrue(advice.get(2).marks().get(0).fix() instanceof Nudge nudge && nudge.frames() == 1);
      assertEquals(List.of(2), advice.get(2).combs());
      assertTrue(advice.get(4).marks().get(0).fix() instanceof Trim trim && trim.tenthsDb() == 30);
      assertEquals(0, advice.get(4).cleared());
      assertEquals(0.30 * (1 + Math.pow(10, -3.0 / 20)), advice.get(4).leftLevel(), 1e-12);
    }
  }

  @Test
  void stemsLeftAloneAndKindsNotAllowedArePassedOver() throws IOException {
    ArrayStems stems = twoImpulses();
    Pass pass = stems.analyse(Settings.DEFAULT);
    PlanOptions options =
        PlanOptions.DEFAULT.withLeftAlone(Set.of(1)).withKinds(EnumSet.of(Fix.Kind.NUDGE));
    try (WhatIf now = WhatIf.of(pass, stems)) {
      List<Advice> advice = advise(pass, now, options, List.of(12_300L));

      assertEquals(1, advice.size());
      assertEquals(2, advice.get(0).stem());
      assertEquals(Fix.Kind.NUDGE, advice.get(0).kind());
    }
  }

  private static final long[] HITS = {6_300, 14_300, 22_300};

  /** Two stems with the same strokes, the second of them 1.05 times as high as the others. */
  private static ArrayStems strokesOfTwoStems() {
    return bed(0.1)
        .mono("caixa", 40_000, strokes(HITS, 0.4, 0.42, 0.4))
        .mono("surdo", 40_000, strokes(HITS, 0.4, 0.42, 0.4));
  }

  /** On a bed of single samples every fix changes the tone: here that is not looked at. */
  private static final PlanOptions TRIMS =
      PlanOptions.DEFAULT.withKinds(EnumSet.of(Fix.Kind.TRIM)).withDearOver(60);

  /** A line 5 % under the peak of the lower strokes. */
  private static WhatIf atLine(ArrayStems stems, Pass pass) throws IOException {
    double lower = pass.moments().get(2).peak();
    return WhatIf.of(
        pass,
        pass.line().with(new Line.Level(Decibels.ofAmplitude(0.95 * lower))),
        stems,
        Crew.ALONE,
        Progress.NONE);
  }

  private static int tenthsDb(Mark.OfFix mark) {
    return ((Trim) mark.fix()).tenthsDb();
  }

  @Test
  void oneAmountForAllIsTheLeastThatClearsAll() throws IOException {
    // Each stem adds a to 2a, T = 1.9a: at a lower stroke one must fall to 0.9, by 0.92 dB, so 1.0
    // in tenths. At the higher one 1.05a must fall to 0.85a: by 1.84 dB, so 1.9.
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long higher = pass.moments().get(0).peakFrame();
    long first = pass.moments().get(1).peakFrame();
    long third = pass.moments().get(2).peakFrame();
    try (WhatIf now = atLine(stems, pass)) {
      Advice here = advise(pass, now, TRIMS, List.of(first)).get(0);
      assertEquals(10, tenthsDb(here.marks().get(0)));
      assertEquals(1, here.places());

      Advice all = advise(pass, now, TRIMS, List.of(first, higher, third)).get(0);
      assertEquals(
          List.of(first, higher, third), all.marks().stream().map(Mark::momentFrame).toList());
      assertEquals(List.of(19, 19, 19), all.marks().stream().map(AdvisorTest::tenthsDb).toList());
      assertTrue(all.clearsAll());
      assertEquals(3, all.places());
      assertEquals(Gentleness.TRIM, all.gentleness());
      double lower = pass.moments().get(1).peak() / 2;
      assertEquals(lower * (1 + Math.pow(10, -1.9 / 20)), all.leftLevel(), 1e-9);
      assertTrue(
          now.withAll(all.marks()).runs().isEmpty(), "taken, the marks do what was said of them");
    }
  }

  @Test
  void aPlaceThatNoAmountClearsIsLeftOutAndCounted() throws IOException {
    // With trims up to 1.5 dB the higher stroke, which needs 1.9, cannot be cleared.
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long higher = pass.moments().get(0).peakFrame();
    long first = pass.moments().get(1).peakFrame();
    long third = pass.moments().get(2).peakFrame();
    PlanOptions options = TRIMS.withLimits(TRIMS.limits().with(15, 2));
    try (WhatIf now = atLine(stems, pass)) {
      Advice all = advise(pass, now, options, List.of(first, higher, third)).get(0);
      assertEquals(List.of(first, third), all.marks().stream().map(Mark::momentFrame).toList());
      assertEquals(10, tenthsDb(all.marks().get(0)));
      assertEquals(2, all.cleared());
      assertEquals(3, all.places());
    }
  }

  @Test
  void aPartialFixIsForTheMomentItselfAlone() throws IOException {
    // Trims of at most 0.5 dB clear none of the three, but win 0.24 dB here.
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long higher = pass.moments().get(0).peakFrame();
    long first = pass.moments().get(1).peakFrame();
    PlanOptions options = TRIMS.withLimits(TRIMS.limits().with(5, 2));
    try (WhatIf now = atLine(stems, pass)) {
      Advice partial = advise(pass, now, options, List.of(first, higher)).get(0);
      assertEquals(List.of(first), partial.marks().stream().map(Mark::momentFrame).toList());
      assertEquals(5, tenthsDb(partial.marks().get(0)));
      assertEquals(0, partial.cleared());
      assertEquals(2, partial.places());
    }
  }

  @Test
  void anAlikeMomentThatIsFineOrClearedIsPassedOver() throws IOException {
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long higher = pass.moments().get(0).peakFrame();
    long first = pass.moments().get(1).peakFrame();
    long third = pass.moments().get(2).peakFrame();
    try (WhatIf now = atLine(stems, pass).with(Mark.fine(higher))) {
      Advice all = advise(pass, now, TRIMS, List.of(first, higher, third)).get(0);
      assertEquals(List.of(first, third), all.marks().stream().map(Mark::momentFrame).toList());
      assertEquals(2, all.places());

      List<Advice> ofFine = advise(pass, now, TRIMS, List.of(higher));
      assertEquals(19, tenthsDb(ofFine.get(0).marks().get(0)), "asked for, it is looked at");
    }
  }

  @Test
  void aMomentThatItsMarksClearedIsJudgedWithoutThem() throws IOException {
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long first = pass.moments().get(1).peakFrame();
    try (WhatIf plain = atLine(stems, pass)) {
      List<Advice> before = advise(pass, plain, TRIMS, List.of(first));
      WhatIf marked = plain.withAll(before.get(1).marks());
      assertEquals(before, advise(pass, marked, TRIMS, List.of(first)));
    }
  }

  @Test
  void aMomentThatIsStillOverIsJudgedWithTheMarksOfItsOtherStems() throws IOException {
    // At the higher stroke one stem trimmed by 1.0 dB leaves 1.05a · (1 + 0.8913) = 1.986a. The
    // other must then fall to 1.9a − 0.9358a = 0.9642a, by 0.74 dB: 0.8 in tenths. The trimmed
    // one's own mark is replaced: 1.9 as before.
    ArrayStems stems = strokesOfTwoStems();
    Pass pass = stems.analyse(Settings.DEFAULT);
    long higher = pass.moments().get(0).peakFrame();
    try (WhatIf plain = atLine(stems, pass)) {
      Trim least = (Trim) advise(pass, plain, TRIMS, List.of(higher)).get(0).marks().get(0).fix();
      WhatIf marked =
          plain.with(Mark.of(higher, new Trim(1, least.startFrame(), least.endFrame(), 10)));
      List<Advice> advice = advise(pass, marked, TRIMS, List.of(higher));
      assertEquals(List.of(2, 1), advice.stream().map(Advice::stem).toList());
      assertEquals(8, tenthsDb(advice.get(0).marks().get(0)));
      assertEquals(19, tenthsDb(advice.get(1).marks().get(0)));
    }
  }

  @Test
  void ofOneMomentTheFirstIsWhatAPlanWouldTakeThere() throws IOException {
    int compared = 0;
    for (long seed = 0; seed < 12; seed++) {
      ArrayStems stems = PlannerTest.band(new Random(seed));
      PeakMode mode = seed % 2 == 0 ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK;
      Pass pass = stems.analyse(Settings.DEFAULT.withMode(mode));
      List<Moment> moments = pass.moments().subList(0, Math.min(6, pass.moments().size()));
      List<MomentFixes> fixes =
          MomentFixes.at(
              pass,
              stems,
              moments,
              PlanOptions.DEFAULT.limits(),
              Set.of(),
              Crew.ALONE,
              Progress.NONE);
      try (WhatIf now = WhatIf.of(pass, stems)) {
        for (int i = 0; i < moments.size(); i++) {
          List<Advice> advice =
              advise(pass, now, PlanOptions.DEFAULT, List.of(moments.get(i).peakFrame()));
          assertEquals(
              fixes.get(i).gentlest().map(Attempt::fix),
              advice.stream().findFirst().map(first -> first.marks().get(0).fix()),
              "seed=" + seed + ", moment=" + i);
          compared += advice.isEmpty() ? 0 : 1;
        }
      }
    }
    assertTrue(compared > 10, "too few moments had a fix: " + compared);
  }
}
