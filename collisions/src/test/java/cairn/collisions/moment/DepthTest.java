package cairn.collisions.moment;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** definitions.md, 3. Amplitudes are sums of powers of two, so that sums are exact. */
class DepthTest {

  private static int depth(double averagePeak, double line, double... falling) {
    List<Contribution> contributions = new ArrayList<>();
    for (double amplitude : falling) {
      contributions.add(new Contribution(contributions.size(), amplitude, 0, 0, 0));
    }
    return Depth.of(contributions, averagePeak, line);
  }

  @Test
  void oneStemIsEnoughOnlyIfItPassesTheLine() {
    assertEquals(1, depth(0.5, 0.625, 0.75, 0.25));
    assertEquals(2, depth(0.5, 0.625, 0.5625, 0.25), "over the average peak only");
    assertEquals(2, depth(0.5, 0.625, 0.625, 0.25), "at the line is not over it");
  }

  @Test
  void twoAndMoreNeedOnlyPassTheAveragePeak() {
    assertEquals(2, depth(0.5, 0.75, 0.375, 0.25, 0.25));
    assertEquals(3, depth(0.5, 0.75, 0.25, 0.25, 0.25, 0.25), "0.5 is not over 0.5");
  }

  @Test
  void aLineBelowTheAveragePeakCountsInstead() {
    assertEquals(1, depth(0.5, 0.25, 0.375, 0.25));
    assertEquals(2, depth(0.5, 0.25, 0.1875, 0.125, 0.125));
  }

  @Test
  void stemsThatEaseDoNotCount() {
    assertEquals(2, depth(0.5, 0.625, 0.5, 0.25, 0, -0.0625));
  }

  @Test
  void whereRoundingKeepsTheSumAtTheLineAllThatAddToThePeakMakeItUp() {
    // Sorted, (1 + 2^-53) + 2^-53 stays 1; in stem order, small ones first, it is above 1.
    assertEquals(3, depth(1, 1, 1, 0x1p-53, 0x1p-53, 0, -0.0));
  }
}
