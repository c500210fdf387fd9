package cairn.tui.view;

import cairn.io.files.SafeText;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Names of the stems as they fit: without what all of them begin or end with, cut in the middle,
 * and numbered where two would look the same. For one picture.
 */
final class Names {

  private static final String BETWEEN_WORDS = " _-./";

  private final List<String> shown;
  private final Glyphs glyphs;
  private final Map<Integer, List<String>> fitted = new HashMap<>();

  /**
   * @param safe names that are safe to show, in session order
   */
  Names(List<String> safe, Glyphs glyphs) {
    shown = withoutCommonParts(safe);
    this.glyphs = glyphs;
  }

  /** The name of a stem, however long. */
  String whole(int k) {
    return shown.get(k);
  }

  /** The name of a stem in at most so many cells. */
  String fit(int k, int cells) {
    return cells <= 0 ? "" : fitted.computeIfAbsent(cells, this::fitted).get(k);
  }

  private List<String> fitted(int cells) {
    Map<String, Integer> looks = new HashMap<>();
    List<String> names = new ArrayList<>();
    for (String name : shown) {
      String cut = SafeText.cut(name, cells, glyphs.ellipsis());
      looks.merge(cut, 1, Integer::sum);
      names.add(cut);
    }
    Map<String, Integer> seen = new HashMap<>();
    for (int k = 0; k < names.size(); k++) {
      String cut = names.get(k);
      if (looks.get(cut) > 1) {
        String number = " " + seen.merge(cut, 1, Integer::sum);
        names.set(
            k,
            cells > number.length()
                ? SafeText.cut(shown.get(k), cells - number.length(), glyphs.ellipsis()) + number
                : cut);
      }
    }
    return names;
  }

  /** The names without the words that all of them begin with, and those that all end with. */
  static List<String> withoutCommonParts(List<String> names) {
    if (names.size() < 2) {
      return names;
    }
    String first = names.get(0);
    int head = first.length();
    int tail = first.length();
    int shortest = first.length();
    for (String name : names) {
      head = Math.min(head, commonHead(first, name));
      tail = Math.min(tail, commonTail(first, name));
      shortest = Math.min(shortest, name.length());
    }
    while (head > 0 && BETWEEN_WORDS.indexOf(first.charAt(head - 1)) < 0) {
      head--;
    }
    while (tail > 0 && BETWEEN_WORDS.indexOf(first.charAt(first.length() - tail)) < 0) {
      tail--;
    }
    // Something must stay of the shortest.
    if (head + tail >= shortest) {
      tail = 0;
    }
    if (head >= shortest) {
      head = 0;
    }
    List<String> rest = new ArrayList<>();
    for (String name : names) {
      rest.add(name.substring(head, name.length() - tail));
    }
    return rest;
  }

  private static int commonHead(String a, String b) {
    int same = 0;
    while (same < Math.min(a.length(), b.length()) && a.charAt(same) == b.charAt(same)) {
      same++;
    }
    return same;
  }

  private static int commonTail(String a, String b) {
    int same = 0;
    while (same < Math.min(a.length(), b.length())
        && a.charAt(a.length() - 1 - same) == b.charAt(b.length() - 1 - same)) {
      same++;
    }
    return same;
  }
}
