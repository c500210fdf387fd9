package cairn.tui.update;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.State;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Key scripts on a second pass; screens.md, "A second pass". */
class SecondPassScriptTest {

  private static List<State> states(WalkScript walk) {
    return walk.model.rows().stream().map(Row::state).distinct().sorted().toList();
  }

  private static State stateAt(WalkScript walk, long frame) {
    return walk.model.rows().stream()
        .filter(row -> row.places().stream().anyMatch(place -> place.peakFrame() == frame))
        .findFirst()
        .orElseThrow()
        .state();
  }

  @Test
  void eachMomentSaysWhatBecameOfItUntilItIsMarkedAnew() {
    WalkScript walk = WalkScript.openSecond();
    assertEquals("pass 2: 1 gone, 1 lower, 1 still there, 3 new", walk.said());
    assertEquals(List.of(State.GONE, State.LOWER, State.STILL, State.NEW), states(walk));

    long highest = walk.model.row().orElseThrow().head().peakFrame();
    assertEquals(State.LOWER, stateAt(walk, highest));
    walk.press("f");
    assertEquals(State.FINE, stateAt(walk, highest));
    walk.press("u");
    assertEquals(State.LOWER, stateAt(walk, highest));
  }

  @Test
  void whatIsGoneIsListedLastAndNeverToDecide() {
    WalkScript walk = WalkScript.openSecond();
    List<Row> rows = walk.model.rows();
    assertEquals(State.GONE, rows.get(rows.size() - 1).state());
    assertFalse(rows.get(rows.size() - 1).state().isOpen());
    for (int i = 0; i < rows.size() + 2; i++) {
      walk.press("Space");
      assertTrue(walk.model.row().orElseThrow().state().isOpen(), "row " + i);
    }
  }

  @Test
  void marksOfThePassBeforeAreListedAndStay() {
    WalkScript walk = WalkScript.openSecond().press("M");
    assertEquals(Screen.MARKS, walk.model.screen());
    List<MarkRows.MarkRow> rows = MarkRows.of(walk.model);
    assertEquals(1, rows.size());
    assertEquals("claps", rows.get(0).earlier().orElseThrow().stem());
    walk.press("x");
    assertEquals(
        "that mark is of the pass before and stays; Enter shows its moment as it is now",
        walk.said());
    assertEquals(1, MarkRows.of(walk.model).size());
    // From 0.8 to 0.4, the half, is 6.0 dB; there is only the bed's 0.2 now, 12.0 dB lower.
    assertEquals(
        Optional.of("told 6.0, got 12.0 dB"),
        walk.model
            .song()
            .orElseThrow()
            .earlier()
            .orElseThrow()
            .fate(38_000)
            .map(Compared::toldAndGot));
  }
}
