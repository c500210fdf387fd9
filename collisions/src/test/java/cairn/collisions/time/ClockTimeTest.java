package cairn.collisions.time;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.Vectors;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;

class ClockTimeTest {

  @Test
  void everyExampleOfSampleToTimeHasItsMilliseconds() {
    // Worked with exact rationals; written there as hh:mm:ss.mmm, here as m:ss.mmm.
    List<String[]> rows = Vectors.rows("sample-to-time-vectors.csv");
    assertEquals(17, rows.size());
    assertAll(
        rows.stream()
            .map(
                row ->
                    (Executable)
                        () ->
                            assertEquals(
                                millis(row[3]),
                                millis(
                                    ClockTime.of(Long.parseLong(row[1]), Integer.parseInt(row[0]))),
                                String.join(",", row))));
  }

  @Test
  void roundsBeforeItSplitsSoThatNoSecondIsSixty() {
    assertEquals("1:00.000", ClockTime.of(2_879_976, 48_000));
    assertEquals("0:59.999", ClockTime.of(2_879_975, 48_000));
  }

  @Test
  void minutesRunOnPastTheHour() {
    assertEquals("61:01.500", ClockTime.of(3_661L * 48_000 + 24_000, 48_000));
  }

  private static long millis(String clock) {
    String[] parts = clock.split("[:.]", -1);
    long seconds = 0;
    for (int i = 0; i < parts.length - 1; i++) {
      seconds = seconds * 60 + Long.parseLong(parts[i]);
    }
    return seconds * 1000 + Long.parseLong(parts[parts.length - 1]);
  }
}
