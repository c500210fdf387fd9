package cairn.tui.model;

import cairn.collisions.moment.Moment;
import java.util.List;

/**
 * One row of the list: a moment and all alike to it.
 *
 * @param head the highest of them, as found
 * @param places all of them, the head first, by rank
 * @param state how it stands
 * @param over whether any of them is over with the marks there are; the marks' own sum, or as found
 *     while that is not there
 */
public record Row(Moment head, List<Moment> places, State state, boolean over) {
  public Row {
    places = List.copyOf(places);
  }
}
