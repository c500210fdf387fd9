package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.tui.model.Samples;
import java.util.List;
import org.junit.jupiter.api.Test;

class SumsSoFarTest {

  private static Session session(long frames) {
    return Session.atUnity(48_000, List.of(new Stem("caixa", 1, frames)));
  }

  @Test
  void whatIsNotSummedIsToldFromSilence() {
    SumsSoFar sums = new SumsSoFar(session(1_000_000));
    sums.add(500_000, 500, new double[] {9, 0, 0.25, 0.5, 9}, 1, 4);
    Samples peaks = sums.now().peaks();
    // 1000 stretches of 1000 frames: two blocks fill the one in the middle, a third the next.
    assertEquals(-1, peaks.at(499));
    assertEquals(0.25f, peaks.at(500));
    assertEquals(0.5f, peaks.at(501));
    assertEquals(-1, peaks.at(502));
  }

  @Test
  void aBlockIsSeenInEveryStretchThatItReachesInto() {
    SumsSoFar sums = new SumsSoFar(session(2_000));
    // Two frames a stretch; the last block ends after the song.
    sums.add(1_990, 16, new double[] {0.5}, 0, 1);
    Samples peaks = sums.now().peaks();
    assertEquals(-1, peaks.at(994));
    for (int i = 995; i < 1_000; i++) {
      assertEquals(0.5f, peaks.at(i), "stretch " + i);
    }
  }
}
