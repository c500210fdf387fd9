package cairn.collisions.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;

/** definitions.md, 2: both gates drop what lies at them. */
class GateTest {

  private static OptionalDouble averagePeak(double... peaks) {
    return Gate.averagePeak(peaks, 0, peaks.length);
  }

  @Test
  void aWindowAtMinusSeventyIsDroppedAndOneJustAboveIsNot() {
    double gate = Math.pow(10, -70 / 20.0);
    assertTrue(averagePeak(gate, gate).isEmpty());
    assertEquals(Math.nextUp(gate), averagePeak(gate, Math.nextUp(gate)).getAsDouble());
  }

  @Test
  void aWindowTenDecibelsUnderTheMeanIsDroppedAndOneJustAboveIsNot() {
    // Of the windows 1 and w the mean is (1 + w)/2, so the gate lies on w itself for the w that
    // this converges to; it moves only a sixth as fast as w does.
    double w = 0.3;
    for (int i = 0; i < 60; i++) {
      w = (1 + w) / 2 * Math.pow(10, -10 / 20.0);
    }
    assertEquals(w, (1 + w) / 2 * Math.pow(10, -10 / 20.0), "w lies at the gate");
    assertEquals(1, averagePeak(1, w).getAsDouble());
    double above = w * (1 + 1e-12);
    assertEquals((1 + above) / 2, averagePeak(1, above).getAsDouble());
  }

  @Test
  void theSecondGateIsSetByWhatPassedTheFirst() {
    // With the two silent windows the mean would be 0.29 and 0.1 would pass; without, the gate is
    // at 0.575 · 0.316 = 0.18.
    assertEquals(1.05, averagePeak(1.1, 1, 0.1, 0.1, 0, 0).getAsDouble(), 1e-15);
  }

  @Test
  void windowsAtTheFirstGateDoNotSetTheSecond() {
    // In units of the gate: 10 and 1.8 have a mean of 5.9, so the second gate lies at 1.87; with
    // five windows of 1 it would lie at 0.76.
    double gate = Math.pow(10, -70 / 20.0);
    assertEquals(
        10 * gate, averagePeak(10 * gate, 1.8 * gate, gate, gate, gate, gate, gate).getAsDouble());
  }

  @Test
  void onlyTheWindowsAskedForCount() {
    assertEquals(0.5, Gate.averagePeak(new double[] {9, 0.25, 0.75, 9}, 1, 3).getAsDouble());
  }

  @Test
  void silenceHasNoAveragePeak() {
    assertTrue(averagePeak(0, 0, 0).isEmpty());
    assertTrue(averagePeak().isEmpty());
  }
}
