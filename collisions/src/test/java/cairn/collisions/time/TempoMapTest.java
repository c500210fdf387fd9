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

  /** 120 for two bars of 4/4, then 60 in 3/4 for two, then 6/8 at 60. */
  private static TempoMap changing(double barOneSeconds) {
    return new TempoMap(
        List.of(new TempoMap.Tempo(0, 120), new TempoMap.Tempo(8, 60)),
        List.of(
            new TempoMap.Meter(0, 4, 4), new TempoMap.Meter(8, 3, 4), new TempoMap.Meter(14, 6, 8)),
        barOneSeconds);
  }

  @Test
  void aMapAddsUpItsStretches() {
    // 8 quarters take 4 s, the 6 of two bars of 3/4 another 6 s; an eighth then is half a second.
    TempoMap map = changing(0);
    assertEquals("1|1|000", map.barsBeats(0, 48_000));
    assertEquals("2|4|480", map.barsBeats(4 * 48_000 - 12_000, 48_000));
    assertEquals("3|1|000", map.barsBeats(4 * 48_000, 48_000));
    assertEquals("3|3|000", map.barsBeats(6 * 48_000, 48_000));
    assertEquals("4|3|480", map.barsBeats(9 * 48_000 + 24_000, 48_000));
    assertEquals("5|1|000", map.barsBeats(10 * 48_000, 48_000));
    assertEquals("5|6|000", map.barsBeats(12 * 48_000 + 24_000, 48_000));
    assertEquals("6|1|000", map.barsBeats(13 * 48_000, 48_000));
    assertEquals(15.5, map.quarterAt(11 * 48_000 + 24_000, 48_000), 1e-9);
    assertEquals(11.5, map.secondsAt(15.5), 1e-9);
  }

  @Test
  void aMapMovesWithItsBarOne() {
    TempoMap map = changing(1);
    assertEquals("0|3|000", map.barsBeats(0, 48_000));
    assertEquals("5|1|000", map.barsBeats(11 * 48_000, 48_000));
  }

  @Test
  void aMeterWithinABarCutsItShort() {
    // 3/4 after 5.5 quarters of 4/4: bar 2 has one beat and a half, bar 3 begins there.
    TempoMap map =
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 60)),
            List.of(new TempoMap.Meter(0, 4, 4), new TempoMap.Meter(5.5, 3, 4)),
            0);
    assertEquals("2|2|000", map.barsBeats(5_000, 1_000));
    assertEquals("2|2|479", map.barsBeats(5_499, 1_000));
    assertEquals("3|1|000", map.barsBeats(5_500, 1_000));
    assertEquals("4|1|000", map.barsBeats(8_500, 1_000));
    // Beats count those cut short: six begin before 5.5.
    assertEquals(5.5, map.beatTimeSeconds(6));
    assertEquals(6.5, map.beatTimeSeconds(7));
    assertEquals(5, map.beatAt(5.4));
    assertEquals(6, map.beatAt(5.5));
    assertEquals(-1, map.beatAt(-0.5));
  }

  @Test
  void whatRoundsUpToANewMeterIsItsFirstBeat() {
    // 48000 frames a quarter, 50 a tick: one frame before bar 2 is nearer to it than to 1|2|959.
    TempoMap map =
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 60)),
            List.of(new TempoMap.Meter(0, 4, 4), new TempoMap.Meter(2, 7, 8)),
            0);
    assertEquals("2|1|000", map.barsBeats(2 * 48_000 - 1, 48_000));
    assertEquals("1|2|959", map.barsBeats(2 * 48_000 - 26, 48_000));
  }

  @Test
  void aMapWithoutChangesIsTheConstantTempo() {
    TempoMap constant = new TempoMap(92.5, 5, 4, 0.25);
    assertEquals(
        constant,
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 92.5)), List.of(new TempoMap.Meter(0, 5, 4)), 0.25));
    assertEquals(true, constant.isConstant());
    assertEquals(false, changing(0).isConstant());
  }

  @Test
  void changesMustStartAtZeroAndRise() {
    List<TempoMap.Meter> four = List.of(new TempoMap.Meter(0, 4, 4));
    assertThrows(
        IllegalArgumentException.class,
        () -> new TempoMap(List.of(new TempoMap.Tempo(1, 120)), four, 0));
    assertThrows(
        IllegalArgumentException.class,
        () ->
            new TempoMap(List.of(new TempoMap.Tempo(0, 120), new TempoMap.Tempo(0, 90)), four, 0));
    assertThrows(IllegalArgumentException.class, () -> new TempoMap(List.of(), four, 0));
  }

  private static void refused(String words, double tempo, int beats, int unit, double barOne) {
    String message =
        assertThrows(IllegalArgumentException.class, () -> new TempoMap(tempo, beats, unit, barOne))
            .getMessage();
    assertEquals(true, message.contains(words), message);
  }
}
