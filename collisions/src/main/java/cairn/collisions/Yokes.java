package cairn.collisions;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/**
 * Stems that move together: a nudge or trim of one acts on all of its group over the same frames, a
 * clip stays on its stem; definitions.md, 1.
 *
 * <p>Groups share no stem: two that are given with one stem in common are one, whichever way round
 * and however often a pair is named.
 */
public final class Yokes {

  /** Every stem moves alone. */
  public static final Yokes NONE = new Yokes(List.of());

  private final List<List<Integer>> groups;

  private Yokes(List<List<Integer>> groups) {
    this.groups = groups;
  }

  /**
   * Yokes the stems of each group.
   *
   * @param groups indices of stems; groups of fewer than two yoke nothing
   */
  public static Yokes of(Collection<? extends Collection<Integer>> groups) {
    List<Set<Integer>> merged = new ArrayList<>();
    for (Collection<Integer> group : groups) {
      Set<Integer> all = new TreeSet<>(group);
      for (int i = merged.size() - 1; i >= 0; i--) {
        if (merged.get(i).stream().anyMatch(group::contains)) {
          all.addAll(merged.remove(i));
        }
      }
      merged.add(all);
    }
    return new Yokes(
        merged.stream()
            .filter(group -> group.size() > 1)
            .map(List::copyOf)
            .sorted(Comparator.comparing(group -> group.get(0)))
            .toList());
  }

  /** With some more stems yoked to each other. */
  public Yokes with(Collection<Integer> stems) {
    List<Collection<Integer>> all = new ArrayList<>(groups);
    all.add(stems);
    return of(all);
  }

  /** With a stem that moves alone. */
  public Yokes without(int stem) {
    return of(
        groups.stream()
            .map(group -> group.stream().filter(member -> member != stem).toList())
            .toList());
  }

  /** All groups of two stems or more, each in stem order, by their first stem. */
  public List<List<Integer>> groups() {
    return groups;
  }

  /** The stems that move with this one, itself among them, in stem order. */
  public List<Integer> groupOf(int stem) {
    for (List<Integer> group : groups) {
      if (group.contains(stem)) {
        return group;
      }
    }
    return List.of(stem);
  }

  /** The other stems that move with this one, in stem order. */
  public List<Integer> othersOf(int stem) {
    return groupOf(stem).stream().filter(member -> member != stem).toList();
  }

  /** Whether it moves with others. */
  public boolean isYoked(int stem) {
    return groupOf(stem).size() > 1;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Yokes yokes && groups.equals(yokes.groups);
  }

  @Override
  public int hashCode() {
    return groups.hashCode();
  }

  @Override
  public String toString() {
    return "Yokes" + groups;
  }
}
