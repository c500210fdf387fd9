package cairn.collisions.fix;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class FixesHereTest {

  private static final int RATE = 48_000;

  /** A bed of a quiet tone keeps the song from being silent elsewhere. */
  private static ArrayStems withBed(double[]... others) {
    ArrayStems stems = new ArrayStems(RATE);
    stems.mono("bed", RATE, n -> 0.05 * Math.sin(2 * Math.PI * n / 480.0));
    for (int k = 0; k < others.length; k++) {
      stems.mono("stem " + (k + 1), others[k]);
    }
    return stems;
  }

  private static double[] impulses(double amplitude, int... frames) {
    double[] x = new double[RATE];
    for (int frame : frames) {
      x[frame] = amplitude;
    }
    return x;
  }

  private static Pass analyse(ArrayStems stems, double line) {
    return stems.analyse(Settings.DEFAULT.withLine(new Line.Level(Decibels.ofAmplitude(line))));
  }

  private static FixesHere highest(ArrayStems stems, Pass pass, FixLimits limits) {
    Session session = stems.session();
    double[][][] y = FixSearchTest.onBus(session, stems);
    FixFinder finder = new FixFinder(session, pass.line(), limits);
    Moment moment = pass.moments().get(0);
    return finder.at(Excerpts.cut(y, y, finder.excerptRange(moment)), moment);
  }

  private static FixesHere highest(ArrayStems stems, double line) {
    return highest(stems, analyse(stems, line), FixLimits.DEFAULT);
  }

  @Test
  void twoImpulsesOnOneFrameArePartedByOneFrameLater() {
    // Frame 24000 is a zero of the bed. 0.4 + 0.3 there; a frame later the bed adds 0.00065.
    FixesHere here = highest(withBed(impulses(0.4, 24_000), impulses(0.3, 24_000)), 0.5);

    Attempt nudge = here.leastNudge(2).orElseThrow();

    assertTrue(nudge.cleared());
    assertEquals(1, ((Nudge) nudge.fix()).frames());
    assertEquals(0.4, nudge.leftLevel(), 1e-12);
    // Rests start at the latest at cell −8 and at the earliest at cell 1; both are 8 cells of 48.
    assertEquals(new Hit(24_000 - 8 * 48 + 192, 24_000 + 48 + 192, false), here.hit(2));
    assertEquals(24_000 - 8 * 48 + 192 - 48, nudge.change().fromFrame());
  }

  @Test
  void theLeastTrimIsTheFirstTenthThatReachesTheLine() {
    // 0.4 + 0.3·10^(−g/20) ≤ 0.5 from g = 20·log10(3) = 9.54 dB on.
    FixesHere here = highest(withBed(impulses(0.4, 24_000), impulses(0.3, 24_000)), 0.5);

    Attempt trim = here.leastTrim(2).orElseThrow();

    assertTrue(trim.cleared());
    assertEquals(96, ((Trim) trim.fix()).tenthsDb());
    assertEquals(0.4 + 0.3 * Math.pow(10, -0.48), trim.leftLevel(), 1e-12);
  }

  @Test
  void withinThreeDecibelsTheTrimIsThePartialOneThatLeavesLeast() {
    ArrayStems stems = withBed(impulses(0.4, 24_000), impulses(0.3, 24_000));
    FixLimits plan = FixLimits.DEFAULT.with(30, 2);
    Attempt trim = highest(stems, analyse(stems, 0.5), plan).leastTrim(2).orElseThrow();

    assertFalse(trim.cleared());
    assertEquals(30, ((Trim) trim.fix()).tenthsDb());
    assertEquals(0.4 + 0.3 * Math.pow(10, -0.15), trim.leftLevel(), 1e-12);
  }

  @Test
  void theLeastClipIsTheHighestTenthThatClears() {
    // 0.3 must come down to 0.1: −20 dBFS.  The factor of −20.0 dB is 0.1 to the last place, and
    // 0.4 + 0.1 is not over the line of 0.5 but for rounding, so one tenth less is right as well.
    FixesHere here = highest(withBed(impulses(0.4, 24_000), impulses(0.3, 24_000)), 0.5);

    Attempt clip = here.leastClip(2).orElseThrow();

    assertTrue(clip.cleared());
    int tenths = ((Clip) clip.fix()).ceilingTenthsDb();
    assertTrue(tenths == -200 || tenths == -201, "" + tenths);
    assertEquals(0.5, clip.leftLevel(), 0.0012);
    assertEquals(new Change(24_000, 24_001, 1, 1, false), clip.change());
  }

  @Test
  void reversingEveryPolarityChangesNoFix() {
    Random random = new Random(5);
    double[] a = new double[RATE];
    double[] b = new double[RATE];
    for (int n = 24_000; n < 26_000; n++) {
      a[n] = 0.5 * Math.exp((24_000 - n) / 300.0) * random.nextDouble();
      b[n] = 0.4 * Math.exp((24_000 - n) / 200.0) * random.nextDouble();
    }
    ArrayStems stems = new ArrayStems(RATE).mono("a", a).mono("b", b);
    ArrayStems reversed =
        new ArrayStems(RATE).mono("a", RATE, n -> -a[(int) n]).mono("b", RATE, n -> -b[(int) n]);
    for (int k = 0; k < 2; k++) {
      assertEquals(highest(stems, 0.45).proposals(k), highest(reversed, 0.45).proposals(k));
    }
  }

  @Test
  void aSilentStemHasNoFix() {
    FixesHere here = highest(withBed(impulses(0.6, 24_000), new double[RATE]), 0.5);
    Proposals none = here.proposals(2);
    assertTrue(none.nudge().isEmpty() && none.trim().isEmpty() && none.clip().isEmpty());
    assertEquals(Judgement.Verdict.NO_USE, here.judge(here.nudge(2, 5)).verdict());
  }

  @Test
  void noNudgePushesSoundOutOfTheFile() {
    // Two frames of silence, then the hit: earlier by two at most.
    FixesHere here = highest(withBed(impulses(0.4, 2), impulses(0.3, 2)), 0.5);
    assertEquals(Judgement.Verdict.CLEARED, here.judge(here.nudge(1, -2)).verdict());
    assertEquals(Judgement.Verdict.PUSHES_OUT, here.judge(here.nudge(1, -3)).verdict());
    assertFalse(here.clears(here.nudge(1, -3)));
    assertTrue(here.clears(here.nudge(1, -2)));
    assertTrue(here.clears(here.nudge(1, 3)));

    int last = RATE - 1;
    FixesHere end = highest(withBed(impulses(0.4, last - 2), impulses(0.3, last - 2)), 0.5);
    assertEquals(Judgement.Verdict.CLEARED, end.judge(end.nudge(1, 2)).verdict());
    assertEquals(Judgement.Verdict.PUSHES_OUT, end.judge(end.nudge(1, 3)).verdict());
    assertEquals(Judgement.Verdict.CLEARED, end.judge(end.nudge(1, -3)).verdict());
  }

  @Test
  void aSustainedHitIsNotNudgedButMayBeByHand() {
    double[] tone = new double[RATE];
    for (int n = 0; n < RATE; n++) {
      tone[n] = 0.3 * Math.cos(2 * Math.PI * (n - 12_000) / 96.0);
    }
    FixesHere here = highest(withBed(tone, impulses(0.3, 12_000)), 0.5);
    assertTrue(here.hit(1).sustained());
    assertTrue(here.leastNudge(1).isEmpty());
    Judgement byHand = here.judge(here.nudge(1, 24));
    assertTrue(byHand.sustained());
    // A quarter of a period: the tone is 0 under the impulse.
    assertEquals(Judgement.Verdict.CLEARED, byHand.verdict());
  }

  @Test
  void aNudgeThatMakesSomethingLouderIsRefusedAndSaysHowMuchAndWhen() {
    // 50 ms after the peak the second stem stands 24 frames before an impulse of the first. Moved
    // there, both make 0.45 + 0.3, over the line and over all within 35 ms.
    double[] second = impulses(0.6, 24_000);
    second[26_376] = 0.3;
    FixesHere here = highest(withBed(impulses(0.45, 24_000, 26_400), second), 0.5);

    Judgement judgement = here.judge(new Nudge(2, 23_800, 27_000, 24));

    assertEquals(Judgement.Verdict.REFUSED, judgement.verdict());
    assertTrue(judgement.isLouder());
    assertEquals(26_400, judgement.louderFrame());
    assertEquals(0.75, judgement.louderLevel(), 1e-9);
    assertEquals(0.5, judgement.louderThan(), 1e-9);
    assertFalse(here.clears(new Nudge(2, 23_800, 27_000, 24)));
    assertTrue(judgement.attempt().isEmpty());
  }

  @Test
  void aNudgeAgainstTheSameSoundCombs() {
    Random random = new Random(11);
    double[] loud = new double[RATE];
    double[] bleed = new double[RATE];
    double[] other = new double[RATE];
    for (int n = 24_000; n < 25_000; n++) {
      double fall = Math.exp((24_000 - n) / 200.0);
      loud[n] = 0.4 * fall * (n == 24_000 ? 1 : 0.5 * random.nextGaussian());
      bleed[n + 100] = 0.4 * loud[n];
      other[n] = 0.3 * fall * (n == 24_000 ? 1 : 0.5 * random.nextGaussian());
    }
    bleed[24_000] = 0.2;
    FixesHere here = highest(withBed(loud, bleed, other), 0.7);

    assertEquals(List.of(2), here.combs(1));
    assertEquals(List.of(1), here.combs(2));
    assertEquals(List.of(), here.combs(3));
    assertEquals(List.of(2), here.judge(here.nudge(1, 1)).combs());
    assertEquals(List.of(), here.judge(here.trim(1, 10)).combs());
  }

  /** Poles at 4 kHz, one after another. */
  private static double[] dull(double[] x, int poles) {
    double keep = Math.exp(-2 * Math.PI * 4_000 / RATE);
    double[] y = x.clone();
    for (int pole = 0; pole < poles; pole++) {
      double last = 0;
      for (int n = 0; n < y.length; n++) {
        last = keep * last + (1 - keep) * y[n];
        y[n] = last;
      }
    }
    return y;
  }

  private static double[] burst(Random random, double size) {
    double[] x = new double[RATE];
    for (int n = 24_000; n < 26_000; n++) {
      x[n] = size * Math.exp((24_000 - n) / 600.0) * random.nextGaussian();
    }
    return x;
  }

  @Test
  void aNudgeAgainstASoundThatSharesAnOctaveCombs() {
    Random random = new Random(12);
    double[] dry = dull(burst(random, 0.4), 1);
    double[] back = dull(dry, 3);
    double[] hiss = burst(random, 0.2);
    double[] dullHiss = dull(hiss, 3);
    double[] apart = burst(random, 0.1);
    for (int n = 0; n < RATE; n++) {
      // Shares what is under 2 kHz, and has a top of its own.
      back[n] = 2 * back[n] + hiss[n] - dullHiss[n];
    }
    dry[24_000] = 0.4;
    back[24_000] = 0.4;
    apart[24_000] = 0.4;
    FixesHere here = highest(withBed(dry, back, apart), 0.7);

    assertEquals(List.of(), here.sameSound(1));
    assertTrue(
        here.bandsAlike(1, 2).stream().anyMatch(band -> band.midHz() == 1_000 && band.isSame()),
        here.bandsAlike(1, 2).toString());
    assertEquals(List.of(2), here.combs(1));
    assertEquals(List.of(2), here.judge(here.nudge(1, 1)).combs());
    assertEquals(List.of(), here.combs(3));
  }

  @Test
  void twoClicksAreNotTheSameSoundForRingingInOneOctave() {
    // Damped tones of 1500 and 2100 Hz that last 1.5 ms: an octave keeps of each little more than
    // its own ringing.
    double[] high = new double[RATE];
    double[] higher = new double[RATE];
    for (int n = 24_000; n < 24_500; n++) {
      double fall = 0.4 * Math.exp((24_000 - n) / 72.0);
      high[n] = fall * Math.cos(2 * Math.PI * 1_500 * (n - 24_000) / RATE);
      higher[n] = fall * Math.cos(2 * Math.PI * 2_100 * (n - 24_000) / RATE);
    }
    FixesHere here = highest(withBed(high, higher), 0.7);

    assertEquals(List.of(), here.sameSound(1));
    assertTrue(
        here.bandsAlike(1, 2).stream().anyMatch(band -> band.isSame() && !band.isSure()),
        here.bandsAlike(1, 2).toString());
    assertEquals(List.of(), here.combs(1));
  }

  @Test
  void aLongMomentIsProposedNoFix() {
    double[] square = new double[RATE];
    for (int n = 24_000; n < 29_000; n++) {
      square[n] = 0.6;
    }
    FixesHere here = highest(withBed(square), 0.5);
    Proposals none = here.proposals(1);
    assertTrue(none.nudge().isEmpty() && none.trim().isEmpty() && none.clip().isEmpty());
    assertEquals(Judgement.Verdict.CLEARED, here.judge(here.trim(1, 30)).verdict());
  }

  @Test
  void aFixThatTheExcerptDoesNotHoldIsNotJudged() {
    FixesHere here = highest(withBed(impulses(0.4, 24_000), impulses(0.3, 24_000)), 0.5);
    assertThrows(IllegalArgumentException.class, () -> here.judge(new Trim(1, 0, 40_000, 10)));
  }

  @Test
  void whatIsLeftIsTheBusSummedAfreshToTheLastBit() {
    // Values whose sums depend on their order.
    ArrayStems stems = new ArrayStems(RATE);
    Random random = new Random(2);
    for (int k = 0; k < 9; k++) {
      double[] x = new double[RATE];
      for (int n = 24_000; n < 24_400; n++) {
        x[n] = (random.nextDouble() - 0.3) * Math.exp((24_000 - n) / 60.0) / (k + 1);
      }
      stems.mono("stem " + k, x);
    }
    double peak = stems.analyse(Settings.DEFAULT).peak();
    Pass pass = analyse(stems, 0.8 * peak);
    double[][][] y = FixSearchTest.onBus(stems.session(), stems);
    FixesHere here = highest(stems, pass, FixLimits.DEFAULT);
    Moment moment = pass.moments().get(0);
    int tried = 0;
    for (int k = 0; k < 9; k++) {
      for (int d : new int[] {-40, -7, 3, 60}) {
        Judgement judgement = here.judge(here.nudge(k, d));
        double[][][] changed = y.clone();
        changed[k] = new double[][] {y[k][0].clone(), y[k][1].clone()};
        FixApplier.apply(judgement.fix(), RATE, changed[k], 0, pass.range());
        double left = 0;
        double[] after = Excerpts.levels(changed);
        for (int n = (int) moment.firstOver() - 1_680; n <= moment.lastOver() + 1_680; n++) {
          left = Math.max(left, after[n]);
        }
        assertEquals(left, judgement.leftLevel());
        tried++;
      }
    }
    assertEquals(36, tried);
  }

  @Test
  void overRunAndMomentOfOneFrameAreLookedAtAlike() {
    ArrayStems stems = withBed(impulses(0.4, 24_000), impulses(0.3, 24_000));
    Pass pass = analyse(stems, 0.5);
    double[][][] y = FixSearchTest.onBus(stems.session(), stems);
    FixFinder finder = new FixFinder(stems.session(), pass.line(), FixLimits.DEFAULT);
    OverRun run = new OverRun(24_000, 24_000, 24_000, 0, 0.7, 1, 1, 1, 1);
    Moment moment = pass.moments().get(0);
    assertEquals(finder.excerptRange(moment), finder.excerptRange(run));
    Excerpt excerpt = Excerpts.cut(y, y, finder.excerptRange(run));
    assertEquals(finder.at(excerpt, moment).proposals(1), finder.proposals(excerpt, run, 1));
  }
}
