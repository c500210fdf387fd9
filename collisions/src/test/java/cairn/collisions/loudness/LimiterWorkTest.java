package cairn.collisions.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import org.junit.jupiter.api.Test;

/** The sums of definitions.md, 6, and what engineers expect of them. */
class LimiterWorkTest {

  private static Goal goal(double lufs) {
    return new Goal(lufs, -1, PeakMode.SAMPLE_PEAK, 3, Goal.Part.LOUD);
  }

  @Test
  void theGoalLineIsWhereTheLimiterTakesItsAllowance() {
    // -11.6 to -8 needs 3.6 dB; at a ceiling of -1 and 3 dB allowed the line is -1 + 3 - 3.6.
    LimiterWork work = new LimiterWork(goal(-8), -11.6);
    assertEquals(3.6, work.neededGainDb(), 1e-12);
    assertEquals(-1.6, work.goalLineDb(), 1e-12);
    assertEquals(3.0, work.dbAt(Decibels.toFactor(-1.6)), 1e-12);
    // A bus peak of -0.21 asks 4.39 dB.
    assertEquals(4.39, work.dbAt(Decibels.toFactor(-0.21)), 1e-12);
    assertTrue(work.allows(Decibels.toFactor(-1.61)));
    assertFalse(work.allows(Decibels.toFactor(-1.59)));
  }

  @Test
  void goalsThatMeanNothingAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> goal(Double.NaN));
    assertThrows(
        IllegalArgumentException.class,
        () -> new Goal(-8, -1, PeakMode.SAMPLE_PEAK, -0.1, Goal.Part.LOUD));
    assertThrows(IllegalArgumentException.class, () -> new LimiterWork(goal(-8), Double.NaN));
  }

  private static Pass pass(double spike) {
    // A steady tone with one spike; 35 s at 8 kHz.
    int rate = 8_000;
    return new ArrayStems(rate)
        .mono("horns", 35 * rate, n -> 0.25 * Math.sin(2 * Math.PI * 500 * n / rate))
        .mono("knock", 35 * rate, n -> n == 160_001 ? spike : 0)
        .analyse(Settings.DEFAULT.withGoal(goal(-8), true));
  }

  /** Common practice, no source: mixes are compared at equal peak. */
  @Test
  void atEqualPeakAMixIsLouderByAsMuchAsItsSpikesWereBroughtDown() {
    Pass spiky = pass(0.7);
    Pass tamed = pass(0.3);
    double broughtDown = Decibels.ofAmplitude(spiky.peak()) - Decibels.ofAmplitude(tamed.peak());
    assertTrue(broughtDown > 3, "dB: " + broughtDown);
    double spikyLufs = atFullPeak(spiky);
    double tamedLufs = atFullPeak(tamed);
    // One sample in 35 s hardly counts for loudness.
    assertEquals(broughtDown, tamedLufs - spikyLufs, 0.02);
    // And the limiter is spared as much.
    assertEquals(
        broughtDown,
        spiky.limiter().orElseThrow().dbAt(spiky.peak())
            - tamed.limiter().orElseThrow().dbAt(tamed.peak()),
        0.02);
  }

  private static double atFullPeak(Pass pass) {
    return Loudness.of(pass.loudness().orElseThrow().bus()).integratedLufs().orElseThrow()
        - Decibels.ofAmplitude(pass.peak());
  }

  @Test
  void withAGoalTheLineIsTheGoalLine() {
    Pass pass = pass(0.7);
    LimiterWork work = pass.limiter().orElseThrow();
    assertEquals(work.goalLineDb(), Decibels.ofAmplitude(pass.line().level(0)), 1e-12);
    assertTrue(pass.settings().goalDrawsLine());
    assertEquals(Metering.BUS, pass.settings().metering());
  }
}
