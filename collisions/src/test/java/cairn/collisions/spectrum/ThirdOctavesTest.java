package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.Vectors;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ThirdOctavesTest {

  /** The table was worked out from the rule of IEC 61260-1:2014, base ten, to 6 decimals. */
  @Test
  void midBandsAndEdgesAreThoseOfTheStandard() {
    List<String[]> rows =
        Vectors.rows("octave-bands.csv").stream().filter(row -> row[0].equals("3")).toList();
    assertEquals(ThirdOctaves.COUNT, rows.size());
    for (int band = 0; band < rows.size(); band++) {
      String[] row = rows.get(band);
      assertEquals(Double.parseDouble(row[2]), ThirdOctaves.nominalHz(band));
      assertEquals(Double.parseDouble(row[3]), ThirdOctaves.exactHz(band), 1e-6);
      assertEquals(Double.parseDouble(row[4]), ThirdOctaves.lowerHz(band), 1e-6);
      assertEquals(Double.parseDouble(row[5]), ThirdOctaves.upperHz(band), 1e-6);
    }
  }

  @Test
  void bandsAreCalledByTheirNominalFrequency() {
    assertEquals("25 Hz", ThirdOctaves.name(0));
    assertEquals("31.5 Hz", ThirdOctaves.name(1));
    assertEquals("100 Hz", ThirdOctaves.name(6));
    assertEquals("1 kHz", ThirdOctaves.name(16));
    assertEquals("1.25 kHz", ThirdOctaves.name(17));
    assertEquals("20 kHz", ThirdOctaves.name(29));
  }

  @Test
  void bandsAboveHalfTheRateAreNotThere() {
    assertEquals(30, ThirdOctaves.countAt(48_000));
    // 22050 Hz cuts the 20 kHz band, which begins at 17783 Hz.
    assertEquals(30, ThirdOctaves.countAt(44_100));
    // 16000 Hz lies in the 16 kHz band, 14125 to 17783 Hz.
    assertEquals(29, ThirdOctaves.countAt(32_000));
    double[] bands = ThirdOctaves.ofBins(new double[] {0, 1, 1, 1, 1}, 8_000);
    assertEquals(0, bands[29]);
  }

  /** 22.387 Hz to 22387 Hz lie in the bands; what is outside is counted by hand. */
  @Test
  void bandsAndWhatLiesOutsideAddUpToTheWhole() {
    Random random = new Random(7);
    double[] bins = random.doubles(32_769).toArray();
    double binHz = 48_000.0 / 65_536;
    double inside = Arrays.stream(ThirdOctaves.ofBins(bins, 48_000)).sum();
    double outside = 0;
    for (int f = 0; f < bins.length; f++) {
      double below = Math.min(f + 0.5, Math.max(f - 0.5, 22.387211 / binHz)) - (f - 0.5);
      double above = f + 0.5 - Math.max(f - 0.5, Math.min(f + 0.5, 22_387.211386 / binHz));
      outside += bins[f] * (below + above);
    }
    double all = Arrays.stream(bins).sum();
    // The edges above are rounded to 6 decimals.
    assertEquals(all, inside + outside, 1e-6 * all);
  }
}
