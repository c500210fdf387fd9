package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;

/** Mid-bands and edges: IEC 61260-1:2014, base ten (the table of 04-octave-bands, b = 1). */
class OctavePowersTest {

  private static final int RATE = 48_000;

  private static double[][] both(int frames, IntToDoubleFunction x) {
    double[][] y = new double[2][frames];
    for (int n = 0; n < frames; n++) {
      y[0][n] = x.applyAsDouble(n);
      y[1][n] = y[0][n];
    }
    return y;
  }

  private static IntToDoubleFunction sine(double hz, double amplitude) {
    return n -> amplitude * Math.sin(2 * Math.PI * hz * n / RATE);
  }

  @Test
  void midBandsAreThoseOfTheStandardAndEdgesMeet() {
    double[] exactHz = {63.096, 125.893, 251.189, 501.187, 1000, 1995.262, 3981.072, 7943.282};
    for (int band = 0; band < exactHz.length; band++) {
      assertEquals(exactHz[band], OctaveBands.exactHz(band), 5e-4);
      assertEquals(OctaveBands.upperHz(band), OctaveBands.lowerHz(band + 1), 1e-9);
    }
    assertEquals(15_848.932, OctaveBands.exactHz(8), 5e-4);
    // Edges of the 1 kHz octave: 707.95 and 1412.54 Hz.
    assertEquals(707.946, OctaveBands.lowerHz(4), 5e-4);
    assertEquals(1412.538, OctaveBands.upperHz(4), 5e-4);
  }

  @Test
  void aSineHasHalfItsSquareInItsBandAndNothingElsewhere() {
    OctavePowers meter = new OctavePowers(20_000, RATE);
    for (int band = 0; band < OctaveBands.COUNT; band++) {
      double[] powers = meter.powers(both(20_000, sine(OctaveBands.exactHz(band), 0.5)));
      for (int other = 0; other < OctaveBands.COUNT; other++) {
        // 20 000 frames are 2.4 Hz a bin: a Hann window's skirts are under −100 dB at an edge.
        assertEquals(other == band ? 0.125 : 0, powers[other], 1e-6, band + " in " + other);
      }
    }
  }

  @Test
  void theChannelsCountAsTheirMeanWhateverTheirPhase() {
    double[][] y = both(20_000, sine(1000, 0.5));
    double[] power = new OctavePowers(20_000, RATE).powers(y);
    for (int n = 0; n < 20_000; n++) {
      y[1][n] = -y[1][n];
    }
    assertEquals(power[4], new OctavePowers(20_000, RATE).powers(y)[4], 1e-12);
    y[1] = new double[20_000];
    assertEquals(power[4] / 2, new OctavePowers(20_000, RATE).powers(y)[4], 1e-12);
  }

  @Test
  void whiteNoiseRisesByThreeDecibelsAnOctave() {
    // Exactly 10·log10(10^0.3) = 3 dB a band; 2^18 frames hold some 500 bins in the lowest band
    // used here, so that the spread of a band's power is 4.34·√(1.94/500) = 0.27 dB.
    Random random = new Random(7);
    int frames = 1 << 18;
    double[] powers =
        new OctavePowers(frames, RATE).powers(both(frames, n -> random.nextGaussian()));
    for (int band = 2; band + 1 < OctaveBands.COUNT - 1; band++) {
      double rise = 10 * Math.log10(powers[band + 1] / powers[band]);
      assertEquals(3, rise, band < 5 ? 1.0 : 0.3, "from band " + band);
    }
  }

  @Test
  void aStretchOfAnyLengthIsMeasured() {
    for (int frames : new int[] {1, 2, 3, 1_930, 8_191, 8_192, 8_193}) {
      for (double power : new OctavePowers(frames, RATE).powers(both(frames, n -> 1))) {
        assertTrue(power >= 0 && power < 1.5, frames + " frames: " + power);
      }
    }
  }
}
