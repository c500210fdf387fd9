package cairn.collisions.time;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;

class TimeNotationTest {

  private static final long HOUR = 3600L * 48_000;

  @Test
  void aTimeReferenceIsAddedToSamplesAndClock() {
    assertEquals("172800007", new TimeNotation.Samples(HOUR).at(7, 48_000));
    assertEquals("60:00.500", new TimeNotation.Clock(HOUR).at(24_000, 48_000));
    assertEquals("0:00.500", TimeNotation.CLOCK.at(24_000, 48_000));
  }

  @Test
  void aStartLabelIsAddedInPictures() {
    // 25 pictures a second: sample 1919 is still in picture 0, 1920 in picture 1.
    TimeNotation code =
        new TimeNotation.Code(Timecode.FPS_25, Timecode.FPS_25.picture("01:00:00:00"), 0);
    assertEquals("01:00:00:00", code.at(1_919, 48_000));
    assertEquals("01:00:00:01", code.at(1_920, 48_000));
  }

  @Test
  void aTimeReferenceOfAnHourIsSlowInNonDropAndRightInDropFrame() {
    // sample-to-timecode-vectors.csv has the same rows: 172800000 samples at 48000 Hz.
    assertEquals("00:59:56:12", new TimeNotation.Code(Timecode.FPS_29_97, 0, HOUR).at(0, 48_000));
    assertEquals(
        "01:00:00;00", new TimeNotation.Code(Timecode.FPS_29_97_DROP, 0, HOUR).at(0, 48_000));
  }

  @Test
  void barsAreThoseOfTheTempo() {
    assertEquals(
        "2|1|000", new TimeNotation.BarsBeats(new TempoMap(120, 4, 4, 0)).at(96_000, 48_000));
  }

  @Test
  void anOriginBeforeMidnightIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> new TimeNotation.Samples(-1));
  }
}
