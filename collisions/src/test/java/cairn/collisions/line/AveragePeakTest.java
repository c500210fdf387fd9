package cairn.collisions.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

class AveragePeakTest {

  /** Windows whose peaks are multiples of 1/128, so that sums are exact. */
  private static double[] rising(int windows) {
    double[] peaks = new double[windows];
    for (int j = 0; j < windows; j++) {
      peaks[j] = 1 + j / 128.0;
    }
    return peaks;
  }

  @Test
  void theLocalOneIsTheMeanOfItsWindowAndSixteenOnEitherSide() {
    AveragePeak local = AveragePeak.local(rising(100)).orElseThrow();
    assertTrue(local.isLocal());
    // A mean of evenly rising peaks is that of its ends.
    assertEquals(1 + 50 / 128.0, local.at(50), "34 to 66");
    assertEquals(1 + 16 / 128.0, local.at(16), "0 to 32");
    assertEquals(1 + 15.5 / 128.0, local.at(15), "0 to 31");
    assertEquals(1 + 8 / 128.0, local.at(0), "0 to 16");
    assertEquals(1 + 91 / 128.0, local.at(99), "83 to 99");
    assertEquals(1 + 49.5 / 128.0, local.overall());
  }

  @Test
  void windowsThatTheGatesOfTheSongDropDoNotCountLocally() {
    // The second gate lies at (50 + 50·0.2)/100 · 0.316 = 0.19, so that 0.1 is dropped with it.
    double[] peaks = new double[100];
    Arrays.fill(peaks, 0, 50, 1);
    Arrays.fill(peaks, 50, 100, 0.2);
    peaks[90] = 0.1;
    AveragePeak local = AveragePeak.local(peaks).orElseThrow();
    assertEquals(0.2, local.at(99), 1e-15);
  }

  @Test
  void whereNoWindowPassesNearbyTheSongStandsIn() {
    double[] peaks = new double[60];
    Arrays.fill(peaks, 0, 35, 0.5);
    AveragePeak local = AveragePeak.local(peaks).orElseThrow();
    assertEquals(0.5, local.at(59));
    peaks[34] = 1;
    // Window 50 reaches back to 34 only, window 51 finds none.
    local = AveragePeak.local(peaks).orElseThrow();
    assertEquals(1, local.at(50));
    assertEquals((34 * 0.5 + 1) / 35, local.at(51));
  }

  @Test
  void otherwiseItIsOneForAll() {
    AveragePeak flat = AveragePeak.of(rising(100), 10, 21).orElseThrow();
    assertFalse(flat.isLocal());
    assertEquals(1 + 15 / 128.0, flat.overall());
    assertEquals(flat.overall(), flat.at(99));
  }

  @Test
  void silenceHasNone() {
    assertTrue(AveragePeak.local(new double[40]).isEmpty());
    assertTrue(AveragePeak.of(new double[40], 0, 40).isEmpty());
  }

  @Test
  void theLineStandsAMarginAboveOrAtALevel() {
    assertEquals(5, new Line.Margin(20).level(0.5), 1e-15);
    assertEquals(0.05, new Line.Margin(-20).level(0.5), 1e-17);
    assertEquals(0.1, new Line.Level(-20).level(0.5), 1e-17);
    assertEquals(new Line.Margin(1), Line.DEFAULT);
    assertEquals(
        "margin must be finite: margin=NaN",
        assertThrows(IllegalArgumentException.class, () -> new Line.Margin(Double.NaN))
            .getMessage());
    assertThrows(IllegalArgumentException.class, () -> new Line.Level(Double.NEGATIVE_INFINITY));
  }
}
