package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import cairn.collisions.moment.Moment;
import org.junit.jupiter.api.Test;

class AnalysisTest {

  @Test
  void twoImpulsesOnOneFrameMakeACollisionOfDepthTwo() {
    // 5 s are ten windows. Nine of them peak at 0.25, that of the impulses at 0.2 + 0.18 on top of
    // the sine, which is 0 at frame 4800 (a whole number of its periods of 480 frames).
    ArrayStems stems =
        new ArrayStems(48_000)
            .mono("bed", 240_000, n -> 0.25 * Math.sin(2 * Math.PI * n / 480.0))
            .mono("kick", 240_000, n -> n == 4_800 ? 0.2 : 0)
            .mono("surdo", 240_000, n -> n == 4_800 ? 0.18 : 0);

    Pass pass = stems.analyse(Settings.DEFAULT);

    double averagePeak = (9 * 0.25 + 0.38) / 10;
    assertEquals(averagePeak, pass.line().averagePeak().overall(), 1e-12);
    assertEquals(1, pass.moments().size());
    Moment moment = pass.moments().get(0);
    assertEquals(4_800, moment.peakFrame());
    assertEquals(2, moment.depth());
    assertFalse(moment.isLone());
    assertEquals(0.38, moment.peak(), 1e-12);
    assertEquals(1, moment.contributions().get(0).stem());
    assertEquals(0.2 / 0.38, moment.contributions().get(0).share(), 1e-12);
    assertEquals(20 * Math.log10(0.38 / averagePeak), moment.excessDb(), 1e-9);
  }
}
