package cairn.tui.model;

import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What the engineer has decided: what undo gives back.
 *
 * @param marks fixes and moments called fine
 * @param done peak frames of moments done at the desk
 * @param notes notes by peak frame
 * @param leftAlone stems that no fix may touch
 */
public record Deeds(Marks marks, Set<Long> done, Map<Long, String> notes, Set<Integer> leftAlone) {

  /** Nothing decided. */
  public static final Deeds NONE = new Deeds(Marks.NONE, Set.of(), Map.of(), Set.of());

  public Deeds {
    done = Set.copyOf(done);
    notes = Map.copyOf(notes);
    leftAlone = Set.copyOf(leftAlone);
  }

  /** The same with other marks. */
  public Deeds withMarks(Marks other) {
    return new Deeds(other, done, notes, leftAlone);
  }

  /** The same with other moments done at the desk. */
  public Deeds withDone(Set<Long> other) {
    return new Deeds(marks, other, notes, leftAlone);
  }

  /** The same with other notes. */
  public Deeds withNotes(Map<Long, String> other) {
    return new Deeds(marks, done, other, leftAlone);
  }

  /** The same with other stems left alone. */
  public Deeds withLeftAlone(Set<Integer> other) {
    return new Deeds(marks, done, notes, other);
  }

  /** The fixes in order, without their notes: what the bus is summed with. */
  public List<Mark> sounding() {
    return marks.fixes().stream().map(mark -> mark.withNote("")).toList();
  }
}
