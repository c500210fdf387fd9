package cairn.tui.update;

import cairn.collisions.plan.Mark;
import cairn.tui.model.Deeds;
import cairn.tui.model.Earlier;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/** The rows of the Marks screen: all marks, then notes on moments without one. */
public final class MarkRows {

  /**
   * One row.
   *
   * @param momentFrame peak frame of the moment
   * @param mark empty: a note alone
   * @param earlier the fix of the pass before, which stays as it is; its mark is empty
   */
  public record MarkRow(long momentFrame, Optional<Mark> mark, Optional<Earlier.Made> earlier) {
    MarkRow(long momentFrame, Optional<Mark> mark) {
      this(momentFrame, mark, Optional.empty());
    }
  }

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
    Optional<Earlier> earlier = model.song().flatMap(Song::earlier);
    for (Earlier.Made made : earlier.map(Earlier::fixes).orElse(List.of())) {
      rows.add(new MarkRow(made.mark().momentFrame(), Optional.empty(), Optional.of(made)));
    }
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
    if (isEarlier(turn, row.get())) {
      return;
    }
    Deeds deeds = turn.now.deeds;
    String at = turn.time(row.get().momentFrame());
    if (row.get().mark().isPresent()) {
      turn.marks(
          deeds.marks().remove(row.get().mark().get()),
          "mark at " + at + " taken off; u undoes it");
    } else {
      Map<Long, String> notes = new HashMap<>(deeds.notes());
      notes.remove(row.get().momentFrame());
      turn.deed(deeds.withNotes(notes), "note at " + at + " taken off; u undoes it");
    }
    int rows = of(turn.model()).size();
    int selected = turn.now.selectedOn(Screen.MARKS);
    turn.now.select(Screen.MARKS, Math.max(0, Math.min(selected, rows - 1)));
  }

  static void done(Turn turn) {
    Optional<MarkRow> row = selected(turn);
    if (row.isEmpty()) {
      turn.say("there is no mark yet");
      return;
    }
    if (isEarlier(turn, row.get())) {
      return;
    }
    WalkDeeds.toggleDone(turn, List.of(Listed.of(turn.model()).frameOf(row.get().momentFrame())));
  }

  private static boolean isEarlier(Turn turn, MarkRow row) {
    if (row.earlier().isPresent()) {
      turn.say("that mark is of the pass before and stays; Enter shows its moment as it is now");
    }
    return row.earlier().isPresent();
  }

  static void goThere(Turn turn) {
    Optional<MarkRow> row = selected(turn);
    if (row.isEmpty()) {
      turn.say("there is no mark yet");
      return;
    }
    turn.open(Screen.WALK);
    long frame = Listed.of(turn.model()).frameOf(row.get().momentFrame());
    if (!turn.selectFrame(frame) && !turn.now.narrowed.isEmpty()) {
      turn.now.narrowed = "";
      turn.refreshRows();
      turn.say("all moments again: this one was not among those shown");
    }
    if (!turn.selectFrame(frame)) {
      turn.say("nothing is over the line there now; M lists the marks");
      return;
    }
    turn.settleSelection();
    turn.now.picked =
        row.get()
            .mark()
            .filter(Mark.OfFix.class::isInstance)
            .map(mark -> OptionalInt.of(((Mark.OfFix) mark).fix().stem()))
            .orElse(OptionalInt.empty());
  }
}
