package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.Yokes;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Judgement;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;

/**
 * The oracle is one stem that is the sum of the yoked ones: what a nudge or trim of the group does
 * is what it does to that sum.
 */
class YokedFixesTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 40_000;

  /** Drums with decaying strokes that meet now and then, on a quiet bed. */
  private static double[][] band(Random random, int stems) {
    double[][] x = new double[stems][FRAMES];
    for (int k = 0; k < stems; k++) {
      for (int n = 0; n < FRAMES; n++) {
        x[k][n] = 0.002 * random.nextGaussian();
      }
      for (int hit = 3_000; hit < FRAMES - 1_500; hit += 2_500) {
        double size = 0.1 + 0.25 * random.nextDouble();
        double wave = 20 + random.nextInt(60);
        int at = hit + random.nextInt(12);
        for (int i = 0; i < 900; i++) {
          x[k][at + i] += size * Math.exp(-i / 90.0) * Math.sin(2 * Math.PI * (i + 1) / wave);
        }
      }
    }
    return x;
  }

  private static ArrayStems stems(double[][] x) {
    ArrayStems stems = new ArrayStems(RATE);
    for (int k = 0; k < x.length; k++) {
      stems.mono("stem " + k, x[k]);
    }
    return stems;
  }

  private static Plan plan(ArrayStems stems, Pass pass, PlanOptions options) {
    try {
      return new Planner(pass, stems, Crew.ALONE, Progress.NONE).plan(Marks.NONE, options);
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  @Test
  void whatAGroupDoesIsWhatTheSumOfItsStemsDoes() throws IOException {
    for (PeakMode mode : PeakMode.values()) {
      for (long seed = 0; seed < 3; seed++) {
        double[][] x = band(new Random(seed), 4);
        ArrayStems apart = stems(x);
        Session session = apart.session().withYokes(Yokes.of(List.of(List.of(1, 3))));
        Pass pass = apart.analyse(session, Settings.DEFAULT.withMode(mode));
        double[] sum = new double[FRAMES];
        for (int n = 0; n < FRAMES; n++) {
          sum[n] = x[1][n] + x[3][n];
        }
        ArrayStems together = stems(new double[][] {x[0], sum, x[2]});
        Pass oracle = together.analyse(Settings.DEFAULT.withMode(mode));
        PlanOptions options = PlanOptions.DEFAULT;
        FixFinder finder = new FixFinder(session, pass.line(), options.limits());
        FixFinder plain = new FixFinder(together.session(), oracle.line(), options.limits());
        try (WhatIf yoked = WhatIf.of(pass, apart);
            WhatIf summed = WhatIf.of(oracle, together)) {
          assertEquals(summed.runs().size(), yoked.runs().size());
          for (int i = 0; i < Math.min(6, yoked.runs().size()); i++) {
            FixesHere here = yoked.fixes(finder, yoked.runs().get(i));
            FixesHere there = summed.fixes(plain, summed.runs().get(i));
            String what = mode + " seed " + seed + " moment " + i;
            assertEquals(there.hit(1), here.hit(1), what);
            assertEquals(there.hit(1), here.hit(3), what);
            assertEquals(
                there.leastNudge(1).map(a -> a.fix()), here.leastNudge(1).map(a -> a.fix()), what);
            assertEquals(
                there.leastTrim(1).map(a -> a.fix().on(3)),
                here.leastTrim(3).map(a -> a.fix()),
                what);
            for (Fix fix : List.<Fix>of(here.nudge(1, 5), here.trim(1, 15))) {
              Judgement judged = here.judge(fix);
              assertEquals(there.judge(fix).leftLevel(), judged.leftLevel(), 1e-12, what);
              assertEquals(there.judge(fix).verdict(), judged.verdict(), what);
              assertEquals(there.toneCostDb(fix), here.toneCostDb(fix), 1e-9, what);
              // Told to the bit by the bus that is summed afresh.
              WhatIf after = yoked.with(Mark.of(yoked.runs().get(i).peakFrame(), fix));
              boolean isOver =
                  !after
                      .runsNear(
                          yoked.neighbourhood(yoked.runs().get(i)).firstFrame(),
                          yoked.neighbourhood(yoked.runs().get(i)).endFrame())
                      .isEmpty();
              if (judged.verdict() == Judgement.Verdict.CLEARED) {
                assertFalse(isOver, what);
              } else if (judged.verdict() == Judgement.Verdict.PARTIAL) {
                assertTrue(isOver, what);
              }
            }
          }
        }
      }
    }
  }

  @Test
  void noPlanMovesAYokedStemAlone() throws IOException {
    int moved = 0;
    for (long seed = 10; seed < 14; seed++) {
      double[][] x = band(new Random(seed), 4);
      ArrayStems apart = stems(x);
      Session session = apart.session().withYokes(Yokes.of(List.of(List.of(0, 1, 2))));
      Pass pass = apart.analyse(session, Settings.DEFAULT);
      PlanOptions options = PlanOptions.DEFAULT.withTarget(new PlanOptions.Target.Win(1.5));
      Plan plan = plan(apart, pass, options);
      // The same marks put on every stem by hand must give the same bus.
      Pass unyoked = apart.analyse(Settings.DEFAULT);
      try (WhatIf byHand = WhatIf.of(unyoked, plan.line(), apart, Crew.ALONE, Progress.NONE)) {
        Marks all = Marks.NONE;
        for (Mark.OfFix mark : plan.marks()) {
          for (Fix fix : mark.fix().onAll(session.yokes())) {
            moved += fix.stem() != mark.fix().stem() ? 1 : 0;
            all = all.add(Mark.of(mark.momentFrame(), fix));
          }
        }
        WhatIf after = byHand.to(all);
        assertEquals(plan.peakAfter(), after.peak(), 0, "seed " + seed);
        assertEquals(plan.alteredFrames(), after.alteredFrames(), "seed " + seed);
        assertEquals(
            after.runs().stream().map(OverRun::peakFrame).toList(),
            plan.open().stream().map(OpenMoment::momentFrame).toList());
      }
    }
    assertTrue(moved > 0, "no plan moved a yoked stem");
  }

  @Test
  void aStemLeftAloneHoldsBackItsWholeGroupButForClips() {
    double[][] x = band(new Random(20), 3);
    ArrayStems apart = stems(x);
    Session session = apart.session().withYokes(Yokes.of(List.of(List.of(0, 1, 2))));
    Pass pass = apart.analyse(session, Settings.DEFAULT);
    Plan plan = plan(apart, pass, PlanOptions.DEFAULT.withLeftAlone(Set.of(1)));
    assertTrue(plan.moments() > 0);
    for (Mark.OfFix mark : plan.marks()) {
      assertEquals(Fix.Kind.CLIP, mark.fix().kind());
      assertTrue(mark.fix().stem() != 1);
    }
  }
}
