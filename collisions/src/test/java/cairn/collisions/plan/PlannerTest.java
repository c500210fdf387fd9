package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import cairn.collisions.SlowInstants;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executors;
import java.util.function.LongToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class PlannerTest {

  private static final int RATE = 8_000;

  private static Plan plan(ArrayStems stems, Pass pass, Marks taken, PlanOptions options) {
    try {
      return new Planner(pass, stems, Crew.ALONE, Progress.NONE).plan(taken, options);
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  private static Plan plan(ArrayStems stems, PlanOptions options) {
    return plan(stems, stems.analyse(Settings.DEFAULT), Marks.NONE, options);
  }

  /** On a bed of single samples every fix changes the tone: here that is not looked at. */
  private static PlanOptions only(Fix.Kind kind) {
    return PlanOptions.DEFAULT.withKinds(EnumSet.of(kind)).withDearOver(60);
  }

  @Test
  void aDearFixIsTakenOnlyWhereNoOtherClears() {
    // A click of one sample stands on the crest of a stroke of 125 Hz, frame 12315. The least trim
    // of the stroke clears and takes as much from its octave, 0.3 dB; one of the click takes
    // nothing from that band, and its own bands are 30 dB and more under it.
    ArrayStems stems =
        bed(0.1)
            .mono(
                "surdo",
                40_000,
                n ->
                    n < 12_300 || n >= 13_800
                        ? 0
                        : 0.4
                            * Math.exp(-(n - 12_300) / 200.0)
                            * Math.sin(2 * Math.PI * (n - 12_299) / 64))
            .mono("caixa", 40_000, n -> n == 12_315 ? 0.05 : 0);
    PlanOptions slight =
        PlanOptions.DEFAULT
            .withTarget(new PlanOptions.Target.Win(0.2))
            .withKinds(EnumSet.of(Fix.Kind.TRIM));

    PlannedFix free = plan(stems, slight.withDearOver(60)).fixes().get(0);
    assertEquals(1, free.stem());
    assertEquals(((Trim) free.fix()).db(), free.toneCostDb(), 0.02);
    assertFalse(free.isDear());

    PlannedFix strict = plan(stems, slight.withDearOver(0.1)).fixes().get(0);
    assertEquals(2, strict.stem());
    assertFalse(strict.isDear());
    assertTrue(strict.toneCostDb() <= 0.1, strict.toString());

    PlannedFix last = plan(stems, slight.withDearOver(0.1).withLeftAlone(Set.of(2))).fixes().get(0);
    assertEquals(1, last.stem());
    assertTrue(last.isDear() && last.cleared());
    assertTrue(last.why().endsWith("; dear: it changes the tone by 0.3 dB, so listen"), last.why());
  }

  /** A decaying stroke at each of the frames. */
  private static LongToDoubleFunction strokes(double size, double waveFrames, long... at) {
    return n -> {
      double sum = 0;
      for (long hit : at) {
        if (n >= hit && n < hit + 600) {
          double i = n - hit;
          sum += size * Math.exp(-i / 60) * Math.sin(2 * Math.PI * (i + 1) / waveFrames);
        }
      }
      return sum;
    };
  }

  @Test
  void aCollisionOfImpulsesIsClearedByTheShortestClipOfTheFirstStem() {
    // Ten windows; A = (9 · 0.25 + 0.60) / 10 = 0.285, T = A · 10^(1/20) = 0.319773. A lobe of one
    // sample is the gentlest class that clears: a trim of 1 dB leaves 0.567. The other stem keeps
    // its 0.30, so the ceiling must be under 0.019773, that is −34.08 dBFS: −34.1 in tenths.
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("bed", 40_000, n -> n % 4_000 == 2_000 ? 0.25 : 0)
            .mono("caixa", 40_000, n -> n == 12_300 ? 0.30 : 0)
            .mono("surdo", 40_000, n -> n == 12_300 ? 0.30 : 0);

    Plan plan = plan(stems, PlanOptions.DEFAULT);

    assertEquals(1, plan.moments());
    assertEquals(1, plan.cleared());
    assertEquals(List.of(Mark.of(12_300, new Clip(1, 12_300, 12_301, -341))), plan.marks());
    assertEquals(0.60, plan.peakBefore(), 1e-12);
    assertEquals(0.30 + Math.pow(10, -34.1 / 20), plan.peakAfter(), 1e-12);
    assertEquals(Gentleness.SHORT_CLIP, plan.fixes().get(0).gentleness());
    assertEquals(1, plan.alteredFrames());
    assertEquals(1.0 / RATE, plan.alteredSeconds(), 1e-15);
    assertEquals(1.0 / (3 * 40_000), plan.alteredShare(), 1e-15);
  }

  /** A bed of one sample in every window, so that the average peak is known, and some stems. */
  private static ArrayStems bed(double level) {
    return new ArrayStems(RATE).mono("bed", 40_000, n -> n % 4_000 == 2_000 ? level : 0);
  }

  @Test
  void oneAmountServesAllMomentsThatAreAlike() {
    // The same two strokes at the same distance, four times: one nudge in four places.
    long[] hits = {6_300, 14_300, 22_300, 30_300};
    ArrayStems stems =
        bed(0.1)
            .mono("caixa", 40_000, strokes(0.4, 64, hits))
            .mono("surdo", 40_000, strokes(0.4, 64, hits));

    Plan plan = plan(stems, only(Fix.Kind.TRIM).withTarget(new PlanOptions.Target.Win(1)));

    // Both stems add a to the peak of 2a: one of them must fall to 2a · 10^(−1/20) − a = 0.7825 a,
    // that is by 2.13 dB: 2.2 in tenths.
    assertEquals(4, plan.moments());
    assertEquals(4, plan.cleared());
    assertEquals(1, plan.fixes().size());
    assertEquals(4, plan.places());
    for (Mark.OfFix mark : plan.marks()) {
      assertEquals(1, mark.fix().stem());
      assertEquals(22, assertInstanceOf(Trim.class, mark.fix()).tenthsDb());
    }
    assertEquals(plan.peakBefore() * (1 + Math.pow(10, -2.2 / 20)) / 2, plan.peakAfter(), 1e-12);
    assertEquals(
        "the gentlest of 2 fixes that clear it: 1.0 dB over the line here; the same clears 3 more"
            + " alike",
        plan.fixes().get(0).why());
  }

  @Test
  void nothingIsPlannedWhereNothingIsOver() {
    ArrayStems stems = bed(0.25).mono("caixa", 40_000, strokes(0.5, 64, 8_000));

    Plan plan =
        plan(stems, PlanOptions.DEFAULT.withTarget(new PlanOptions.Target.At(new Line.Level(0))));

    assertEquals(0, plan.moments());
    assertEquals(List.of(), plan.fixes());
    assertEquals(0, plan.wonDb(), 0);
    assertEquals(0, plan.left());
    assertEquals(List.of(), plan.open());
    assertEquals(List.of(), plan.ladder().rows());
  }

  @Test
  void aLineThatNoFixReachesIsSaidToBeMissedAndByHowMuch() {
    // A lone peak of one stem: within 3 dB of trim nothing can be won beyond 3 dB.
    ArrayStems stems = bed(0.05).mono("surdo", 40_000, strokes(0.9, 64, 8_000));

    Plan plan = plan(stems, only(Fix.Kind.TRIM).withTarget(new PlanOptions.Target.Win(10)));

    assertEquals(0, plan.cleared());
    assertEquals(1, plan.partlyCleared());
    assertEquals(3.0, plan.wonDb(), 1e-9);
    OpenMoment open = plan.open().get(0);
    assertTrue(open.partly());
    assertEquals(OpenMoment.Why.NOT_ENOUGH, open.why());
    assertEquals(plan.peakAfter(), open.level(), 0);
    assertEquals("no further fix within the limits helps: 7.0 dB over the line", open.words());
    assertFalse(plan.fixes().get(0).cleared());
    assertEquals(
        "lowers it by 3.0 dB and leaves 7.00 dB over the line: nothing clears it",
        plan.fixes().get(0).why());
  }

  @Test
  void aMomentOfTwentyStemsOfAFiveHundredthEachHasNoStemToFix() {
    ArrayStems stems = bed(0.1);
    for (int k = 0; k < 20; k++) {
      stems.mono("tamborim " + k, 40_000, n -> n == 9_000 ? 0.03 : 0);
    }

    Plan plan = plan(stems, PlanOptions.DEFAULT);

    assertEquals(1, plan.moments());
    assertEquals(1, plan.left());
    assertEquals(List.of(), plan.fixes());
    assertEquals(OpenMoment.Why.MANY_SMALL, plan.open().get(0).why());
    assertEquals(plan.peakBefore(), plan.peakAfter(), 0);
  }

  @Test
  void aMomentWhoseStemsAreAllLeftAloneIsLeft() {
    ArrayStems stems =
        bed(0.1)
            .mono("lead voice", 40_000, strokes(0.3, 64, 8_000))
            .mono("choir", 40_000, strokes(0.3, 64, 8_000));

    Plan plan = plan(stems, PlanOptions.DEFAULT.withLeftAlone(Set.of(1, 2)));

    assertEquals(List.of(), plan.fixes());
    assertEquals(OpenMoment.Why.LEFT_ALONE, plan.open().get(0).why());
  }

  @Test
  void noFixTouchesAStemThatIsLeftAlone() {
    ArrayStems stems =
        bed(0.1)
            .mono("lead voice", 40_000, strokes(0.3, 64, 8_000))
            .mono("caixa", 40_000, strokes(0.3, 64, 8_000));

    PlanOptions options = PlanOptions.DEFAULT.withTarget(new PlanOptions.Target.Win(1));
    Plan plan = plan(stems, options.withLeftAlone(Set.of(1)));

    assertEquals(1, plan.cleared());
    assertTrue(plan.marks().stream().allMatch(mark -> mark.fix().stem() == 2));
  }

  /** Tones that never rest, one of which swells for a moment. */
  private static ArrayStems sustained() {
    return new ArrayStems(RATE)
        .mono("drone", 40_000, n -> 0.3 * Math.sin(2 * Math.PI * n / 40))
        .mono(
            "reed",
            40_000,
            n -> (n > 8_000 && n < 8_120 ? 0.33 : 0.1) * Math.sin(2 * Math.PI * n / 40));
  }

  @Test
  void whereEveryHitIsSustainedNoNudgeIsPlanned() {
    Plan plan = plan(sustained(), only(Fix.Kind.NUDGE));

    assertEquals(1, plan.left());
    assertEquals(OpenMoment.Why.SUSTAINED, plan.open().get(0).why());
  }

  @Test
  void aSustainedHitIsTrimmedAsALastResort() {
    Plan plan = plan(sustained(), only(Fix.Kind.TRIM).withTarget(new PlanOptions.Target.Win(1)));

    assertEquals(1, plan.cleared());
    assertEquals(Gentleness.SUSTAINED_TRIM, plan.fixes().get(0).gentleness());
    assertTrue(plan.fixes().get(0).why().endsWith("the hit has no quiet edge, so listen"));
  }

  @Test
  void aHitAtTheVeryStartGoesLaterAndOneAtTheVeryEndEarlier() {
    // Sound is not pushed out of the file: at either edge only one way is open. The strokes are
    // turned round at the end, so that the loud part touches the edge.
    LongToDoubleFunction start = strokes(0.4, 16, 0);
    ArrayStems stems =
        bed(0.1)
            .mono("caixa", 40_000, n -> start.applyAsDouble(n) + start.applyAsDouble(39_999 - n))
            .mono("surdo", 40_000, n -> start.applyAsDouble(n) + start.applyAsDouble(39_999 - n));

    Plan plan = plan(stems, only(Fix.Kind.NUDGE).withTarget(new PlanOptions.Target.Win(1)));

    assertEquals(2, plan.moments());
    assertEquals(2, plan.cleared());
    for (Mark.OfFix mark : plan.marks()) {
      Nudge nudge = assertInstanceOf(Nudge.class, mark.fix());
      assertEquals(mark.momentFrame() < 20_000, nudge.frames() > 0, nudge.toString());
    }
  }

  @Test
  void aMomentCalledFineIsPassedOverAndItsPriceIsSaid() {
    // One moment of 0.8 is fine, one of 0.6 is planned for: the peak stays at 0.8 instead of the
    // line, since no other moment is left over it.
    ArrayStems stems =
        bed(0.1)
            .mono("caixa", 40_000, n -> n == 9_000 ? 0.8 : n == 20_000 ? 0.3 : 0)
            .mono("surdo", 40_000, n -> n == 20_000 ? 0.3 : 0);
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-6)));

    Plan plan = plan(stems, pass, Marks.NONE.add(Mark.fine(9_000)), PlanOptions.DEFAULT);

    assertEquals(2, plan.moments());
    assertEquals(1, plan.cleared());
    assertEquals(1, plan.left());
    assertEquals(0.8, plan.peakAfter(), 0);
    assertEquals(OpenMoment.Why.FINE, plan.open().get(0).why());
    assertEquals(20 * Math.log10(0.8) + 6, plan.finePriceDb(), 1e-9);
    assertEquals("fine as it is, by you: 4.1 dB over the line", plan.open().get(0).words());
  }

  @Test
  void longMomentsAreNeverPlanned() {
    // 150 ms at 8 kHz are 1200 frames: over for longer than 100 ms.
    ArrayStems stems =
        bed(0.1)
            .mono("organ", 40_000, n -> n >= 8_000 && n < 9_200 ? (n % 2 == 0 ? 0.5 : -0.5) : 0);

    Plan plan = plan(stems, PlanOptions.DEFAULT);

    assertEquals(List.of(), plan.fixes());
    assertEquals(OpenMoment.Why.LONG, plan.open().get(0).why());
    assertEquals(
        "over for 150 ms: level, not a spike; ride it at the desk", plan.open().get(0).words());
  }

  @Test
  void afterAPlanIsTakenNothingIsLeftToPlan() {
    ArrayStems stems = band(new Random(3));
    Pass pass = stems.analyse(Settings.DEFAULT);
    Plan plan = plan(stems, pass, Marks.NONE, PlanOptions.DEFAULT);
    assertTrue(plan.places() > 0);

    Plan again = plan(stems, pass, Marks.NONE.addAll(plan.marks()), PlanOptions.DEFAULT);

    assertEquals(plan.peakAfter(), again.peakBefore(), 0);
    assertEquals(List.of(), again.marks());
  }

  @Test
  void aMarkThatALaterOneMakesNeedlessIsDropped() {
    // Two moments 50 ms apart (more than 35), and one hit of stem 1 in both. The higher, 0.80, is
    // trimmed first: 1 dB of stem 2's 0.52 leaves 0.7434, under the line of 0.745. At the other,
    // 0.79, 1 dB of the larger 0.40 leaves 0.7464: so the hit is nudged by a sample, later on a
    // tie. That takes its 0.28 from the first moment as well, which is then 0.52 untrimmed.
    ArrayStems stems =
        bed(0.1)
            .mono(
                "caixa",
                40_000,
                n -> n == 9_000 ? 0.28 : n == 9_400 ? 0.40 : n > 9_000 && n < 9_400 ? 0.05 : 0)
            .mono("surdo", 40_000, n -> n == 9_000 ? 0.52 : 0)
            .mono("claps", 40_000, n -> n == 9_400 ? 0.39 : 0);
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(20 * Math.log10(0.745))));

    Plan plan =
        plan(
            stems,
            pass,
            Marks.NONE,
            PlanOptions.DEFAULT.withKinds(EnumSet.of(Fix.Kind.TRIM, Fix.Kind.NUDGE)));

    assertEquals(2, plan.moments());
    assertEquals(2, plan.cleared());
    assertEquals(1, plan.places());
    Mark.OfFix mark = plan.marks().get(0);
    assertEquals(9_400, mark.momentFrame());
    assertEquals(1, mark.fix().stem());
    assertEquals(1, assertInstanceOf(Nudge.class, mark.fix()).frames());
    assertEquals(0.52, plan.peakAfter(), 1e-12);
    assertEquals(0.52, plan.fixes().get(0).peakAfter(), 1e-12);
  }

  /** 0.31, 0.34 with a dip of 0.16 after it, 0.39, at once: samples alone are the same sound. */
  private static Plan ofThreeAtOnce(double line) {
    ArrayStems stems =
        bed(0.1)
            .mono("caixa", 40_000, n -> n == 9_000 ? 0.31 : 0)
            .mono("claps", 40_000, n -> n == 9_000 ? 0.34 : n == 9_001 ? -0.16 : 0)
            .mono("surdo", 40_000, n -> n == 9_000 ? 0.39 : 0);
    Settings settings = Settings.DEFAULT.withLine(new Line.Level(20 * Math.log10(line)));
    EnumSet<Fix.Kind> kinds = EnumSet.of(Fix.Kind.TRIM, Fix.Kind.NUDGE);
    return plan(
        stems,
        stems.analyse(settings),
        Marks.NONE,
        PlanOptions.DEFAULT.withKinds(kinds).withDearOver(60));
  }

  private static List<String> kindsAndStems(Plan plan) {
    return plan.marks().stream()
        .map(mark -> mark.fix().kind() + " of " + mark.fix().stem())
        .toList();
  }

  @Test
  void aMomentThatWouldBeGivenUpIsTriedAgainWithoutWhatItUsed() {
    // Nudges comb here, so they come last; the lowest first, the trims of 3 and 2 leave
    // 0.31 + 0.73 * 0.708 = 0.827, and then a nudge of 2 by a sample at best
    // 0.31 + 0.39 * 0.708 - 0.16 * 0.708 = 0.473. Without the trim of 3 it is 0.496. Without the
    // trim of 2 it clears: 0.70 * 0.708 - 0.16 = 0.336 here and 0.34 a sample before.
    Plan plan = ofThreeAtOnce(0.4);

    assertEquals(List.of("TRIM of 3", "TRIM of 1", "NUDGE of 2"), kindsAndStems(plan));
    assertEquals(1, plan.cleared());
    assertEquals(0.34, plan.peakAfter(), 1e-12);
    assertEquals(List.of(), plan.open());
  }

  @Test
  void whereNoWayClearsAMomentTheFirstStays() {
    Plan plan = ofThreeAtOnce(0.3);

    assertEquals(List.of("TRIM of 3", "TRIM of 2", "TRIM of 1"), kindsAndStems(plan));
    assertEquals(1, plan.partlyCleared());
    assertEquals(1.04 * Math.pow(10, -3 / 20.0), plan.peakAfter(), 1e-12);
    assertEquals(OpenMoment.Why.NOT_ENOUGH, plan.open().get(0).why());
  }

  @Test
  void leastToneCostIsSaidWhereAllOthersThatClearCostMore() throws IOException {
    int said = 0;
    int others = 0;
    for (int seed = 0; seed < 20; seed++) {
      ArrayStems stems = band(new Random(seed));
      Pass pass = stems.analyse(Settings.DEFAULT);
      PlannedFix first = plan(stems, PlanOptions.DEFAULT).fixes().get(0);
      // The other fixes of its moment, each by the search of its own kind alone.
      List<Double> costs = new ArrayList<>();
      try (WhatIf unmarked = WhatIf.of(pass, pass.line(), stems, Crew.ALONE, Progress.NONE)) {
        FixFinder finder = new FixFinder(pass.session(), pass.line(), FixLimits.DEFAULT);
        OverRun run = unmarked.listedAt(first.marks().get(0).momentFrame()).orElseThrow();
        boolean isFirst =
            unmarked.runs().stream().allMatch(other -> other.peak() <= run.peak())
                && first.cleared();
        for (int k = 0; isFirst && k < stems.session().stems().size(); k++) {
          FixesHere here = unmarked.fixes(finder, run);
          for (Optional<Attempt> found :
              List.of(here.leastNudge(k), here.leastTrim(k), here.leastClip(k))) {
            found
                .filter(
                    attempt ->
                        attempt.cleared()
                            && here.share(attempt.fix().stem()) >= Contribution.LEADS_FROM)
                .filter(attempt -> !attempt.fix().equals(first.fix()))
                .ifPresent(attempt -> costs.add(here.toneCostDb(attempt.fix())));
          }
        }
      }
      boolean least =
          !costs.isEmpty()
              && costs.stream()
                  .allMatch(cost -> Math.round(10 * cost) > Math.round(10 * first.toneCostDb()));
      if (!costs.isEmpty() && first.marks().size() == 1) {
        assertEquals(least, first.why().contains("; least tone cost"), seed + " " + first.why());
        said += least ? 1 : 0;
        others += least ? 0 : 1;
      }
    }
    assertTrue(said > 0 && others > 0, said + " of " + (said + others));
  }

  @Test
  void aPlanCanBeCancelled() {
    ArrayStems stems = band(new Random(3));
    Pass pass = stems.analyse(Settings.DEFAULT);
    Progress stop = (step, done, total) -> step != Progress.Step.PLAN;
    assertThrows(
        CancellationException.class,
        () -> new Planner(pass, stems, Crew.ALONE, stop).plan(Marks.NONE, PlanOptions.DEFAULT));
  }

  /** Players who strike now together, now not, and a bed. */
  static ArrayStems band(Random random) {
    ArrayStems stems = bed(0.12);
    for (int k = 0; k < 6; k++) {
      double size = 0.12 + 0.1 * random.nextDouble();
      double wave = 12 + random.nextInt(60);
      long[] hits = new long[9];
      for (int i = 0; i < hits.length; i++) {
        hits[i] = 900 + 4_100L * i + (random.nextInt(3) == 0 ? 1_500 : 0) + random.nextInt(20);
      }
      stems.mono("player " + k, 40_000, strokes(size, wave, hits));
    }
    return stems;
  }

  @Test
  void aPlanIsTheSameForAnyCrew() throws Exception {
    ArrayStems stems = band(new Random(8));
    Pass pass = stems.analyse(Settings.DEFAULT);
    Plan alone = plan(stems, pass, Marks.NONE, PlanOptions.DEFAULT);
    var threads = Executors.newFixedThreadPool(2);
    try {
      Plan shared =
          new Planner(pass, stems, new Crew(threads, 3), Progress.NONE)
              .plan(Marks.NONE, PlanOptions.DEFAULT);
      assertEquals(alone.fixes(), shared.fixes());
      assertEquals(alone.open(), shared.open());
      assertEquals(alone.ladder(), shared.ladder());
    } finally {
      threads.shutdown();
    }
  }

  @ParameterizedTest
  @EnumSource
  void whatAPlanTellsIsWhatItsMarksDo(PeakMode mode) throws IOException {
    for (int seed = 0; seed < 10; seed++) {
      String what = mode + ", seed " + seed;
      ArrayStems stems = band(new Random(seed));
      Pass pass = stems.analyse(Settings.DEFAULT.withMode(mode));
      double winDb = 0.5 + seed % 4;
      Plan plan =
          plan(
              stems,
              pass,
              Marks.NONE,
              PlanOptions.DEFAULT.withTarget(new PlanOptions.Target.Win(winDb)));
      assertEquals(Decibels.ofAmplitude(pass.peak()) - winDb, lineDb(plan), 1e-9, what);
      assertTrue(plan.moments() > 0, what);
      assertTrue(plan.peakAfter() <= plan.peakBefore(), what);
      assertTrue(plan.places() <= 3 * plan.moments(), what);
      assertEquals(plan.moments(), plan.cleared() + plan.partlyCleared() + plan.left(), what);

      try (WhatIf unmarked = WhatIf.of(pass, plan.line(), stems, Crew.ALONE, Progress.NONE)) {
        WhatIf whatIf = unmarked;
        for (PlannedFix fix : plan.fixes()) {
          whatIf = whatIf.withAll(fix.marks());
          assertEquals(fix.peakAfter(), whatIf.peak(), 0, what);
          checkLimits(fix, what);
        }
        assertEquals(plan.peakAfter(), whatIf.peak(), 0, what);
        assertEquals(
            peakDbOfWholeSum(stems, plan.marks(), mode),
            Decibels.ofAmplitude(plan.peakAfter()),
            0.001,
            what);
        assertEquals(plan.alteredFrames(), whatIf.alteredFrames(), what);
        assertEquals(
            whatIf.runs().stream().map(OverRun::peakFrame).toList(),
            plan.open().stream().map(OpenMoment::momentFrame).toList(),
            what);
        for (Mark mark : whatIf.marks().list()) {
          WhatIf.Step without = whatIf.step(whatIf.marks().remove(mark));
          assertTrue(
              without.whatIf().louderThan(whatIf, without.changed()), what + ", needless " + mark);
        }
      }
    }
  }

  /** The fixes put on the whole stems, which are summed and read in the plainest way. */
  private static double peakDbOfWholeSum(ArrayStems stems, List<Mark.OfFix> marks, PeakMode mode) {
    int frames = (int) stems.session().frames();
    double[] bus = new double[frames];
    for (int k = 0; k < stems.session().stems().size(); k++) {
      double[] mono = stems.samples(k)[0];
      double[][] y = {mono.clone(), mono.clone()};
      for (Mark.OfFix mark : marks) {
        if (mark.fix().stem() == k) {
          FixApplier.apply(mark.fix(), RATE, y, 0, new TimeRange(0, frames));
        }
      }
      for (int n = 0; n < frames; n++) {
        bus[n] += y[0][n];
      }
    }
    double peak = 0;
    for (int n = 0; n < frames; n++) {
      double level = mode == PeakMode.TRUE_PEAK ? SlowInstants.level(bus, n) : Math.abs(bus[n]);
      peak = Math.max(peak, level);
    }
    return Decibels.ofAmplitude(peak);
  }

  private static double lineDb(Plan plan) {
    return Decibels.ofAmplitude(plan.line().level(0));
  }

  private static void checkLimits(PlannedFix planned, String what) {
    Fix first = planned.fix();
    for (Mark.OfFix mark : planned.marks()) {
      assertEquals(first.stem(), mark.fix().stem(), what);
      assertEquals(first.kind(), mark.fix().kind(), what);
      if (mark.fix() instanceof Trim trim) {
        assertEquals(((Trim) first).tenthsDb(), trim.tenthsDb(), what);
        assertTrue(trim.tenthsDb() <= 30, what);
      }
      if (mark.fix() instanceof Nudge nudge) {
        assertEquals(((Nudge) first).frames(), nudge.frames(), what);
        assertTrue(Math.abs(nudge.frames()) <= 3 * RATE / 1000, what);
      }
    }
  }

  @Test
  void limitsAndKindsAreKept() {
    ArrayStems stems = band(new Random(4));
    PlanOptions options =
        PlanOptions.DEFAULT
            .withTarget(new PlanOptions.Target.Win(2))
            .withLimits(new FixLimits(1, 15, 0.5))
            .withKinds(EnumSet.of(Fix.Kind.NUDGE, Fix.Kind.TRIM));

    Plan plan = plan(stems, options);

    assertTrue(plan.places() > 0);
    for (Mark.OfFix mark : plan.marks()) {
      if (mark.fix() instanceof Trim trim) {
        assertTrue(trim.tenthsDb() <= 15);
      } else {
        assertTrue(Math.abs(assertInstanceOf(Nudge.class, mark.fix()).frames()) <= 8);
      }
    }
  }

  @Test
  void noDbToWinIsRefused() {
    IllegalArgumentException refused =
        assertThrows(IllegalArgumentException.class, () -> new PlanOptions.Target.Win(0));
    assertEquals("the dB to win must be over 0: headroomDb=0.0", refused.getMessage());
  }
}
