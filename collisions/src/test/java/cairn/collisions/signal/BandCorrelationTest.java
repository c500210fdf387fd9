package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.signal.BandCorrelation.Band;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Pairs whose likeness and lag are known since they are made so. */
class BandCorrelationTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 4_000;
  private static final int FROM = 1_000;
  private static final int TO = 3_000;
  private static final int LAG = 40;

  private static double[][] noise(long seed) {
    Random random = new Random(seed);
    double[][] x = new double[2][FRAMES];
    for (int n = 0; n < FRAMES; n++) {
      x[0][n] = random.nextGaussian();
      x[1][n] = random.nextGaussian();
    }
    return x;
  }

  private static double[][] delayed(double[][] x, int frames, double factor) {
    double[][] y = new double[2][FRAMES];
    for (int c = 0; c < 2; c++) {
      for (int n = Math.max(0, frames); n < Math.min(FRAMES, FRAMES + frames); n++) {
        y[c][n] = factor * x[c][n - frames];
      }
    }
    return y;
  }

  /** Two poles at 1 − 2π·100/8000 each: what lies over 100 Hz falls by 12 dB an octave. */
  private static double[][] lowPassed(double[][] x) {
    double[][] y = new double[2][FRAMES];
    double keep = Math.exp(-2 * Math.PI * 100 / RATE);
    for (int c = 0; c < 2; c++) {
      double one = 0;
      double two = 0;
      for (int n = 0; n < FRAMES; n++) {
        one = keep * one + (1 - keep) * x[c][n];
        two = keep * two + (1 - keep) * one;
        y[c][n] = two;
      }
    }
    return y;
  }

  private static List<Band> of(double[][] a, double[][] b) {
    return BandCorrelation.of(a, b, FROM, TO, LAG, RATE);
  }

  @Test
  void aCopyIsOneInEveryBandAtNoLagAndItsInverseMinusOne() {
    double[][] a = noise(1);
    for (double factor : new double[] {0.3, -2}) {
      List<Band> bands = of(a, delayed(a, 0, factor));
      // White noise has 3 dB more in each band, of the one at 4 kHz the lower half of its octave
      // is there: those within 10 dB of the one at 2 kHz.
      assertEquals(List.of(250, 500, 1000, 2000, 4000), bands.stream().map(Band::midHz).toList());
      for (Band band : bands) {
        // Cutting the copy at other frames than the stretch lets its edges ring in.
        assertEquals(Math.signum(factor), band.correlation(), 0.05, band.toString());
        assertEquals(0, band.lagFrames());
      }
    }
  }

  @Test
  void aDelayedCopyIsFoundAtItsDelay() {
    double[][] a = noise(2);
    for (int delay : new int[] {-40, -7, 3, 25}) {
      for (Band band : of(a, delayed(a, delay, 0.5))) {
        assertTrue(band.correlation() > 0.9, band.toString());
        assertEquals(delay, band.lagFrames());
      }
    }
  }

  @Test
  void aFilteredCopyWithNoiseOnTopIsTheSameSoundOnlyWhereTheFilterLetsItThrough() {
    double[][] own = noise(3);
    double[][] low = lowPassed(own);
    double[][] other = noise(4);
    double[][] b = new double[2][FRAMES];
    for (int c = 0; c < 2; c++) {
      for (int n = 0; n < FRAMES; n++) {
        b[c][n] = low[c][n] + 0.02 * other[c][n];
      }
    }
    List<Band> bands = of(low, b);
    assertEquals(63, bands.get(0).midHz());
    assertTrue(bands.get(0).correlation() > 0.95, bands.toString());
    // White noise at a fiftieth lies far over what is left of the low sound at 2 kHz: 200 times
    // down there, 12 dB for each of 4.3 octaves.
    Band high = of(own, b).stream().filter(band -> band.midHz() == 2000).findFirst().orElseThrow();
    assertTrue(Math.abs(high.correlation()) < 0.5, high.toString());
  }

  @Test
  void independentNoiseIsUnlikeInAllItsBands() {
    // 2000 frames of two channels in a band of 177 to 355 Hz: 2·178 Hz·0.25 s·2 = 178 free values,
    // so that chance makes 0.075 in the middle, and four times that at the best of 81 lags.
    for (Band band : of(noise(5), noise(6))) {
      assertTrue(Math.abs(band.correlation()) < 0.35, band.toString());
    }
  }

  @Test
  void freeValuesAreTwiceTheWidthForAsLongAsTheSoundLasts() {
    // Steady noise in both channels alike: 2 · 0.705 · mid-band · the stretch.
    double[][] steady = noise(8);
    steady[1] = steady[0];
    for (Band band : of(steady, noise(9))) {
      double expected = 2 * 0.7046 * band.midHz() * (TO - FROM) / RATE;
      assertEquals(1, band.freeValues() / expected, 0.25, band.toString());
    }
    // A click rings as long as the band is narrow: 1 / width, so about two values, by noise's
    // reckoning up to three times as many.
    double[][] click = new double[2][FRAMES];
    click[0][(FROM + TO) / 2] = 1;
    for (Band band : of(click, noise(9))) {
      // Of the band at 4 kHz only the lower half is there, so it rings for twice as long.
      double most = band.midHz() == 4_000 ? 16 : 8;
      assertTrue(band.freeValues() > 1 && band.freeValues() < most, band.toString());
      assertFalse(band.isSure(), band.toString());
    }
  }

  @Test
  void silenceIsLikeNothing() {
    assertEquals(List.of(), of(new double[2][FRAMES], noise(7)));
    for (Band band : of(noise(7), new double[2][FRAMES])) {
      assertEquals(0, band.correlation());
    }
    assertEquals(List.of(), BandCorrelation.of(noise(7), noise(7), 5, 5, LAG, RATE));
  }
}
