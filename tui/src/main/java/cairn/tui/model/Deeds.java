package cairn.tui.model;

import cairn.collisions.plan.Marks;
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
}
