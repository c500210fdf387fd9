package cairn.tui.view;

import cairn.collisions.moment.Contribution;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Predicate;

/**
 * The rows of the pile: the largest stones, then what is folded, by folder where the stems lie in
 * folders, last what eases. Folded is what there is no room for, and of a pile of many what adds
 * nothing that the figures could tell. The picked stem is always among the rows.
 */
final class PileRows {

  /** A share of less is told as 0 %. */
  private static final double TOLD_FROM = 0.005;

  /** In a pile of so many stems, those that would be told as 0 % are folded. */
  private static final int MANY = 20;

  /**
   * A row.
   *
   * @param place place of the stem in the pile, from 0; −1: several stems, folded
   * @param one the stem's contribution; null: several
   * @param group first-level folder of those folded; empty: none
   * @param folded how many stems are folded
   * @param from where it begins, linear
   * @param to where it ends, linear; under {@code from}: it eases
   */
  record Stone(int place, Contribution one, String group, int folded, double from, double to) {
    boolean eases() {
      return to < from;
    }
  }

  private PileRows() {}

  /**
   * The rows.
   *
   * @param pile the contributions in falling order
   * @param groups first-level folder of each stem; none: empty
   * @param most how many rows there may be, at least 3
   */
  static List<Stone> of(
      List<Contribution> pile, List<String> groups, int most, OptionalInt picked) {
    // In falling order: stems that add, those told as 0 %, stems that ease.
    int adding = count(pile, c -> c.share() >= TOLD_FROM);
    int easing = count(pile, c -> c.share() <= -TOLD_FROM);
    int untold = pile.size() - adding - easing;
    if (pile.size() < MANY || untold < 2) {
      adding += untold;
      untold = 0;
    }
    int foldRows = untold > 0 ? 1 : 0;
    if (adding + foldRows + easing > most) {
      int rest = most - Math.min(easing, 1);
      foldRows = Set.copyOf(groups).size() > 1 ? Math.max(1, rest / 3) : 1;
      adding = Math.min(adding, rest - foldRows);
      easing = Math.min(easing, most - foldRows - adding);
    }
    List<Integer> alone = new ArrayList<>();
    for (int i = 0; i < adding; i++) {
      alone.add(i);
    }
    int lastFrom = pile.size() - easing;
    int pickedAt = placeOf(pile, picked);
    if (pickedAt >= adding && pickedAt < lastFrom) {
      if (adding + foldRows + easing == most && adding > 0) {
        alone.remove(adding - 1);
      }
      alone.add(pickedAt);
    }
    List<Fold> folds = foldRows > 0 ? folds(pile, groups, alone, lastFrom, foldRows) : List.of();
    return stones(pile, alone, folds, lastFrom);
  }

  private static int count(List<Contribution> pile, Predicate<Contribution> which) {
    return (int) pile.stream().filter(which).count();
  }

  /** The place of a stem in the pile; −1: it is not there. */
  static int placeOf(List<Contribution> pile, OptionalInt stem) {
    for (int i = 0; stem.isPresent() && i < pile.size(); i++) {
      if (pile.get(i).stem() == stem.getAsInt()) {
        return i;
      }
    }
    return -1;
  }

  private record Fold(String group, int stems, double amplitude) {}

  private static List<Fold> folds(
      List<Contribution> pile, List<String> groups, List<Integer> alone, int lastFrom, int most) {
    Map<String, Fold> byGroup = new LinkedHashMap<>();
    for (int i = 0; i < lastFrom; i++) {
      if (!alone.contains(i)) {
        int k = pile.get(i).stem();
        String group = most > 1 && k < groups.size() ? groups.get(k) : "";
        byGroup.merge(group, new Fold(group, 1, pile.get(i).amplitude()), PileRows::together);
      }
    }
    List<Fold> folds = new ArrayList<>(byGroup.values());
    folds.sort(Comparator.comparingDouble(Fold::amplitude).reversed());
    while (folds.size() > most) {
      Fold a = folds.remove(folds.size() - 1);
      Fold b = folds.remove(folds.size() - 1);
      folds.add(together(new Fold("", 0, 0), together(a, b)));
    }
    return folds;
  }

  private static Fold together(Fold a, Fold b) {
    return new Fold(a.group, a.stems + b.stems, a.amplitude + b.amplitude);
  }

  private static List<Stone> stones(
      List<Contribution> pile, List<Integer> alone, List<Fold> folds, int lastFrom) {
    List<Stone> stones = new ArrayList<>();
    double from = 0;
    for (int i : alone) {
      double to = from + pile.get(i).amplitude();
      stones.add(new Stone(i, pile.get(i), "", 1, from, to));
      from = to;
    }
    for (Fold fold : folds) {
      double to = from + fold.amplitude;
      stones.add(new Stone(-1, null, fold.group, fold.stems, from, to));
      from = to;
    }
    for (int i = lastFrom; i < pile.size(); i++) {
      double to = from + pile.get(i).amplitude();
      stones.add(new Stone(i, pile.get(i), "", 1, from, to));
      from = to;
    }
    return stones;
  }
}
