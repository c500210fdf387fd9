package cairn.collisions.loudness;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.TimeRange;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The same hops for any pieces and any split; segments change nothing that can be seen. */
class HopMeterTest {

  private static double[] noise(int frames, long seed) {
    Random random = new Random(seed);
    double[] x = new double[frames];
    for (int n = 0; n < frames; n++) {
      // A loud part, a quiet one, and an offset that a high-pass has to forget.
      double level = n < frames / 3 ? 0.9 : n < frames / 2 ? 1e-4 : 0.3;
      x[n] = level * random.nextGaussian() + 0.1;
    }
    return x;
  }

  private static HopPlan plan(int rate, int perSecond, int frames) {
    // Starts that fall into the middle of a hop, and the last segment shorter than a warm-up.
    return new HopPlan(
        rate,
        perSecond,
        new HopPlan.SegmentEdges(
            0, rate * 2L + 7, rate * 3L + 1, rate * 5L + rate / 3, frames - 50, frames));
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 11_025, 22_050, 44_100})
  void piecesAndSplitsChangeNotABit(int rate) {
    int frames = 6 * rate + 123;
    double[] left = noise(frames, rate);
    double[] right = noise(frames, rate + 1);
    for (int perSecond : new int[] {HopPlan.FINE, HopPlan.COARSE}) {
      HopPlan plan = plan(rate, perSecond, frames);
      double[] expected = Meters.hops(plan, left, right, frames).energies();
      for (int piece : new int[] {1, 7, 480, 4_096}) {
        assertArrayEquals(expected, Meters.hops(plan, left, right, piece).energies());
      }
      for (int split = 1; split < plan.edges().segments(); split++) {
        HopMeter.Energies energies = new HopMeter.Energies(plan);
        HopMeter meter = new HopMeter(energies);
        // The later part first, as threads may.
        meter.begin(split, plan.edges().segments());
        meter.feed(left, right, (int) plan.startFrame(split), frames);
        meter.finish();
        meter.begin(0, split);
        meter.feed(left, right, 0, (int) plan.edges().frame(split));
        meter.finish();
        assertArrayEquals(expected, energies.hops().energies(), "split at " + split);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 48_000})
  void segmentsReadAsOneRunOfTheFilterDoes(int rate) {
    int frames = 6 * rate + 123;
    double[] left = noise(frames, 5);
    double[] right = noise(frames, 6);
    double[] cut = Meters.hops(plan(rate, HopPlan.FINE, frames), left, right, 4_096).energies();
    double[] run = Meters.fine(rate, left, right).energies();
    assertEquals(run.length, cut.length);
    for (int h = 0; h < run.length; h++) {
      // Relative to a hop at full scale: the sums of a hop that is cut come in two parts, and after
      // a loud part what the filter left behind is rounding alone.
      assertEquals(run[h], cut[h], 1e-14 * rate / 50, "hop " + h);
    }
  }

  /** ITU-R BS.1770-5, Annex 1, Figures 3 and 4: each stage a difference equation of its own. */
  private static double[] weighted(double[] x, KWeighting k) {
    double[] v = new double[x.length];
    double[] y = new double[x.length];
    for (int n = 0; n < x.length; n++) {
      double x1 = n < 1 ? 0 : x[n - 1];
      double x2 = n < 2 ? 0 : x[n - 2];
      double v1 = n < 1 ? 0 : v[n - 1];
      double v2 = n < 2 ? 0 : v[n - 2];
      double y1 = n < 1 ? 0 : y[n - 1];
      double y2 = n < 2 ? 0 : y[n - 2];
      v[n] = k.b0() * x[n] + k.b1() * x1 + k.b2() * x2 - k.a1() * v1 - k.a2() * v2;
      y[n] = v[n] - 2 * v1 + v2 - k.highPassA1() * y1 - k.highPassA2() * y2;
    }
    return y;
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 48_000, 96_000, 384_000})
  void energiesAreThoseOfTheDifferenceEquations(int rate) {
    int frames = rate;
    double[] left = noise(frames, 11);
    double[] right = noise(frames, 12);
    KWeighting k = KWeighting.at(rate);
    for (double[] other : new double[][] {right, left}) {
      double[] a = weighted(left, k);
      double[] b = weighted(other, k);
      double[] hops = Meters.fine(rate, left, other).energies();
      assertEquals(100, hops.length);
      for (int h = 0; h < 100; h++) {
        double energy = 0;
        for (int n = h * rate / 100; n < (h + 1) * rate / 100; n++) {
          energy += a[n] * a[n] + b[n] * b[n];
        }
        // 1e-7 of a hop is 4e-7 LU; at 384 kHz the poles of the high-pass are 4e-4 from 1, and
        // roundings of the direct form, 1.1e-16 of the offset, grow by up to the square of that.
        assertEquals(energy, hops[h], 1e-7 * energy, "hop " + h);
      }
    }
  }

  @Test
  void anEnergyThatIsNotWeightedIsThatOfTheSamples() {
    int rate = 8_000;
    double[] x = noise(6 * rate, 9);
    HopMeter.Energies energies = new HopMeter.Energies(plan(rate, HopPlan.COARSE, x.length));
    HopMeter meter = new HopMeter(energies);
    meter.begin(0, 5);
    meter.feed(x, x, 0, x.length);
    meter.finish();
    double sum = 0;
    for (double value : x) {
      sum += 2 * value * value;
    }
    assertEquals(sum, energies.plainEnergy(), 1e-9 * sum);
  }

  @Test
  void silenceIsPassedOverWithTheSameResult() {
    int rate = 8_000;
    double[] x = noise(rate, 3);
    HopPlan plan = HopPlan.whole(rate, HopPlan.FINE, 6L * rate);
    double[] padded = new double[6 * rate];
    System.arraycopy(x, 0, padded, rate, rate);
    double[] expected = Meters.hops(plan, padded, padded, 512).energies();
    HopMeter.Energies energies = new HopMeter.Energies(plan);
    HopMeter meter = new HopMeter(energies);
    meter.begin(0, 1);
    meter.feedSilence(rate);
    meter.feed(x, x, 0, rate);
    meter.feedSilence(4 * rate);
    meter.finish();
    assertArrayEquals(expected, energies.hops().energies());
    assertEquals(0, expected[expected.length - 1], "the echo has been put to rest");
  }

  @Test
  void loudnessOfASectionIsThatOfItsWholeHops() {
    int rate = 8_000;
    // -20 dBFS for 5 s, then -40: K-weighted alike, so 20 LU apart.
    double[] x = new double[10 * rate];
    for (int n = 0; n < x.length; n++) {
      x[n] = (n < 5 * rate ? 0.1 : 0.01) * Math.sin(2 * Math.PI * 500 * n / rate);
    }
    Hops hops = Meters.fine(rate, x, x);
    double loud = Loudness.of(hops, new TimeRange(0, 5L * rate)).integratedLufs().orElseThrow();
    double quiet =
        Loudness.of(hops, new TimeRange(6L * rate - 3, 10L * rate)).integratedLufs().orElseThrow();
    assertEquals(20, loud - quiet, 0.01);
    assertEquals(loud, Loudness.of(hops).integratedLufs().orElseThrow(), 0.3, "the gate");
  }

  @Test
  void whatIsTooShortOrBelowTheGateIsNotMeasurable() {
    int rate = 48_000;
    double[] soft = new double[5 * rate];
    for (int n = 0; n < soft.length; n++) {
      soft[n] = 1e-4 * Math.sin(2 * Math.PI * 1000 * n / rate);
    }
    Loudness below = Loudness.of(Meters.fine(rate, soft, soft));
    assertEquals(true, below.isLongEnough());
    assertEquals(true, below.integratedLufs().isEmpty(), "-80 LUFS");
    assertEquals(true, below.rangeLu().isEmpty());
    assertEquals(-80, below.maxMomentaryLufs().orElseThrow(), 0.01, "has no gate");
    double[] brief = new double[rate * 4 / 10 - 1];
    Loudness tooShort = Loudness.of(Meters.fine(rate, brief, brief));
    assertEquals(false, tooShort.isLongEnough());
    assertEquals(true, tooShort.integratedLufs().isEmpty());
    assertEquals(true, tooShort.maxMomentaryLufs().isEmpty());
    assertEquals(true, tooShort.maxShortTermLufs().isEmpty());
  }
}
