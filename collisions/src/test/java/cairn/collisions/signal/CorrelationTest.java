package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

class CorrelationTest {

  /** The formula of definitions.md, 4, lag by lag and frame by frame. */
  private static double largest(
      double[][] a, int aFrom, double[][] b, int bFrom, int frames, int lagFrames) {
    double largest = 0;
    for (int lag = -lagFrames; lag <= lagFrames; lag++) {
      double product = 0;
      double energyA = 0;
      double energyB = 0;
      for (int c = 0; c < a.length; c++) {
        for (int n = 0; n < frames; n++) {
          double x = at(a[c], aFrom + n);
          double y = at(b[c], bFrom + n + lag);
          product += x * y;
          energyA += x * x;
          energyB += y * y;
        }
      }
      double scale = Math.sqrt(energyA * energyB);
      largest = Math.max(largest, scale > 0 ? Math.abs(product) / scale : 0);
    }
    return largest;
  }

  private static double at(double[] x, int n) {
    return n >= 0 && n < x.length ? x[n] : 0;
  }

  @Test
  void itReachesWhatTheFormulaGivesAndNoMore() {
    Random random = new Random(7);
    for (int round = 0; round < 200; round++) {
      int channels = 1 + random.nextInt(2);
      double[][] a = new double[channels][60];
      double[][] b = new double[channels][60];
      double own = random.nextDouble();
      for (int c = 0; c < channels; c++) {
        for (int n = 0; n < 60; n++) {
          a[c][n] = random.nextGaussian();
          // Loud before, quiet after: energies must not be found by taking away.
          b[c][n] = (n < 20 ? 1e9 : 1) * own * random.nextGaussian();
        }
        System.arraycopy(a[c], 20, b[c], 25, 20);
      }
      int aFrom = random.nextInt(40) - 10;
      int bFrom = random.nextInt(40) - 10;
      int frames = 1 + random.nextInt(40);
      int lag = random.nextInt(12);
      double largest = largest(a, aFrom, b, bFrom, frames, lag);
      String where = "round " + round + ": " + largest;
      if (largest > 1e-6) {
        assertTrue(
            Correlation.reaches(largest * (1 - 1e-9), a, aFrom, b, bFrom, frames, lag), where);
      }
      assertFalse(
          Correlation.reaches(largest * (1 + 1e-9) + 1e-9, a, aFrom, b, bFrom, frames, lag), where);
    }
  }

  @Test
  void theSameSoundTurnedUpsideDownAndLaterIsTheSameSound() {
    double[][] a = {{0, 0, 1, -2, 3, 0, 0, 0}};
    double[][] b = {{0, 0, 0, 0, -0.5, 1, -1.5, 0}};
    assertTrue(Correlation.reaches(0.999_999, a, 2, b, 2, 3, 2));
    assertFalse(Correlation.reaches(0.999_999, a, 2, b, 2, 3, 1));
  }

  @Test
  void silenceIsLikeNothing() {
    assertFalse(Correlation.reaches(1e-300, new double[2][50], 5, new double[2][50], 5, 20, 3));
    double[][] click = {{1}};
    assertFalse(Correlation.reaches(1e-300, click, 0, new double[1][9], 0, 4, 3));
    assertEquals(0, largest(click, 0, new double[1][9], 0, 4, 3));
  }

  @Test
  void spectraGiveTheSameAnswersAsFrameByFrame() {
    Random random = new Random(9);
    for (int round = 0; round < 60; round++) {
      int frames = 1 + random.nextInt(900);
      int lag = random.nextInt(40);
      double[][] a = new double[2][frames];
      double[][] b = new double[2][frames];
      double shared = random.nextDouble();
      int late = random.nextInt(30);
      for (int c = 0; c < 2; c++) {
        for (int n = 0; n < frames; n++) {
          a[c][n] = random.nextGaussian();
          b[c][n] = random.nextGaussian() * (n < frames / 3 ? 1e3 : 1);
          b[c][n] += n >= late ? 2 * shared * a[c][n - late] : 0;
        }
      }
      int from = random.nextInt(frames);
      int to = from + random.nextInt(frames - from + 1);
      Correlator correlator = new Correlator(frames, lag);
      Correlator.Signal signal = correlator.signal(b);
      Correlator.Stretch stretch = correlator.stretch(a, from, to);
      double largest = largest(a, from, b, from, to - from, lag);
      String where = "round " + round + ": " + largest;
      for (double least : new double[] {0.1, 0.3, 0.6, 0.9, largest * (1 - 1e-12)}) {
        if (least > 0) {
          assertEquals(largest >= least, stretch.reaches(least, signal), where);
        }
      }
      assertFalse(stretch.reaches(largest * (1 + 1e-12) + 1e-12, signal), where);
    }
  }

  @Test
  void theTransformIsTheSumThatDefinesIt() {
    for (int size : new int[] {2, 8, 64}) {
      Random random = new Random(size);
      double[] re = random.doubles(size, -1, 1).toArray();
      double[] im = random.doubles(size, -1, 1).toArray();
      double[] gotRe = re.clone();
      double[] gotIm = im.clone();
      new Fourier(size).transform(gotRe, gotIm);
      for (int f = 0; f < size; f++) {
        double sumRe = 0;
        double sumIm = 0;
        for (int n = 0; n < size; n++) {
          double angle = -2 * Math.PI * f * n / size;
          sumRe += re[n] * Math.cos(angle) - im[n] * Math.sin(angle);
          sumIm += re[n] * Math.sin(angle) + im[n] * Math.cos(angle);
        }
        // Rounding of 64 terms of about 1.
        assertEquals(sumRe, gotRe[f], 1e-12);
        assertEquals(sumIm, gotIm[f], 1e-12);
      }
    }
  }

  @Test
  void shapesAreToldApartAsFrameByFrame() {
    Random random = new Random(13);
    int reached = 0;
    for (int round = 0; round < 300; round++) {
      int frames = 1 + random.nextInt(100);
      int lag = random.nextInt(10);
      double[] x = random.doubles(frames, -1, 1).toArray();
      double[] y = random.doubles(frames + 2 * lag, -1, 1).toArray();
      double shared = 4 * random.nextDouble();
      int late = random.nextInt(2 * lag + 1);
      for (int n = 0; n < frames; n++) {
        y[n + late] += shared * x[n];
      }
      double largest = largest(new double[][] {x}, 0, new double[][] {y}, lag, frames, lag);
      ShapeComparer comparer = new ShapeComparer(frames, lag);
      for (double least : new double[] {0.5, 0.9, largest * (1 - 1e-12)}) {
        ShapeComparer.Fixed fixed = comparer.fixed(x);
        ShapeComparer.Moving moving = comparer.moving(y);
        // Later comparisons of one window take another way.
        for (int use = 1; use <= 4; use++) {
          assertEquals(
              largest >= least,
              comparer.reaches(least, fixed, moving),
              "round " + round + ", use " + use + ": " + largest);
        }
        reached += largest >= least ? 1 : 0;
      }
    }
    assertTrue(reached > 300 && reached < 900, "" + reached);
  }
}
