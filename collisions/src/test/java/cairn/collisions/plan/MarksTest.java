package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class MarksTest {

  private static final Mark TRIM = Mark.of(500, new Trim(0, 400, 900, 12));
  private static final Mark NUDGE = Mark.of(500, new Nudge(1, 400, 900, -7));
  private static final Mark FINE = Mark.fine(2_000);

  @Test
  void marksStandInTheOrderInWhichTheyWereMade() {
    Marks marks = Marks.NONE.add(NUDGE).add(FINE).add(TRIM);

    assertEquals(List.of(NUDGE, FINE, TRIM), marks.list());
    assertEquals(List.of(NUDGE, TRIM), marks.fixes());
    assertEquals(List.of(2_000L), marks.fineFrames());
  }

  @Test
  void aChangeLeavesTheOldValueAsItWas() {
    Marks before = Marks.NONE.add(NUDGE).add(TRIM);

    assertEquals(List.of(TRIM), before.remove(NUDGE).list());
    assertEquals(List.of(NUDGE, TRIM), before.list());
  }

  @Test
  void aNewFixInPlaceOfAnOldOneIsMadeLast() {
    Mark deeper = Mark.of(500, new Trim(0, 400, 900, 15));

    Marks marks = Marks.NONE.add(TRIM).add(NUDGE).replace(TRIM, deeper);

    assertEquals(List.of(NUDGE, deeper), marks.list());
  }

  @Test
  void aNoteLeavesTheMarkInItsPlace() {
    Mark noted = TRIM.withNote("ask the drummer");

    Marks marks = Marks.NONE.add(TRIM).add(NUDGE).replace(TRIM, noted);

    assertEquals(List.of(noted, NUDGE), marks.list());
    assertEquals(Optional.of("ask the drummer"), marks.list().get(0).note());
    assertTrue(noted.withNote(" ").note().isEmpty());
  }

  @Test
  void aMarkThatIsNotThereCannotBeTakenOff() {
    assertThrows(IllegalArgumentException.class, () -> Marks.NONE.remove(TRIM));
  }

  @Test
  void theSameMarkTwiceIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> Marks.NONE.add(TRIM).add(TRIM));
  }
}
