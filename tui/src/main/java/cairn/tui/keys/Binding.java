package cairn.tui.keys;

import cairn.tui.model.KeyPress;
import cairn.tui.model.Screen;
import java.util.List;
import java.util.Set;

/**
 * One row of the key table.
 *
 * @param intent what the keys do
 * @param keys the keys that do it
 * @param shown the keys as the help names them
 * @param words a word or two for the foot line
 * @param what one line for the help
 * @param screens where it applies
 */
public record Binding(
    Intent intent,
    List<KeyPress> keys,
    String shown,
    String words,
    String what,
    Set<Screen> screens) {
  public Binding {
    keys = List.copyOf(keys);
    screens = Set.copyOf(screens);
  }
}
