package cairn.collisions.line;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.TimeRange;
import cairn.collisions.time.TempoMap;
import java.util.Arrays;
import org.junit.jupiter.api.Test;

/** At 2 Hz a window is one frame, and 30 s are 60 of them. */
class LoudPartTest {

  private static int[] find(double... energy) {
    return LoudPart.find(WindowGrid.halfSeconds(new TimeRange(0, energy.length), 2), energy, 2);
  }

  private static double[] quiet(int windows) {
    double[] energy = new double[windows];
    Arrays.fill(energy, 1);
    return energy;
  }

  @Test
  void isTheThirtySecondsOfGreatestEnergy() {
    double[] energy = quiet(100);
    energy[30] = 2;
    energy[89] = 2;
    assertArrayEquals(new int[] {30, 90}, find(energy));
  }

  @Test
  void theEarliestWinsATie() {
    assertArrayEquals(new int[] {0, 60}, find(quiet(100)));
    double[] energy = quiet(100);
    energy[70] = 2;
    assertArrayEquals(new int[] {11, 71}, find(energy), "the first that holds window 70");
  }

  @Test
  void aSongOfLessThanThirtySecondsIsAllLoudPart() {
    assertArrayEquals(new int[] {0, 59}, find(quiet(59)));
    assertArrayEquals(new int[] {0, 1}, find(quiet(1)));
    assertArrayEquals(new int[] {0, 60}, find(quiet(60)));
  }

  @Test
  void aSilentSongHasOneToo() {
    assertArrayEquals(new int[] {0, 60}, find(new double[90]));
  }

  @Test
  void aPartialLastWindowCountsOnlyIfThirtySecondsAreReached() {
    // 8 Hz: windows of 4 frames; 61 of them, the last of one frame only. 30 s are 240 frames, and
    // the 60 windows from the second one on have 237.
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(0, 241), 8);
    double[] energy = quiet(61);
    energy[60] = 100;
    assertArrayEquals(new int[] {0, 60}, LoudPart.find(grid, energy, 8));
  }

  @Test
  void atAnOddRateTheFewestWindowsThatReachThirtySecondsAreTaken() {
    // 11 Hz: round(5.5) = 6 frames a window; 330 frames are 55 windows.
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(0, 600), 11);
    assertArrayEquals(new int[] {0, 55}, LoudPart.find(grid, quiet(100), 11));
  }

  @Test
  void beatsThatDoNotDivideThirtySecondsReachPastIt() {
    // 0.7 s a beat: 43 beats are 30.1 s.
    TempoMap tempo = new TempoMap(60 / 0.7, 4, 4, 0);
    WindowGrid grid = WindowGrid.beats(new TimeRange(0, 10_000), 100, tempo);
    double[] energy = quiet(grid.windows());
    energy[50] = 2;
    assertArrayEquals(new int[] {8, 51}, LoudPart.find(grid, energy, 100));
  }

  @Test
  void aNamedSectionIsTheWindowsThatLieInItWhole() {
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(100, 200), 20);
    assertArrayEquals(new int[] {0, 10}, LoudPart.named(grid, new TimeRange(0, 1_000)));
    assertArrayEquals(new int[] {2, 4}, LoudPart.named(grid, new TimeRange(120, 140)));
    assertArrayEquals(new int[] {2, 4}, LoudPart.named(grid, new TimeRange(111, 149)));
    assertArrayEquals(
        new int[] {2, 4}, LoudPart.named(grid, new TimeRange(125, 135)), "none is whole: touched");
    assertArrayEquals(new int[] {2, 3}, LoudPart.named(grid, new TimeRange(125, 126)));
    assertArrayEquals(new int[] {9, 10}, LoudPart.named(grid, new TimeRange(199, 900)));
    assertEquals(new TimeRange(120, 140), LoudPart.range(grid, new int[] {2, 4}));
  }
}
