package cairn.collisions.time;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import cairn.collisions.Vectors;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class TempoMapTest {

  @Test
  void everyExampleOfBarsAndBeatsHasItsBarBeatAndTick() {
    // Worked with exact rationals; tempo in quarter notes, 960 ticks a beat of the meter.
    List<String[]> rows = Vectors.rows("bars-beats-vectors.csv");
    assertEquals(13, rows.size());
    assertAll(rows.stream().map(row -> (Executable) () -> check(row)));
  }

  private static void check(String[] row) {
    TempoMap tempo =
        new TempoMap(
            Double.parseDouble(row[2]), Integer.parseInt(row[3]), Integer.parseInt(row[4]), 0);
    String expected =
        String.format(Locale.ROOT, "%s|%s|%03d", row[5], row[6], Integer.parseInt(row[7]));
    assertEquals(
        expected,
        tempo.barsBeats(Long.parseLong(row[1]), Integer.parseInt(row[0])),
        String.join(",", row));
  }

  @Test
  void aFrameHalfWayBetweenTwoTicksRoundsUp() {
    // 60 quarters a minute at 48000 Hz: 50 frames a tick, so frame 3075 is tick 61.5, by integers.
    assertEquals("1|1|062", new TempoMap(60, 4, 4, 0).barsBeats(3_075, 48_000));
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000, 192_000})
  void wholeTemposAreRoundedAsIntegersWouldBe(int sampleRateHz) {
    for (int tempo : new int[] {60, 90, 96, 120, 128, 174}) {
      TempoMap map = new TempoMap(tempo, 99, 4, 0);
      for (long n = 0; n < 2L * sampleRateHz; n += 25) {
        // floor(ticks + 1/2), with ticks = n·tempo·960 / (60·fs) as a fraction of integers.
        long ticks =
            Math.floorDiv(2 * n * tempo * 960 + 60L * sampleRateHz, 2 * 60L * sampleRateHz);
        long told = ticksOf(map.barsBeats(n, sampleRateHz));
        assertEquals(ticks, told, () -> tempo + " quarters a minute");
      }
    }
  }

  /** Ticks from the start, of the first bar. */
  private static long ticksOf(String barsBeats) {
    String[] parts = barsBeats.split("\\|", -1);
    return (Long.parseLong(parts[1]) - 1) * 960 + Long.parseLong(parts[2]);
  }

  @Test
  void whatLiesBeforeBarOneHasBarZeroAndLower() {
    // Bar 1 at 2.5 s, 2 s a bar: frame 0 is a bar and a quarter before it.
    TempoMap tempo = new TempoMap(120, 4, 4, 2.5);
    assertEquals("-1|4|000", tempo.barsBeats(0, 48_000));
    assertEquals("0|1|000", tempo.barsBeats(24_000, 48_000));
    assertEquals("0|4|959", tempo.barsBeats(120_000 - 25, 48_000));
    assertEquals("1|1|000", tempo.barsBeats(120_000, 48_000));
  }

  @Test
  void aBeatIsThatOfTheMeter() {
    assertEquals(0.5, new TempoMap(120, 4, 4, 0).beatSeconds());
    assertEquals(0.25, new TempoMap(120, 6, 8, 0).beatSeconds());
    assertEquals(1.0, new TempoMap(120, 2, 2, 0).beatSeconds());
    assertEquals(0.75, new TempoMap(120, 6, 8, 1).beatTimeSeconds(-1));
  }

  @Test
  void sayWhichFigureIsWrong() {
    assertAll(
        () -> refused("tempo must be > 0", 0, 4, 4, 0),
        () -> refused("tempo must be > 0", Double.NaN, 4, 4, 0),
        () -> refused("tempo must be > 0", 1000.1, 4, 4, 0),
        () -> refused("beats a bar must be 1 to 99: beats=0", 120, 0, 4, 0),
        () -> refused("beats a bar must be 1 to 99: beats=100", 120, 100, 4, 0),
        () -> refused("it is 3", 120, 4, 3, 0),
        () -> refused("it is 128", 120, 4, 128, 0),
        () -> refused("bar one must be within", 120, 4, 4, Double.NaN));
  }

  private static void refused(String words, double tempo, int beats, int unit, double barOne) {
    String message =
        assertThrows(IllegalArgumentException.class, () -> new TempoMap(tempo, beats, unit, barOne))
            .getMessage();
    assertEquals(true, message.contains(words), message);
  }
}
