package cairn.collisions.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Vectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The weighting against ITU-R BS.1770-5, Annex 1, Tables 1 and 2, and its response. */
class KWeightingTest {

  @Test
  void coefficientsAreThoseOfTheTables() {
    int rows = 0;
    for (String[] row : Vectors.rows("kweighting-coefficients.csv")) {
      KWeighting k = KWeighting.at(Integer.parseInt(row[0]));
      double[] ours =
          row[1].equals("1")
              ? new double[] {k.b0(), k.b1(), k.b2(), k.a1(), k.a2()}
              : new double[] {1, -2, 1, k.highPassA1(), k.highPassA2()};
      for (int i = 0; i < 5; i++) {
        // Fourteen decimals are printed.
        assertEquals(Double.parseDouble(row[2 + i]), ours[i], 1e-14, String.join(",", row));
      }
      rows++;
    }
    assertEquals(20, rows);
  }

  /** Gain at a frequency, from the filter's impulse response. */
  private static double gainDb(int rate, double freqHz) {
    int frames = rate / 2;
    double[] response = impulseResponse(rate, frames);
    double re = 0;
    double im = 0;
    for (int n = 0; n < frames; n++) {
      re += response[n] * Math.cos(2 * Math.PI * freqHz * n / rate);
      im -= response[n] * Math.sin(2 * Math.PI * freqHz * n / rate);
    }
    return 10 * Math.log10(re * re + im * im);
  }

  private static double[] impulseResponse(int rate, int frames) {
    KFilter filter = new KFilter(KWeighting.at(rate));
    double[] response = new double[frames];
    double[] impulse = new double[frames];
    impulse[0] = 1;
    double[] silence = new double[frames];
    for (int n = 0; n < frames; n++) {
      // The energy of one frame of one channel is the square of what came out, up to a factor.
      double energy = filter.run(impulse, silence, n, n + 1, 0, 0);
      response[n] = Math.sqrt(filter.energyFactor() * energy);
    }
    return signed(response, rate);
  }

  /** Signs, which the energy has not, from the difference equation itself. */
  private static double[] signed(double[] magnitude, int rate) {
    KWeighting k = KWeighting.at(rate);
    double[] v = new double[magnitude.length];
    double[] y = new double[magnitude.length];
    for (int n = 0; n < y.length; n++) {
      double x = n == 0 ? k.b0() : n == 1 ? k.b1() : n == 2 ? k.b2() : 0;
      v[n] = x - k.a1() * at(v, n - 1) - k.a2() * at(v, n - 2);
      y[n] =
          v[n]
              - 2 * at(v, n - 1)
              + at(v, n - 2)
              - k.highPassA1() * at(y, n - 1)
              - k.highPassA2() * at(y, n - 2);
      // Two orders of the same sums.
      assertEquals(magnitude[n], Math.abs(y[n]), 1e-10);
    }
    return y;
  }

  private static double at(double[] x, int n) {
    return n < 0 ? 0 : x[n];
  }

  @Test
  void theResponseIsThatOfTheTable() {
    int[] rates = {48_000, 44_100, 96_000};
    for (String[] row : Vectors.rows("kweighting-response-48k.csv")) {
      for (int i = 0; i < rates.length; i++) {
        assertEquals(
            Double.parseDouble(row[i + 1]),
            gainDb(rates[i], Double.parseDouble(row[0])),
            // Four decimals are printed.
            0.0002,
            row[0] + " Hz at " + rates[i]);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 11_025, 32_000, 44_100, 48_000, 88_200, 96_000, 192_000, 384_000})
  void aFullScaleSineInOneChannelReadsMinusThree(int rate) {
    // ITU-R BS.1770-5, Annex 1: 0 dB FS at 997 Hz in a front channel reads -3.01; within the 0.1 LU
    // of EBU Tech 3341 at any rate.
    double[] sine = new double[4 * rate];
    for (int n = 0; n < sine.length; n++) {
      sine[n] = Math.sin(2 * Math.PI * 997 * n / rate);
    }
    Hops hops = Meters.fine(rate, sine, new double[sine.length]);
    assertEquals(-3.01, Loudness.of(hops).integratedLufs().orElseThrow(), 0.1);
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 44_100, 48_000, 96_000, 384_000})
  void anEchoOf200MsIsFarUnderOneRounding(int rate) {
    double[] response = impulseResponse(rate, rate / 2);
    for (int n = rate / 5; n < response.length; n++) {
      assertTrue(Math.abs(response[n]) < 1e-18, "frame " + n + ": " + response[n]);
    }
  }

  @Test
  void ratesItWasNotWorkedOutForAreRefused() {
    for (int rate : new int[] {7_999, 384_001}) {
      assertEquals(
          "sampleRateHz must be 8000 to 384000: sampleRateHz=" + rate,
          assertThrows(IllegalArgumentException.class, () -> KWeighting.at(rate)).getMessage());
    }
  }
}
