package cairn.tui.keys;

import static cairn.tui.model.Screen.CHECK;
import static cairn.tui.model.Screen.EXPORT;
import static cairn.tui.model.Screen.HELP;
import static cairn.tui.model.Screen.LADDER;
import static cairn.tui.model.Screen.MARKS;
import static cairn.tui.model.Screen.PLAN;
import static cairn.tui.model.Screen.SPECTRUM;
import static cairn.tui.model.Screen.STEMS;
import static cairn.tui.model.Screen.WALK;

import cairn.tui.model.KeyPress;
import cairn.tui.model.KeyPress.Name;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/** The key table. */
public final class KeyMap {

  private static final Set<Screen> ALL = EnumSet.allOf(Screen.class);
  private static final Set<Screen> ROWS =
      EnumSet.of(WALK, STEMS, LADDER, PLAN, MARKS, EXPORT, CHECK, HELP);
  private static final List<Binding> TABLE = table();

  private KeyMap() {}

  private static List<Binding> table() {
    Table t = new Table();
    t.row(Intent.DOWN, "j ↓", "rows", "next row", ROWS, 'j', Name.DOWN);
    t.row(Intent.UP, "k ↑", "rows", "previous row", ROWS, 'k', Name.UP);
    t.row(Intent.PAGE_DOWN, "PgDn", "page", "a page on", ROWS, Name.PAGE_DOWN);
    t.row(Intent.PAGE_UP, "PgUp", "page", "a page back", ROWS, Name.PAGE_UP);
    t.row(Intent.FIRST, "Home", "first", "first row", ROWS, Name.HOME);
    t.row(Intent.LAST, "End", "last", "last row", ROWS, Name.END);
    t.row(
        Intent.NEXT_OPEN,
        "Space",
        "next",
        "next moment still to decide",
        Set.of(WALK, PLAN),
        Name.SPACE);
    t.row(
        Intent.PREVIOUS_OPEN,
        "Backspace",
        "previous",
        "previous moment still to decide",
        Set.of(WALK, PLAN),
        Name.BACKSPACE,
        Name.DELETE);
    t.row(
        Intent.ENTER,
        "Enter",
        "take",
        "take what is proposed; open or do the row",
        ALL,
        Name.ENTER);
    t.row(
        Intent.NEXT_STEM, "Tab", "stem", "pick the next stem of the pile", Set.of(WALK), Name.TAB);
    t.row(
        Intent.PREVIOUS_STEM,
        "Shift-Tab",
        "stem",
        "pick the stem before it",
        Set.of(WALK),
        Name.SHIFT_TAB);
    t.row(
        Intent.PICK_STEM,
        "1 to 9",
        "stem",
        "pick a stem of the pile by its number",
        Set.of(WALK),
        '1',
        '2',
        '3',
        '4',
        '5',
        '6',
        '7',
        '8',
        '9');
    t.row(
        Intent.NUDGE,
        "n",
        "nudge",
        "least nudge of the picked stem that clears",
        Set.of(WALK),
        'n');
    t.row(Intent.TRIM, "t", "trim", "least trim of the picked stem that clears", Set.of(WALK), 't');
    t.row(Intent.CLIP, "c", "clip", "least clip of the picked stem that clears", Set.of(WALK), 'c');
    t.row(
        Intent.EARLIER,
        "h ←",
        "move",
        "the hit one step earlier; on Stems the whole stem",
        Set.of(WALK, STEMS),
        'h',
        Name.LEFT);
    t.row(
        Intent.LATER,
        "l →",
        "move",
        "the hit one step later; on Stems the whole stem",
        Set.of(WALK, STEMS),
        'l',
        Name.RIGHT);
    t.row(
        Intent.LESS,
        "-",
        "level",
        "one step less: a trim, a clip's ceiling, a fader, the line",
        Set.of(WALK, STEMS, LADDER),
        '-',
        '_');
    t.row(
        Intent.MORE,
        "+",
        "level",
        "one step more, a trim never above 0 dB",
        Set.of(WALK, STEMS, LADDER),
        '+',
        '=');
    t.row(
        Intent.FINER,
        ",",
        "step",
        "finer step: 1 sample, 0.1 ms, 1 ms; 0.1, 0.1, 1 dB",
        Set.of(WALK, STEMS, LADDER),
        ',');
    t.row(Intent.COARSER, ".", "step", "coarser step", Set.of(WALK, STEMS, LADDER), '.');
    t.row(
        Intent.EXACT,
        "e",
        "exact",
        "exact amount: 0.4 ms later, 7 samples earlier, -1.5 dB",
        Set.of(WALK, LADDER),
        'e');
    t.row(
        Intent.OTHER_FIX,
        "v",
        "other fix",
        "another fix or stem for this moment, next gentlest first",
        Set.of(WALK, PLAN),
        'v');
    t.row(
        Intent.ALL,
        "a",
        "all",
        "act on all alike, or here only; in the plan: take all",
        Set.of(WALK, PLAN),
        'a');
    t.row(
        Intent.DROP,
        "x",
        "drop",
        "take the mark off; in the plan: drop the row",
        Set.of(WALK, PLAN, MARKS),
        'x');
    t.row(
        Intent.FINE,
        "f",
        "fine",
        "fine as it is, left to the limiter; on Stems: leave this stem alone",
        Set.of(WALK, STEMS),
        'f');
    t.row(Intent.DONE, "d", "done", "done at the desk", Set.of(WALK, MARKS), 'd');
    t.row(Intent.NOTE, "i", "note", "write a note", Set.of(WALK, MARKS), 'i');
    t.row(Intent.UNDO, "u", "undo", "undo, without limit", ALL, 'u');
    t.row(Intent.REDO, "r", "redo", "redo what was undone", ALL, 'r');
    t.row(Intent.WHAT_IF, "w", "what-if", "show the bus with marks or as it is", ALL, 'w');
    t.row(Intent.GO_TO, "g", "go to", "go to a time, a bar, a rank, or end", Set.of(WALK), 'g');
    t.row(
        Intent.NARROW,
        "/",
        "narrow",
        "narrow: caixa, !, >4, lone, 1:54-2:48; name a section: drop 2 = 1:54-2:48",
        Set.of(WALK, STEMS, HELP),
        '/');
    t.row(Intent.ORDER, "o", "order", "order by excess, time, stem", Set.of(WALK), 'o');
    t.row(Intent.ZOOM, "z", "zoom", "width of the close-up", Set.of(WALK), 'z');
    t.row(
        Intent.BREADTH,
        "b",
        "breadth",
        "breadth of the map: song, section, 16 s",
        Set.of(WALK),
        'b');
    t.row(Intent.MUTE, "m", "mute", "mute the stem", Set.of(STEMS), 'm');
    t.row(Intent.SOLO, "s", "solo", "solo the stem", Set.of(STEMS), 's');
    t.row(Intent.POLARITY, "p", "polarity", "reverse the stem's polarity", Set.of(STEMS), 'p');
    t.row(Intent.YOKE, "y", "yoke", "yoke the stem to another", Set.of(STEMS), 'y');
    t.row(Intent.WALK, "W", "walk", "the walk", ALL, 'W');
    t.row(Intent.STEMS, "S", "stems", "the stems and their faders", ALL, 'S');
    t.row(Intent.LADDER, "L", "ladder", "headroom against fixes; move the line", ALL, 'L');
    t.row(Intent.PLAN, "P", "plan", "what the program would do about all of it", ALL, 'P');
    t.row(Intent.MARKS, "M", "marks", "all marks and notes", ALL, 'M');
    t.row(Intent.SPECTRUM, "F", "spectrum", "the spectrum, bus against reference", ALL, 'F');
    t.row(Intent.EXPORT, "E", "export", "write the cue list", ALL, 'E');
    t.row(Intent.CHECK, "C", "check", "what is to know about the stems; all messages", ALL, 'C');
    t.row(Intent.HELP, "?", "keys", "all keys; type to search", ALL, '?');
    t.row(Intent.BACK, "q", "back", "back; on the walk: leave, all is saved", ALL, 'q');
    t.row(
        Intent.ESCAPE,
        "Esc",
        "back",
        "back; on the walk it clears / and messages",
        ALL,
        Name.ESCAPE);
    t.row(
        Intent.CANCEL,
        "Ctrl-C",
        "cancel",
        "cancel the work that runs, else leave",
        ALL,
        Name.CTRL_C);
    t.row(Intent.REPAINT, "Ctrl-L", "repaint", "paint the screen anew", ALL, Name.CTRL_L);
    return List.copyOf(t.rows);
  }

  private static final class Table {
    private final List<Binding> rows = new ArrayList<>();

    void row(
        Intent intent, String shown, String words, String what, Set<Screen> on, Object... keys) {
      List<KeyPress> presses = new ArrayList<>();
      for (Object key : keys) {
        presses.add(
            key instanceof Character c ? KeyPress.text(c) : KeyPress.of((KeyPress.Name) key));
      }
      rows.add(new Binding(intent, presses, shown, words, what, on));
    }
  }

  /** All rows of the table. */
  public static List<Binding> all() {
    return TABLE;
  }

  /** What a key means on a screen; empty: nothing. */
  public static Optional<Intent> intent(Screen screen, KeyPress key) {
    return TABLE.stream()
        .filter(row -> row.screens().contains(screen) && row.keys().contains(key))
        .map(Binding::intent)
        .findFirst();
  }

  /**
   * The rows that apply on a screen and hold a typed text, in any case; of no text: all of them.
   */
  public static List<Binding> help(Screen screen, String typed) {
    String wanted = typed.strip().toLowerCase(Locale.ROOT);
    return TABLE.stream()
        .filter(row -> row.screens().contains(screen))
        .filter(
            row ->
                wanted.isEmpty()
                    || (row.shown() + " " + row.words() + " " + row.what())
                        .toLowerCase(Locale.ROOT)
                        .contains(wanted))
        .toList();
  }

  /** The keys that matter most on a screen, each with its words, for the foot line. */
  public static List<String> foot(Screen screen) {
    return switch (screen) {
      case WALK ->
          List.of("Space next", "Enter take", "h l move", "- + level", "a all", "f fine", "P plan");
      case PLAN -> List.of("Space next", "Enter take", "a take all", "x drop", "v other fix");
      case STEMS ->
          List.of("f leave alone", "m mute", "s solo", "p polarity", "- + fader", "Enter sum");
      case LADDER -> List.of("- + line", "e exact", "Enter draw it");
      case MARKS -> List.of("Enter go there", "x drop", "d done", "i note");
      case EXPORT -> List.of("Enter write");
      case SPECTRUM, CHECK -> List.of();
      case HELP -> List.of("/ search", "Enter do it");
    };
  }
}
