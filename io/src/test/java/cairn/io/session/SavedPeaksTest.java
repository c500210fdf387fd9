package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.plan.PeakTrack;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SavedPeaksTest {

  @Test
  void peaksComeBackRightToHalfAHundredthOfADecibel() {
    Random random = new Random(7);
    double[] peaks = new double[500];
    for (int i = 1; i < peaks.length; i++) {
      peaks[i] = Math.pow(10, -6 * random.nextDouble()) * 2;
    }
    PeakTrack back = SavedPeaks.of(PeakTrack.of(peaks)).track();
    assertEquals(500, back.size());
    assertEquals(0, back.at(0));
    for (int i = 1; i < peaks.length; i++) {
      assertEquals(0, 20 * Math.log10(back.at(i) / peaks[i]), 0.005001, "peak " + i);
    }
  }

  @Test
  void silenceTakesNextToNoRoom() {
    SavedPeaks peaks = SavedPeaks.of(PeakTrack.of(new double[100_000]));
    assertTrue(peaks.packed().length() < 1_000, "length: " + peaks.packed().length());
    assertEquals(0, peaks.track().largest());
  }

  @Test
  void whatIsNotWholeIsRefused() {
    String whole = SavedPeaks.of(PeakTrack.of(0.5, 0.25, 0.125)).packed();
    String cut = whole.substring(0, whole.length() / 2 / 4 * 4);
    assertThrows(IllegalArgumentException.class, () -> new SavedPeaks(cut));
    assertThrows(IllegalArgumentException.class, () -> new SavedPeaks("not Base64!"));
    assertThrows(IllegalArgumentException.class, () -> new SavedPeaks(""));
  }
}
