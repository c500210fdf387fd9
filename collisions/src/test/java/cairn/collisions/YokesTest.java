package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

class YokesTest {

  @Test
  void groupsWithAStemInCommonAreOneInAnyOrder() {
    Yokes chain = Yokes.of(List.of(List.of(3, 1), List.of(5, 4), List.of(4, 1)));
    assertEquals(List.of(List.of(1, 3, 4, 5)), chain.groups());
    assertEquals(chain, Yokes.of(List.of(List.of(1, 4), List.of(1, 3), List.of(4, 5))));
  }

  @Test
  void aCycleOfYokesIsOneGroup() {
    Yokes cycle = Yokes.NONE.with(Set.of(0, 1)).with(Set.of(1, 2)).with(Set.of(2, 0));
    assertEquals(List.of(List.of(0, 1, 2)), cycle.groups());
    assertEquals(List.of(0, 2), cycle.othersOf(1));
  }

  @Test
  void aStemTakenOutMovesAloneAndAGroupOfOneIsNone() {
    Yokes three = Yokes.of(List.of(List.of(0, 1, 2), List.of(4, 6)));
    assertEquals(List.of(List.of(0, 2), List.of(4, 6)), three.without(1).groups());
    assertEquals(List.of(List.of(0, 1, 2)), three.without(6).groups());
    assertFalse(three.without(6).isYoked(4));
    assertTrue(three.isYoked(4));
    assertEquals(List.of(5), three.groupOf(5));
    assertEquals(Yokes.NONE, Yokes.of(List.of(List.of(2, 2), List.of(7))));
  }

  @Test
  void aNudgeOrTrimActsOnAllAndAClipStays() {
    Yokes yokes = Yokes.of(List.of(List.of(0, 2)));
    assertEquals(
        List.of(new Nudge(0, 5, 9, 3), new Nudge(2, 5, 9, 3)), new Nudge(2, 5, 9, 3).onAll(yokes));
    assertEquals(List.of(new Trim(1, 5, 9, 3)), new Trim(1, 5, 9, 3).onAll(yokes));
    assertEquals(List.of(new Clip(2, 5, 9, -3)), new Clip(2, 5, 9, -3).onAll(yokes));
  }

  @Test
  void aSessionHasTheStemsThatItYokes() {
    Session two = Session.atUnity(48_000, List.of(new Stem("a", 1, 9), new Stem("b", 1, 9)));
    assertEquals(List.of(0, 1), two.withYokes(Yokes.of(List.of(List.of(0, 1)))).yokes().groupOf(1));
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class, () -> two.withYokes(Yokes.of(List.of(List.of(1, 2)))));
    assertEquals("yoked stems must be from 0 to 1: group=[1, 2]", refused.getMessage());
  }
}
