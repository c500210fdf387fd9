package cairn.tui.view;

import cairn.collisions.moment.Contribution;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;

/**
 * The rows of the pile: the largest stones, then what is folded, by folder where the stems lie in
 * folders, last the stem that eases most. The picked stem is always among them.
 */
final class PileRows {

  /** A stem that eases by less is folded like any other. */
  private static final double EASES_FROM = 0.005;

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
    List<Integer> alone = new ArrayList<>();
    List<Fold> folds = new ArrayList<>();
    int last = -1;
    if (pile.size() <= most) {
      for (int i = 0; i < pile.size(); i++) {
        alone.add(i);
      }
    } else {
      last = pile.get(pile.size() - 1).share() <= -EASES_FROM ? pile.size() - 1 : -1;
      int rest = most - (last >= 0 ? 1 : 0);
      int foldRows = Set.copyOf(groups).size() > 1 ? Math.max(1, rest / 3) : 1;
      for (int i = 0; i < rest - foldRows; i++) {
        alone.add(i);
      }
      int pickedAt = placeOf(pile, picked);
      if (pickedAt >= alone.size() && pickedAt != last) {
        alone.set(alone.size() - 1, pickedAt);
      }
      folds = folds(pile, groups, alone, last, foldRows);
    }
    return stones(pile, alone, folds, last);
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
      List<Contribution> pile, List<String> groups, List<Integer> alone, int last, int most) {
    Map<String, Fold> byGroup = new LinkedHashMap<>();
    for (int i = 0; i < pile.size(); i++) {
      if (i != last && !alone.contains(i)) {
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
      List<Contribution> pile, List<Integer> alone, List<Fold> folds, int last) {
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
    if (last >= 0) {
      double to = from + pile.get(last).amplitude();
      stones.add(new Stone(last, pile.get(last), "", 1, from, to));
    }
    return stones;
  }
}
