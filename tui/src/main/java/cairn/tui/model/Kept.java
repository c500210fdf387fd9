package cairn.tui.model;

import cairn.collisions.Fader;
import cairn.collisions.Settings;
import cairn.collisions.plan.Marks;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What a session keeps from one opening to the next.
 *
 * @param marks fixes and moments called fine, with their notes, in the order in which they were
 *     made
 * @param done peak frames of the moments that were done at the desk
 * @param notes notes on moments, by peak frame
 * @param leftAlone stems that no fix may touch
 * @param faders one a stem
 * @param sections named sections
 * @param settings what is asked of the analysis: line, goal, baseline, range
 * @param order how the list is sorted
 * @param selectedFrame peak frame of the selected moment; −1: none
 * @param used tips that need not be given again
 */
public record Kept(
    Marks marks,
    Set<Long> done,
    Map<Long, String> notes,
    Set<Integer> leftAlone,
    List<Fader> faders,
    List<Song.Section> sections,
    Settings settings,
    Order order,
    long selectedFrame,
    Set<String> used) {

  public Kept {
    done = Set.copyOf(done);
    notes = Map.copyOf(notes);
    leftAlone = Set.copyOf(leftAlone);
    faders = List.copyOf(faders);
    sections = List.copyOf(sections);
    used = Set.copyOf(used);
  }
}
