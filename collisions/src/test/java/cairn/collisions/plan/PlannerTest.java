package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.EnumSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executors;
import java.util.function.LongToDoubleFunction;
import org.junit.jupiter.api.Test;

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

  private static PlanOptions only(Fix.Kind kind) {
    return PlanOptions.DEFAULT.withKinds(EnumSet.of(kind));
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
    assertEquals(
        List.of(Mark.of(12_300, new Clip(1, 12_300, 12_301, -341))), plan.marks());
    assertEquals(0.60, plan.peakBefore(), 1e-12);
    assertEquals(0.30 + Math.pow(10, -34.1 / 20), plan.peakAfter(), 1e-12);
    assertEquals(Gentleness.SHORT_CLIP, plan.fixes().get(0).gentleness());
    assertEquals(1, plan.alteredFrames());
    assertEquals(1.0 / RATE, plan.alteredSeconds(), 1e-15);
    assertEquals(1.0 / (3 * 40_000), plan.alteredShare(), 1e-15);
  }
}
