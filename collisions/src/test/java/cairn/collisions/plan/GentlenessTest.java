package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.fix.Change;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import org.junit.jupiter.api.Test;

class GentlenessTest {

  private static Gentleness of(Fix fix, int sampleRateHz) {
    return Gentleness.of(fix, Change.NOTHING, false, false, sampleRateHz);
  }

  private static Gentleness ofLobe(int frames, int sampleRateHz) {
    Change change = new Change(0, 10, frames, frames, false);
    return Gentleness.of(new Clip(0, 0, 10, -60), change, false, false, sampleRateHz);
  }

  @Test
  void trimsAreSmallUpToOneDecibel() {
    assertEquals(Gentleness.SMALL_TRIM, of(new Trim(0, 0, 10, 10), 48_000));
    assertEquals(Gentleness.TRIM, of(new Trim(0, 0, 10, 11), 48_000));
  }

  @Test
  void nudgesAreSmallUpToOneMillisecondEitherWay() {
    assertEquals(Gentleness.SMALL_NUDGE, of(new Nudge(0, 0, 10, 48), 48_000));
    assertEquals(Gentleness.SMALL_NUDGE, of(new Nudge(0, 0, 10, -44), 44_100));
    assertEquals(Gentleness.NUDGE, of(new Nudge(0, 0, 10, -45), 44_100));
    assertEquals(Gentleness.NUDGE, of(new Nudge(0, 0, 10, 49), 48_000));
  }

  @Test
  void lobesAreShortUpToThreeFramesAtCommonRatesAndOneAtLowOnes() {
    assertEquals(Gentleness.SHORT_CLIP, ofLobe(3, 44_100));
    assertEquals(Gentleness.CLIP, ofLobe(4, 44_100));
    assertEquals(Gentleness.SHORT_CLIP, ofLobe(3, 48_000));
    assertEquals(Gentleness.CLIP, ofLobe(4, 48_000));
    assertEquals(Gentleness.SHORT_CLIP, ofLobe(6, 96_000));
    assertEquals(Gentleness.SHORT_CLIP, ofLobe(1, 8_000));
    assertEquals(Gentleness.CLIP, ofLobe(2, 8_000));
  }

  @Test
  void combingAndSustainedAreLastResorts() {
    Gentleness combs = Gentleness.of(new Nudge(0, 0, 9, 1), Change.NOTHING, true, false, 48_000);
    Gentleness held = Gentleness.of(new Trim(0, 0, 9, 1), Change.NOTHING, false, true, 48_000);
    assertEquals(Gentleness.COMBING_NUDGE, combs);
    assertEquals(Gentleness.SUSTAINED_TRIM, held);
    assertEquals(true, combs.isLastResort() && held.isLastResort());
    assertEquals(false, Gentleness.CLIP.isLastResort());
  }
}
