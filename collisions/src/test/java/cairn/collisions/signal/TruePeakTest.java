package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Vectors;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The filter against ITU-R BS.1770-5, Annex 2, and pruning against no pruning. */
class TruePeakTest {

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
        right[n] = level * random.nextGaussian();
      }
      double expected = 0;
      for (double[] x : new double[][] {left, right}) {
        double[] padded = new double[frames + 22];
        System.arraycopy(x, 0, padded, 11, frames);
        expected = Math.max(expected, Block.peak(x, 0, frames));
        expected = Oversampler.peak(padded, 11, padded.length, expected);
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
