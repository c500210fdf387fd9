package cairn.collisions.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import cairn.collisions.TimeRange;
import cairn.collisions.time.TempoMap;
import java.util.List;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;

class WindowGridTest {

  private static List<Long> edges(WindowGrid grid) {
    LongStream firsts = IntStream.range(0, grid.windows()).mapToLong(grid::firstFrame);
    return LongStream.concat(firsts, LongStream.of(grid.endFrame(grid.windows() - 1)))
        .boxed()
        .toList();
  }

  @Test
  void windowsOfHalfASecondStartAtTheRangeAndTheLastMayBePartial() {
    assertEquals(
        List.of(0L, 24_000L, 48_000L, 48_001L),
        edges(WindowGrid.halfSeconds(new TimeRange(0, 48_001), 48_000)));
    assertEquals(
        List.of(7L, 24_007L, 30_000L),
        edges(WindowGrid.halfSeconds(new TimeRange(7, 30_000), 48_000)));
    assertEquals(List.of(0L, 1L), edges(WindowGrid.halfSeconds(new TimeRange(0, 1), 48_000)));
  }

  @Test
  void halfASecondIsRoundedHalfUp() {
    assertEquals(5_513, WindowGrid.halfSecondFrames(11_025));
    assertEquals(22_050, WindowGrid.halfSecondFrames(44_100));
  }

  @Test
  void beatsBeforeBarOneCountAndBothEndsAreCut() {
    // 100 Hz, half a second a beat, bar 1 at 1.3 s: beats at −0.2, 0.3, 0.8, 1.3 ... s.
    TempoMap tempo = new TempoMap(120, 4, 4, 1.3);
    assertEquals(
        List.of(0L, 30L, 80L, 130L, 180L, 200L),
        edges(WindowGrid.beats(new TimeRange(0, 200), 100, tempo)));
    assertEquals(
        List.of(37L, 80L, 130L, 131L), edges(WindowGrid.beats(new TimeRange(37, 131), 100, tempo)));
    assertEquals(List.of(80L, 130L), edges(WindowGrid.beats(new TimeRange(80, 130), 100, tempo)));
  }

  @Test
  void barOneMayLieBeforeTheStartOrAfterTheEnd() {
    assertEquals(
        List.of(0L, 20L, 70L, 100L),
        edges(WindowGrid.beats(new TimeRange(0, 100), 100, new TempoMap(120, 4, 4, -0.3))));
    assertEquals(
        List.of(0L, 10L, 60L, 100L),
        edges(WindowGrid.beats(new TimeRange(0, 100), 100, new TempoMap(120, 4, 4, 500.1))));
  }

  @Test
  void beatEdgesAreRoundedEachOnItsOwn() {
    // 130 quarters a minute at 44100 Hz: 20353.846 frames a beat; 2 of them 40707.69, 3 61061.54.
    assertEquals(
        List.of(0L, 20_354L, 40_708L, 61_062L, 70_000L),
        edges(WindowGrid.beats(new TimeRange(0, 70_000), 44_100, new TempoMap(130, 4, 4, 0))));
  }

  @Test
  void aBeatIsThatOfTheMeter() {
    // Eighths at 120 quarters a minute: a quarter of a second.
    assertEquals(
        List.of(0L, 25L, 50L, 60L),
        edges(WindowGrid.beats(new TimeRange(0, 60), 100, new TempoMap(120, 6, 8, 0))));
  }

  @Test
  void beatsFollowATempoThatChanges() {
    // 60, from the third quarter on 120 in eighths: at 100 Hz every 100, then every 25 frames.
    TempoMap map =
        new TempoMap(
            List.of(new TempoMap.Tempo(0, 60), new TempoMap.Tempo(2, 120)),
            List.of(new TempoMap.Meter(0, 4, 4), new TempoMap.Meter(2, 6, 8)),
            0);
    assertEquals(
        List.of(0L, 100L, 200L, 225L, 250L, 260L),
        edges(WindowGrid.beats(new TimeRange(0, 260), 100, map)));
    assertEquals(
        List.of(150L, 200L, 225L, 240L),
        edges(WindowGrid.beats(new TimeRange(150, 240), 100, map)));
  }

  @Test
  void everyFrameHasItsWindowAndNoOther() {
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(5, 33), 20);
    for (long frame = 5; frame < 33; frame++) {
      assertEquals((frame - 5) / 10, grid.windowOf(frame));
    }
    assertEquals(10, grid.longestFrames());
    assertThrows(IllegalArgumentException.class, () -> grid.windowOf(4));
    assertThrows(IllegalArgumentException.class, () -> grid.windowOf(33));
  }

  @Test
  void aGridThatWouldFillTheMemoryIsRefused() {
    assertEquals(
        "windows must be at most 1000000: windows=1000001",
        assertThrows(
                IllegalArgumentException.class,
                () -> WindowGrid.halfSeconds(new TimeRange(0, 1_000_001), 2))
            .getMessage());
  }

  @Test
  void blocksTileTheWindowsAndNoneCrossesAnEdge() {
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(100, 100 + 60_000), 48_000);
    Summary summary = new Summary(grid, 48_000, 1);
    // 24000 frames are 93 blocks of 256 and one of 192; the last window of 12000 has 47.
    assertEquals(94 + 94 + 47, summary.blocks());
    long next = 100;
    for (int i = 0; i < summary.blocks(); i++) {
      assertEquals(next, summary.blockFirstFrame(i));
      next = summary.blockEndFrame(i);
      assertEquals(i, summary.blockOf(summary.blockFirstFrame(i)));
      assertEquals(i, summary.blockOf(next - 1));
      assertEquals(
          grid.windowOf(summary.blockFirstFrame(i)), grid.windowOf(next - 1), "block " + i);
    }
    assertEquals(60_100, next);
  }

  @Test
  void blocksAreAsLongInTimeAtEveryRateButNeverTiny() {
    assertEquals(256, Summary.blockFrames(48_000));
    assertEquals(1_024, Summary.blockFrames(192_000));
    assertEquals(16, Summary.blockFrames(1_000));
  }
}
