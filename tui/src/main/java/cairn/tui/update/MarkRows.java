package cairn.tui.update;

import cairn.collisions.plan.Mark;
import cairn.tui.model.Deeds;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** The rows of the Marks screen: all marks, then notes on moments without one. */
public final class MarkRows {

  /**
   * One row.
   *
   * @param momentFrame peak frame of the moment
   * @param mark empty: a note alone
   */
  public record MarkRow(long momentFrame, Optional<Mark> mark) {}

  private MarkRows() {}

  /** The rows by time. */
  public static List<MarkRow> of(Model model) {
    List<MarkRow> rows = new ArrayList<>();
    Deeds deeds = model.deeds();
    for (Mark mark : deeds.marks().list()) {
      rows.add(new MarkRow(mark.momentFrame(), Optional.of(mark)));
    }
    deeds.notes().keySet().stream()
        .filter(frame -> deeds.marks().list().stream().noneMatch(m -> m.momentFrame() == frame))
        .forEach(frame -> rows.add(new MarkRow(frame, Optional.empty())));
    rows.sort(Comparator.comparingLong(MarkRow::momentFrame));
    return rows;
  }

  static Optional<MarkRow> selected(Turn turn) {
    List<MarkRow> rows = of(turn.model());
    int at = turn.now.selectedOn(Screen.MARKS);
    return at < rows.size() ? Optional.of(rows.get(at)) : Optional.empty();
  }

  static void drop(Turn turn) {
    Optional<MarkRow> row = selected(turn);
    if (row.isEmpty()) {
      turn.say("there is no mark yet");
      return;
    }
    Deeds deeds = turn.now.deeds;
    if (row.get().mark().isPresent()) {
      turn.marks(deeds.marks().remove(row.get().mark().get()), "mark taken off; u undoes it");
    } else {
      Map<Long, String> notes = new HashMap<>(deeds.notes());
      notes.remove(row.get().momentFrame());
      turn.deed(
          new Deeds(deeds.marks(), deeds.done(), notes, deeds.leftAlone()),
          "note taken off; u undoes it");
    }
    int rows = of(turn.model()).size();
    int at = turn.now.selectedOn(Screen.MARKS);
    turn.now.select(Screen.MARKS, Math.max(0, Math.min(at, rows - 1)));
  }

  static void done(Turn turn) {
    selected(turn).ifPresent(row -> WalkDeeds.toggleDone(turn, List.of(row.momentFrame())));
  }

  static void goThere(Turn turn) {
    Optional<MarkRow> row = selected(turn);
    if (row.isEmpty()) {
      turn.say("there is no mark yet");
      return;
    }
    turn.open(Screen.WALK);
    if (!turn.selectFrame(row.get().momentFrame())) {
      turn.now.narrowed = "";
      turn.refreshRows();
      turn.selectFrame(row.get().momentFrame());
    }
  }
}
