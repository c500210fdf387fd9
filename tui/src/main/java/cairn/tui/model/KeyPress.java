package cairn.tui.model;

import java.util.Locale;

/**
 * One key as the terminal sends it.
 *
 * @param name what kind of key
 * @param codePoint the character of a {@link Name#TEXT} key, as typed; else 0
 */
public record KeyPress(Name name, int codePoint) {

  /** The kinds of key that the walk knows. */
  public enum Name {
    TEXT,
    ENTER,
    ESCAPE,
    SPACE,
    BACKSPACE,
    DELETE,
    TAB,
    SHIFT_TAB,
    UP,
    DOWN,
    LEFT,
    RIGHT,
    PAGE_UP,
    PAGE_DOWN,
    HOME,
    END,
    CTRL_C,
    CTRL_L,
    OTHER
  }

  /** A key that types a character. */
  public static KeyPress text(int codePoint) {
    return new KeyPress(Name.TEXT, codePoint);
  }

  /** A key that types none. */
  public static KeyPress of(Name name) {
    return new KeyPress(name, 0);
  }

  @Override
  public String toString() {
    return name == Name.TEXT
        ? Character.toString(codePoint)
        : name.toString().toLowerCase(Locale.ROOT);
  }
}
