package cairn.tui.keys;

import cairn.tui.model.KeyPress;
import cairn.tui.model.Screen;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/**
 * One row of the key table.
 *
 * @param intent what the keys do
 * @param keys the keys that do it; the first is the one that the foot line names
 * @param shown the keys as the help names them
 * @param words a word or two for the foot line
 * @param what one line for the help
 * @param screens where it applies
 * @param needs what it needs on the walk; on every other screen it needs nothing
 * @param wordsOn words for the foot line of the screens where it acts on something else
 */
public record Binding(
    Intent intent,
    List<KeyPress> keys,
    String shown,
    String words,
    String what,
    Set<Screen> screens,
    Needs needs,
    Map<Screen, String> wordsOn) {
  public Binding {
    keys = List.copyOf(keys);
    screens = Set.copyOf(screens);
    wordsOn = Map.copyOf(wordsOn);
  }

  /** A word or two for the foot line of a screen. */
  public String words(Screen screen) {
    return wordsOn.getOrDefault(screen, words);
  }

  /** Its first key as the foot line names it: {@code h}, {@code Space}. */
  public String key() {
    KeyPress first = keys.get(0);
    if (first.name() == KeyPress.Name.TEXT) {
      return Character.toString(first.codePoint());
    }
    String name = first.name().toString();
    return name.charAt(0) + name.substring(1).toLowerCase(Locale.ROOT).replace('_', '-');
  }

  boolean holds(String wanted) {
    return (shown + " " + words + " " + String.join(" ", wordsOn.values()) + " " + what)
        .toLowerCase(Locale.ROOT)
        .contains(wanted);
  }
}
