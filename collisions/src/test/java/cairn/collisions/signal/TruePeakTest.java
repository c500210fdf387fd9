package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.PeakMode;
import cairn.collisions.Vectors;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The filter against ITU-R BS.1770-5, Annex 2, and pruning against no pruning. */
class TruePeakTest {

  private static final Levels INSTANTS = Levels.of(PeakMode.TRUE_PEAK);

  /** The four phases with tap 0 on frame {@code i}, straight from the table. */
  private static double[] phases(double[] x, int i) {
    double[] out = new double[4];
    int tap = 0;
    for (String[] row : Vectors.rows("truepeak-fir.csv")) {
      for (int p = 0; p < 4; p++) {
        int n = i - tap;
        out[p] += n >= 0 && n < x.length ? Double.parseDouble(row[p + 1]) * x[n] : 0;
      }
      tap++;
    }
    assertEquals(12, tap);
    return out;
  }

  @Test
  void thePhasesAreThoseOfTheTable() {
    double[] x = new double[40];
    Random random = new Random(1);
    for (int n = 0; n < x.length; n++) {
      x[n] = random.nextGaussian();
    }
    for (int i = 11; i < x.length; i++) {
      double[] table = phases(x, i);
      assertEquals(table[0], Oversampler.phase0(x, i), 1e-14);
      assertEquals(table[1], Oversampler.phase1(x, i), 1e-14);
      assertEquals(table[2], Oversampler.phase2(x, i), 1e-14);
      assertEquals(table[3], Oversampler.phase3(x, i), 1e-14);
    }
  }

  @Test
  void theGainBoundIsAboveTheLargestSumOfTaps() {
    double[] sum = new double[4];
    for (String[] row : Vectors.rows("truepeak-fir.csv")) {
      for (int p = 0; p < 4; p++) {
        sum[p] += Math.abs(Double.parseDouble(row[p + 1]));
      }
    }
    double largest = Math.max(Math.max(sum[0], sum[1]), Math.max(sum[2], sum[3]));
    assertEquals(16_571.0 / 8_192, largest, "exact");
    assertTrue(Oversampler.GAIN > largest && Oversampler.GAIN < largest * 1.0002);
  }

  private static double highestPhase(double[] x, int i) {
    return Math.max(
        Math.max(Math.abs(Oversampler.phase0(x, i)), Math.abs(Oversampler.phase1(x, i))),
        Math.max(Math.abs(Oversampler.phase2(x, i)), Math.abs(Oversampler.phase3(x, i))));
  }

  @Test
  void theBoundsOfTheOuterTapsAreAboveThoseOfTheTableByLittle() {
    List<String[]> rows = Vectors.rows("truepeak-fir.csv");
    double[] largest = new double[3];
    for (int p = 0; p < 4; p++) {
      // The sample next to the instant: n - 6 in phases 0 and 1, n - 5 in phases 2 and 3.
      int nearest = p < 2 ? 6 : 5;
      double sum = 0;
      double standing = 0;
      double steps = 0;
      for (int tap : new int[] {0, 1, 2, 3, 8, 9, 10, 11}) {
        double weight = Double.parseDouble(rows.get(tap)[p + 1]);
        sum += Math.abs(weight);
        standing += weight;
        steps += Math.abs(weight) * Math.abs(tap - nearest);
      }
      largest[0] = Math.max(largest[0], sum);
      largest[1] = Math.max(largest[1], Math.abs(standing));
      largest[2] = Math.max(largest[2], steps);
    }
    double[] bounds = {Oversampler.OUTER, Oversampler.OUTER_SUM, Oversampler.OUTER_STEPS};
    for (int i = 0; i < 3; i++) {
      assertTrue(bounds[i] > largest[i] * 1.0001 && bounds[i] < largest[i] * 1.002, "bound " + i);
    }
  }

  @Test
  void fourInnerTapsAndTheBoundOfTheOthersRuleOutNothingThatIsAbove() {
    Random random = new Random(8);
    double[] x = new double[40];
    int ruledOut = 0;
    for (int round = 0; round < 20_000; round++) {
      // From smooth to rough, so that either bound of the outer taps is the smaller one.
      double rough = Math.pow(10, -4 * random.nextDouble());
      double frequency = random.nextDouble();
      for (int n = 0; n < x.length; n++) {
        x[n] = Math.sin(frequency * n + round) + rough * random.nextGaussian();
      }
      double level = random.nextDouble() * 1.5;
      for (int i = 11; i < 40; i++) {
        double inner = level - Oversampler.outer(x, i - 11, i + 1);
        double of01 =
            Math.max(Math.abs(Oversampler.phase0(x, i)), Math.abs(Oversampler.phase1(x, i)));
        double of23 =
            Math.max(Math.abs(Oversampler.phase2(x, i)), Math.abs(Oversampler.phase3(x, i)));
        if (!Oversampler.inner01(x, i, inner)) {
          assertTrue(of01 <= level, "round " + round + ", phases 0 and 1");
          ruledOut++;
        }
        if (!Oversampler.inner23(x, i, inner)) {
          assertTrue(of23 <= level, "round " + round + ", phases 2 and 3");
          ruledOut++;
        }
      }
    }
    assertTrue(ruledOut > 20_000, "ruled out: " + ruledOut);
  }

  private static double meter(double[] left, double[] right, int piece) {
    TruePeakMeter meter = new TruePeakMeter();
    meter.begin();
    for (int at = 0; at < left.length; at += piece) {
      meter.feed(left, right, at, Math.min(left.length, at + piece));
    }
    meter.finish();
    return meter.peak();
  }

  @Test
  void pruningAndPiecesChangeNotABit() {
    for (int seed = 1; seed <= 40; seed++) {
      Random random = new Random(seed);
      int frames = 1 + random.nextInt(3_000);
      double[] left = new double[frames];
      double[] right = new double[frames];
      for (int n = 0; n < frames; n++) {
        // Levels that swing across the bound, so that chunks are passed over and not.
        double level = Math.pow(10, -1.2 * (1 + Math.sin(n / 90.0)));
        left[n] = level * random.nextGaussian();
        // Every other song a low tone, whose steps are small.
        right[n] = seed % 2 == 0 ? level * random.nextGaussian() : level * Math.sin(n / 20.0);
      }
      double expected = 0;
      for (double[] x : new double[][] {left, right}) {
        double[] padded = new double[frames + 22];
        System.arraycopy(x, 0, padded, 11, frames);
        expected = Math.max(expected, Block.peak(x, 0, frames));
        double ofInstants = 0;
        for (int i = 11; i < padded.length; i++) {
          expected = Math.max(expected, highestPhase(padded, i));
        }
        for (int i = 6; i < padded.length - 6; i++) {
          for (int eighths : new int[] {-3, -1, 0, 1, 3}) {
            ofInstants = Math.max(ofInstants, Math.abs(INSTANTS.at(padded, i, eighths)));
          }
        }
        assertEquals(ofInstants, INSTANTS.peak(padded, 6, padded.length - 6, 0), "seed " + seed);
      }
      for (int piece : new int[] {1, 5, 11, 255, 256, 1_000, frames}) {
        assertEquals(expected, meter(left, right, piece), "seed " + seed + ", piece " + piece);
      }
    }
  }

  @Test
  void aLoneSampleReadsItself() {
    // No phase passes a sample through: the filter alone would read 0.9722, -0.245 dBTP.
    double[] x = new double[100];
    x[50] = -1;
    assertEquals(1, meter(x, new double[100], 64));
  }

  @Test
  void aPeakBetweenTheLastFramesIsSeen() {
    // A quarter of the rate at 45 degrees: samples at 0.707, waves at 1; only the last two samples
    // are there, so phase 1 or 2 after them shows them best. Worked out from the table.
    double[] x = new double[12];
    x[10] = 0.7;
    x[11] = 0.7;
    double expected = 0.7;
    for (int i = 0; i < 12 + 11; i++) {
      for (double value : phases(x, i)) {
        expected = Math.max(expected, Math.abs(value));
      }
    }
    assertTrue(expected > 0.8, "between them: " + expected);
    assertEquals(expected, meter(x, x, 12), 1e-15);
  }

  @Test
  void anIdealOversamplerWouldUnderReadByNoMoreThanTheTable() {
    // ITU-R BS.1770-5, Annex 2, Attachment 1: 20·log10 cos(π·f/n) for n-fold oversampling.
    for (String[] row : Vectors.rows("truepeak-underread.csv")) {
      double n = Double.parseDouble(row[0]);
      for (int i = 0; i < 2; i++) {
        double norm = i == 0 ? 0.45 : 0.5;
        double underRead = -20 * Math.log10(Math.cos(Math.PI * norm / n));
        assertEquals(Double.parseDouble(row[1 + i]), underRead, 0.0006);
      }
    }
    // Our filter up to 0.25 fs, at any phase: at most 0.3 dB under, the ideal 0.17 and the ripple
    // of phases that the recommendation's own coefficients have.
    for (double norm : new double[] {1 / 48.0, 1 / 12.0, 1 / 8.0, 1 / 6.0, 0.25}) {
      double worst = 0;
      for (int phase = 0; phase < 64; phase++) {
        double[] sine = new double[480];
        for (int n = 0; n < sine.length; n++) {
          double fade = Math.min(1, Math.min(n, sine.length - 1 - n) / 100.0);
          sine[n] = fade * Math.sin(2 * Math.PI * (norm * n + phase / 64.0));
        }
        worst = Math.max(worst, -20 * Math.log10(meter(sine, sine, 480)));
      }
      assertTrue(worst < 0.3, norm + ": " + worst);
    }
  }
}
