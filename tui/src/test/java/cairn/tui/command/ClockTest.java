package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.math.BigDecimal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine.TypeConversionException;

class ClockTest {

  @ParameterizedTest
  @CsvSource({
    "1:54, 114",
    "1:54.250, 114.250",
    "0:01:54, 114",
    "1:00:00.5, 3600.5",
    "114.25, 114.25",
    "90, 90",
    "90:00, 5400",
    "0, 0",
    "' 2 ', 2",
    "0:59.999999999, 59.999999999"
  })
  void aTimeIsTakenExactly(String typed, BigDecimal seconds) {
    assertEquals(seconds, Clock.of(typed).seconds());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "-1", "1:60", "1:75", "1:2:3:4", "1,5", ".5", "1.", "1:", ":30", "1e3", "NaN"})
  void whatIsNoTimeIsNamed(String typed) {
    String message =
        assertThrows(TypeConversionException.class, () -> Clock.of(typed)).getMessage();
    assertEquals("'" + typed + "'", message.substring(0, typed.length() + 2));
  }

  @Test
  void halfAFrameRoundsUp() {
    // 0.00125 s at 44100 Hz are 55.125 frames; 0.0005 s at 1000 Hz half a one.
    assertEquals(55, Clock.of("0.00125").frame(44_100));
    assertEquals(1, Clock.of("0.0005").frame(1_000));
    assertEquals(0, Clock.of("0.000499999").frame(1_000));
    // In doubles 1.005 * 1000 is 1004.9999999999999.
    assertEquals(1005, Clock.of("1.005").frame(1_000));
  }

  @Test
  void theLongestTimeStillHasAFrame() {
    // 999 h 9999 min 59 s.
    assertEquals((999 * 3600L + 9999 * 60L + 59) * 384_000, Clock.of("999:9999:59").frame(384_000));
  }

  @Test
  void aSpanGoesFromOneTimeToALaterOne() {
    Clock.Span span = Clock.Span.of("1:54-2:48.5");
    assertEquals(Clock.of("1:54"), span.from());
    assertEquals(Clock.of("2:48.5"), span.to());
    for (String typed : new String[] {"2:48-1:54", "1-1", "1-1.0"}) {
      TypeConversionException e =
          assertThrows(TypeConversionException.class, () -> Clock.Span.of(typed));
      assertEquals("'" + typed + "' ends before it starts", e.getMessage());
    }
    for (String typed : new String[] {"1:54", "1-2-3", "-1", "1-"}) {
      assertThrows(TypeConversionException.class, () -> Clock.Span.of(typed), typed);
    }
  }
}
