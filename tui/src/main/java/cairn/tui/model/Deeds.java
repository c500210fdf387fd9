package cairn.tui.model;

import cairn.collisions.Fader;
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
 * @param faders one a stem, as collected until they are summed; none: as the stems were summed
 */
public record Deeds(
    Marks marks,
    Set<Long> done,
    Map<Long, String> notes,
    Set<Integer> leftAlone,
    List<Fader> faders) {

  /** Nothing decided. */
  public static final Deeds NONE = new Deeds(Marks.NONE, Set.of(), Map.of(), Set.of());

  public Deeds {
    done = Set.copyOf(done);
    notes = Map.copyOf(notes);
    leftAlone = Set.copyOf(leftAlone);
    faders = List.copyOf(faders);
  }

  /** With the faders as the stems were summed. */
  public Deeds(Marks marks, Set<Long> done, Map<Long, String> notes, Set<Integer> leftAlone) {
    this(marks, done, notes, leftAlone, List.of());
  }

  /** The same with other marks. */
  public Deeds withMarks(Marks other) {
    return new Deeds(other, done, notes, leftAlone, faders);
  }

  /** The same with other moments done at the desk. */
  public Deeds withDone(Set<Long> other) {
    return new Deeds(marks, other, notes, leftAlone, faders);
  }

  /** The same with other notes. */
  public Deeds withNotes(Map<Long, String> other) {
    return new Deeds(marks, done, other, leftAlone, faders);
  }

  /** The same with other stems left alone. */
  public Deeds withLeftAlone(Set<Integer> other) {
    return new Deeds(marks, done, notes, other, faders);
  }

  /** The same with other faders collected. */
  public Deeds withFaders(List<Fader> other) {
    return new Deeds(marks, done, notes, leftAlone, other);
  }

  /** The fixes in order, without their notes: what the bus is summed with. */
  public List<Mark> sounding() {
    return marks.fixes().stream().map(mark -> mark.withNote("")).toList();
  }
}
