package cairn.collisions.moment;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class OverRunTest {

  private static OverRun run(long first, long last, double peak) {
    long frames = last - first + 1;
    return new OverRun(first, last, first, 0, peak, frames, frames, frames, frames);
  }

  private static List<OverRun> joined(long gap, OverRun... runs) {
    List<List<OverRun>> parts = new ArrayList<>();
    for (OverRun run : runs) {
      parts.add(List.of(run));
    }
    return OverRun.joinedAll(parts, gap);
  }

  @Test
  void aDistanceOfTheGapJoinsAndOneMoreDoesNot() {
    assertEquals(1, joined(10, run(0, 5, 1), run(15, 15, 1)).size());
    assertEquals(2, joined(10, run(0, 5, 1), run(16, 16, 1)).size());
  }

  @Test
  void chainsLinkUp() {
    List<OverRun> one = joined(10, run(0, 0, 1), run(10, 10, 3), run(20, 21, 2), run(31, 31, 3));
    assertEquals(List.of(new OverRun(0, 31, 10, 0, 3, 5, 1, 1, 2)), one);
  }

  @Test
  void theFirstMaximumAndItsChannelStay() {
    OverRun right = new OverRun(3, 3, 3, 1, 0.5, 1, 1, 1, 1);
    assertEquals(1, run(0, 0, 0.25).joined(right).channel());
    assertEquals(3, run(0, 0, 0.25).joined(right).peakFrame());
    assertEquals(0, run(0, 0, 0.5).joined(right).channel());
    assertEquals(0, run(0, 0, 0.5).joined(right).peakFrame());
  }

  @Test
  void aRunCutInPiecesIsAsLongAsWhole() {
    OverRun pieces = joined(10, run(0, 4, 1), run(5, 5, 1), run(6, 9, 1)).get(0);
    assertEquals(run(0, 9, 1), pieces);
    // 3 touching 4, a hole, 2 touching 3: 7 and 5.
    OverRun holed = joined(10, run(0, 2, 1), run(3, 6, 1), run(8, 9, 1), run(10, 12, 1)).get(0);
    assertEquals(new OverRun(0, 12, 0, 0, 1, 12, 7, 5, 7), holed);
    // The same, joined from the right.
    OverRun right = run(8, 9, 1).joined(run(10, 12, 1));
    assertEquals(holed, run(0, 2, 1).joined(run(3, 6, 1).joined(right)));
  }

  @Test
  void thirtyFiveMillisecondsAreRoundedHalfUp() {
    assertEquals(1_680, OverFrames.gapFrames(48_000));
    assertEquals(1_544, OverFrames.gapFrames(44_100), "1543.5");
    assertEquals(386, OverFrames.gapFrames(11_025), "385.875");
  }
}
