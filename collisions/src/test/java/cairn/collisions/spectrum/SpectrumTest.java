package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SpectrumTest {

  private static final int RATE = 48_000;

  private static double db(double power) {
    return 10 * Math.log10(power);
  }

  @Test
  void transformsAreTheDirectSum() {
    int size = 96;
    Random random = new Random(3);
    double[] z = random.doubles(2L * size, -1, 1).toArray();
    double[] direct = new double[2 * size];
    for (int f = 0; f < size; f++) {
      for (int n = 0; n < size; n++) {
        double turn = -2 * Math.PI * f * n / size;
        direct[2 * f] += z[2 * n] * Math.cos(turn) - z[2 * n + 1] * Math.sin(turn);
        direct[2 * f + 1] += z[2 * n] * Math.sin(turn) + z[2 * n + 1] * Math.cos(turn);
      }
    }
    double[] transformed = z.clone();
    new Transform(size).complex(transformed);
    // 96 terms of at most 1.5, each rounded once or twice.
    assertArrayEquals(direct, transformed, 1e-12 * size);
    new Transform(size).complexInverse(transformed);
    assertArrayEquals(z, transformed, 1e-13);
  }

  @Test
  void powersOfRealValuesAreThoseOfTheDirectSum() {
    int size = 64;
    double[] x = new Random(4).doubles(size, -1, 1).toArray();
    double[] powers = new double[size / 2 + 1];
    new Transform(size).addPowers(x.clone(), powers);
    for (int f = 0; f <= size / 2; f++) {
      double re = 0;
      double im = 0;
      for (int n = 0; n < size; n++) {
        re += x[n] * Math.cos(2 * Math.PI * f * n / size);
        im += x[n] * Math.sin(2 * Math.PI * f * n / size);
      }
      assertEquals(re * re + im * im, powers[f], 1e-11);
    }
  }

  /** A²/2: -3.01 dB. The main lobe is 4 bins, 3 Hz, wide; the band 891 to 1122 Hz. */
  @Test
  void aFullScaleSineAt1000HertzPutsMinus3DecibelsIntoItsBand() throws IOException {
    double[] x = Sounds.channel(3 * RATE, n -> Math.sin(2 * Math.PI * 1000.3 * n / RATE));
    double[] bands = Spectrum.longTerm(Sounds.of(x, x), RATE);
    assertEquals(-3.0103, db(bands[16]), 0.0005);
    for (int band = 0; band < bands.length; band++) {
      // Side lobes of a Hann window fall by 18 dB an octave from -31 dB on.
      assertTrue(band == 16 || db(bands[band]) < -90, "band " + band + ": " + db(bands[band]));
    }
  }

  @Test
  void oneChannelCountsHalf() throws IOException {
    double[] x = Sounds.channel(2 * RATE, n -> Math.sin(2 * Math.PI * 1000 * n / RATE));
    double[] bands = Spectrum.longTerm(Sounds.of(x, new double[x.length]), RATE);
    assertEquals(-6.0206, db(bands[16]), 0.0005);
  }

  /** 10·log10 G^(1/3) = 1 dB a band; band power = σ²·(upper − lower)/(rate/2). */
  @Test
  void whiteNoiseRisesByOneDecibelABand() throws IOException {
    int frames = 1 << 22;
    double[] bands =
        Spectrum.longTerm(Sounds.of(Sounds.white(1, frames), Sounds.white(2, frames)), RATE);
    for (int band = 10; band < ThirdOctaves.COUNT; band++) {
      double width = ThirdOctaves.upperHz(band) - ThirdOctaves.lowerHz(band);
      double expected = db(0.01 * width / (RATE / 2.0));
      // width · 175 s independent values: 1/√ of them, the narrowest here (58 Hz) 1 % or 0.04 dB;
      // four times that.
      assertEquals(expected, db(bands[band]), 0.2, "band " + band);
    }
    assertEquals(1.0, (db(bands[29]) - db(bands[19])) / 10, 0.01);
  }

  /** One sine a bin with a power of 1/f: each band holds ln(upper/lower) = ln(10)/10. */
  @Test
  void pinkNoiseIsFlat() {
    double[] bins = new double[32_769];
    for (int f = 1; f < bins.length; f++) {
      bins[f] = 1.0 / f;
    }
    double[] bands = ThirdOctaves.ofBins(bins, RATE);
    for (int band = 0; band < bands.length; band++) {
      // A sum for an integral; bands of 8 bins at the low end.
      assertEquals(db(Math.log(10) / 10), db(bands[band]), 0.02, "band " + band);
    }
  }

  /** Σ of one-sided powers = mean square of the windowed values, over the mean square of w. */
  @Test
  void allBinsAddUpToTheMeanSquare() {
    int size = 4096;
    double[] left = Sounds.white(5, size);
    double[] right = Sounds.white(6, size);
    Spectrum spectrum = new Spectrum(size);
    spectrum.add(new double[][] {left, right}, 0);
    double expected = 0;
    for (int n = 0; n < size; n++) {
      double w = Math.pow(Math.sin(Math.PI * n / size), 2);
      expected += w * w * (left[n] * left[n] + right[n] * right[n]) / 2;
    }
    // Σ w² of a periodic Hann window is 0.375·size.
    expected /= 0.375 * size;
    assertEquals(expected, Arrays.stream(spectrum.binPowers()).sum(), 1e-12 * expected);
  }

  @Test
  void silentWindowsAreLeftOut() throws IOException {
    double[] x = new double[8 * 65_536];
    for (int n = 0; n < 65_536; n++) {
      x[n] = Math.sin(2 * Math.PI * 1000 * n / RATE);
    }
    double[] loud = Arrays.copyOf(x, 65_536);
    double[] bands = Spectrum.longTerm(Sounds.of(x, x), RATE);
    double[] alone = Spectrum.longTerm(Sounds.of(loud, loud), RATE);
    // The second window holds half of the sine, the others nothing: they do not count.
    assertTrue(db(bands[16]) > db(alone[16]) - 3.02, db(bands[16]) + " " + db(alone[16]));
    assertArrayEquals(
        new double[ThirdOctaves.COUNT],
        Spectrum.longTerm(Sounds.of(new double[RATE], new double[RATE]), RATE));
  }

  @Test
  void windowsGrowWithTheRate() {
    assertEquals(65_536, Spectrum.longTermSize(44_100));
    assertEquals(65_536, Spectrum.longTermSize(48_000));
    assertEquals(131_072, Spectrum.longTermSize(96_000));
    assertEquals(262_144, Spectrum.longTermSize(192_000));
  }
}
