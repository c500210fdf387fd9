package cairn.io.stems;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Gives each stem a name that no other one has. */
final class StemNames {

  private StemNames() {}

  /**
   * One name a stem. Each takes the first of its names; those that are equal take their second
   * names, and so on; where even the last ones are equal (names that decode alike) they get a
   * number.
   *
   * @param choices per stem its names, from the one liked best on; as many for each
   */
  static List<String> unique(List<List<String>> choices) {
    int[] level = new int[choices.size()];
    while (true) {
      Map<String, Integer> users = new HashMap<>();
      for (int k = 0; k < level.length; k++) {
        users.merge(choices.get(k).get(level[k]), 1, Integer::sum);
      }
      boolean moved = false;
      for (int k = 0; k < level.length; k++) {
        List<String> own = choices.get(k);
        if (users.get(own.get(level[k])) > 1 && level[k] < own.size() - 1) {
          level[k]++;
          moved = true;
        }
      }
      if (!moved) {
        return numbered(choices, level);
      }
    }
  }

  private static List<String> numbered(List<List<String>> choices, int[] level) {
    Set<String> taken = new HashSet<>();
    for (int k = 0; k < level.length; k++) {
      taken.add(choices.get(k).get(level[k]));
    }
    Set<String> used = new HashSet<>();
    List<String> names = new ArrayList<>();
    for (int k = 0; k < level.length; k++) {
      String plain = choices.get(k).get(level[k]);
      String name = plain;
      for (int number = 2; !used.add(name); number++) {
        name = plain + " (" + number + ")";
        if (taken.contains(name)) {
          name = plain;
        }
      }
      names.add(name);
    }
    return names;
  }
}
