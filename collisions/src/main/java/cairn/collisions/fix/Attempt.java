package cairn.collisions.fix;

import java.util.List;

/**
 * A fix that was tried and is not refused; it clears the moment or lowers it.
 *
 * @param fix the fix
 * @param cleared whether no frame of the neighbourhood is over after it; else it is partial
 * @param leftLevel the highest level left in the neighbourhood, linear
 * @param change its affected range, and what a clip cuts off
 * @param combs the other leading stems that carry the same sound, in stem order; empty but for a
 *     nudge
 */
public record Attempt(
    Fix fix, boolean cleared, double leftLevel, Change change, List<Integer> combs) {
  public Attempt {
    combs = List.copyOf(combs);
  }

  /** The same with the stems that it combs with. */
  Attempt withCombs(List<Integer> newCombs) {
    return new Attempt(fix, cleared, leftLevel, change, newCombs);
  }
}
