package cairn.collisions.time;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Vectors;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class TimecodeTest {

  private static final Map<String, Timecode> RATES =
      Map.of(
          "23.976", Timecode.FPS_23_976,
          "24", Timecode.FPS_24,
          "25", Timecode.FPS_25,
          "29.97NDF", Timecode.FPS_29_97,
          "29.97DF", Timecode.FPS_29_97_DROP,
          "30", Timecode.FPS_30);

  @Test
  void everyExampleOfTimeCodeHasItsLabelAndItsPicture() {
    // SMPTE ST 12-1:2014; worked with exact rationals.
    List<String[]> rows = Vectors.rows("timecode-vectors.csv");
    assertEquals(49, rows.size());
    assertAll(
        rows.stream()
            .map(
                row ->
                    (Executable)
                        () -> {
                          Timecode rate = RATES.get(row[0]);
                          long picture = Long.parseLong(row[1]);
                          assertEquals(row[2], rate.label(picture), String.join(",", row));
                          assertEquals(picture, rate.picture(row[2]), String.join(",", row));
                        }));
  }

  @Test
  void everyExampleOfASampleHasItsPictureAndLabel() {
    List<String[]> rows = Vectors.rows("sample-to-timecode-vectors.csv");
    assertEquals(54, rows.size());
    assertAll(
        rows.stream()
            .map(
                row ->
                    (Executable)
                        () -> {
                          Timecode rate = RATES.get(row[0]);
                          long picture =
                              rate.pictureAt(Long.parseLong(row[2]), Integer.parseInt(row[1]));
                          assertEquals(Long.parseLong(row[3]), picture, String.join(",", row));
                          assertEquals(row[4], rate.label(picture), String.join(",", row));
                        }));
  }

  @ParameterizedTest
  @EnumSource
  void everyPictureOfThreeHoursComesBackFromItsLabel(Timecode rate) {
    String last = "";
    for (long picture = 0; picture < 3 * 3600 * 30; picture++) {
      String label = rate.label(picture);
      assertEquals(picture, rate.picture(label));
      assertTrue(label.compareTo(last) > 0, label);
      last = label;
    }
  }

  @ParameterizedTest
  @EnumSource
  void aPictureBeginsWithItsFirstSampleAndNoneBefore(Timecode rate) {
    for (int hz : new int[] {44_100, 48_000, 96_000}) {
      for (long picture = 1; picture < 5_000; picture++) {
        long first = rate.firstFrame(picture, hz);
        assertEquals(picture, rate.pictureAt(first, hz));
        assertEquals(picture - 1, rate.pictureAt(first - 1, hz));
      }
    }
  }

  @Test
  void dropFrameLeavesOutTwoLabelsAMinuteButInTheTenth() {
    Timecode drop = Timecode.FPS_29_97_DROP;
    assertEquals("00:08:59;29", drop.label(drop.picture("00:09:00;02") - 1));
    assertEquals("00:09:59;29", drop.label(drop.picture("00:10:00;00") - 1));
    assertEquals(2_589_408, drop.picturesADay());
    assertEquals("00:00:00;00", drop.label(drop.picturesADay()));
    assertEquals("23:59:59;29", drop.label(-1));
  }

  @ParameterizedTest
  @CsvSource({
    "FPS_29_97_DROP, 00:01:00;00, does not exist in drop-frame",
    "FPS_29_97_DROP, 00:59:00;01, does not exist in drop-frame",
    "FPS_25, 01:00:00:25, frames to 24",
    "FPS_24, 24:00:00:00, hours go to 23",
    "FPS_30, 00:60:00:00, minutes and seconds to 59",
    "FPS_25, 1:00:00, is no time code; write hh:mm:ss:ff",
    "FPS_25, noon, is no time code",
  })
  void aLabelThatCannotBeIsRefusedWithTheReason(Timecode rate, String label, String words) {
    String message =
        assertThrows(IllegalArgumentException.class, () -> rate.picture(label)).getMessage();
    assertTrue(message.contains("'" + label + "'") && message.contains(words), message);
  }

  @Test
  void dropFrameKeepsItsLabelsInTheTenthMinute() {
    assertEquals(17_982, Timecode.FPS_29_97_DROP.picture("00:10:00;00"));
    assertEquals(17_982, Timecode.FPS_29_97_DROP.picture("00:10:00:00"));
  }

  @Test
  void ratesAreFoundByTheirUsualNames() {
    for (Timecode rate : Timecode.values()) {
      assertEquals(rate, Timecode.named(rate.text()).orElseThrow());
    }
    assertEquals(Timecode.FPS_29_97_DROP, Timecode.named("29.97 DF").orElseThrow());
    assertEquals(Timecode.FPS_29_97, Timecode.named("29.97ndf").orElseThrow());
    assertTrue(Timecode.named("26").isEmpty());
  }
}
