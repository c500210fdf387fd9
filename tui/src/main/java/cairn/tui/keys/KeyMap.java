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
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The key table: each row says which keys do what, in which words, on which screens, and what they
 * need. Keys, foot line and help are all drawn from it.
 */
public final class KeyMap {

  private static final Set<Screen> ALL = EnumSet.allOf(Screen.class);
  private static final Set<Screen> ROWS =
      EnumSet.of(WALK, STEMS, LADDER, PLAN, MARKS, SPECTRUM, EXPORT, CHECK, HELP);
  private static final List<Binding> TABLE = table();

  private KeyMap() {}

  private static List<Binding> table() {
    Table t = new Table();
    t.row(Intent.DOWN, "j ↓", "rows", "next row", ROWS, 'j', Name.DOWN);
    t.on(SPECTRUM, "moment");
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
    t.needs(Needs.BUS);
    t.row(
        Intent.PREVIOUS_OPEN,
        "Backspace",
        "previous",
        "previous moment still to decide",
        Set.of(WALK, PLAN),
        Name.BACKSPACE);
    t.needs(Needs.BUS);
    t.row(
        Intent.NEXT_STEM, "Tab", "stem", "pick the next stem of the pile", Set.of(WALK), Name.TAB);
    t.needs(Needs.MOMENT);
    t.row(
        Intent.PREVIOUS_STEM,
        "Shift-Tab",
        "stem",
        "pick the stem before it",
        Set.of(WALK),
        Name.SHIFT_TAB);
    t.needs(Needs.MOMENT);
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
    t.needs(Needs.MOMENT);
    t.row(
        Intent.GO_TO,
        "g",
        "go to",
        "go to a time 1:54.2, a bar 12|1, a rank 7, or end",
        Set.of(WALK),
        'g');
    t.row(
        Intent.NARROW,
        "/",
        "narrow",
        "narrow: caixa, !, >4, lone, 1:54-2:48; drop 2 = 1:54-2:48 names a section",
        Set.of(WALK, STEMS, HELP),
        '/');
    t.on(HELP, "search");
    t.row(Intent.ORDER, "o", "order", "order by excess, time, stem", Set.of(WALK), 'o');
    t.row(
        Intent.ENTER,
        "Enter",
        "take",
        "take what is proposed; on other screens do or open the row",
        ALL,
        Name.ENTER);
    t.needs(Needs.MOMENT);
    t.on(STEMS, "sum again");
    t.on(LADDER, "draw it");
    t.on(MARKS, "go there");
    t.on(EXPORT, "write");
    t.on(HELP, "do it");
    t.on(CHECK, "goes on");
    t.on(SPECTRUM, "back");
    t.row(
        Intent.NUDGE,
        "n",
        "nudge",
        "least nudge of the picked stem that clears",
        Set.of(WALK),
        'n');
    t.needs(Needs.MOMENT);
    t.row(Intent.TRIM, "t", "trim", "least trim of the picked stem that clears", Set.of(WALK), 't');
    t.needs(Needs.MOMENT);
    t.row(Intent.CLIP, "c", "clip", "least clip of the picked stem that clears", Set.of(WALK), 'c');
    t.needs(Needs.MOMENT);
    t.row(
        Intent.EARLIER,
        "h ←",
        "move",
        "the hit one step earlier; on Stems the whole stem",
        Set.of(WALK, STEMS, PLAN),
        'h',
        Name.LEFT);
    t.needs(Needs.MOMENT);
    t.on(STEMS, "move stem");
    t.row(
        Intent.LATER,
        "l →",
        "move",
        "the hit one step later; on Stems the whole stem",
        Set.of(WALK, STEMS, PLAN),
        'l',
        Name.RIGHT);
    t.needs(Needs.MOMENT);
    t.on(STEMS, "move stem");
    t.row(
        Intent.LESS,
        "- _",
        "level",
        "one step less: a trim, a clip's ceiling; on Stems the fader, on the ladder the line",
        Set.of(WALK, STEMS, LADDER, PLAN),
        '-',
        '_');
    t.needs(Needs.MOMENT);
    t.on(STEMS, "fader");
    t.on(LADDER, "line");
    t.row(
        Intent.MORE,
        "+ =",
        "level",
        "one step more; a trim never goes above 0 dB",
        Set.of(WALK, STEMS, LADDER, PLAN),
        '+',
        '=');
    t.needs(Needs.MOMENT);
    t.on(STEMS, "fader");
    t.on(LADDER, "line");
    t.row(
        Intent.FINER,
        ",",
        "step",
        "finer step: 1 sample, 0.1 ms, 1 ms; with them 0.1, 0.1, 1 dB",
        Set.of(WALK, STEMS, LADDER, PLAN),
        ',');
    t.row(Intent.COARSER, ".", "step", "coarser step", Set.of(WALK, STEMS, LADDER, PLAN), '.');
    t.row(
        Intent.EXACT,
        "e",
        "exact",
        "exact amount: 0.4 ms later, 7 samples earlier, -1.5 dB; on the ladder a goal: -8",
        Set.of(WALK, LADDER, PLAN),
        'e');
    t.needs(Needs.MOMENT);
    t.on(LADDER, "goal");
    t.row(
        Intent.OTHER_FIX,
        "v",
        "other fix",
        "another fix or stem for this moment, next gentlest first",
        Set.of(WALK, PLAN),
        'v');
    t.needs(Needs.MOMENT);
    t.row(
        Intent.ALL,
        "a",
        "all",
        "act on all alike or here only; in the plan take all",
        Set.of(WALK, PLAN),
        'a');
    t.on(PLAN, "take all");
    t.row(
        Intent.DROP,
        "x",
        "drop",
        "take the mark off; in the plan drop the row, free what is fine",
        Set.of(WALK, PLAN, MARKS),
        'x');
    t.row(
        Intent.FINE,
        "f",
        "fine",
        "fine as it is, left to the limiter; on Stems leave this stem alone",
        Set.of(WALK, STEMS, PLAN),
        'f');
    t.on(STEMS, "leave alone");
    t.row(Intent.DONE, "d", "done", "done at the desk", Set.of(WALK, MARKS), 'd');
    t.row(Intent.NOTE, "i", "note", "write a note", Set.of(WALK, MARKS), 'i');
    t.row(Intent.UNDO, "u", "undo", "undo, without limit", ALL, 'u');
    t.row(Intent.REDO, "r", "redo", "redo what was undone", ALL, 'r');
    t.row(Intent.WHAT_IF, "w", "what-if", "the bus with your marks, or as it is", ALL, 'w');
    t.row(Intent.ZOOM, "z", "zoom", "width of the close-up", Set.of(WALK), 'z');
    t.row(
        Intent.BREADTH,
        "b",
        "breadth",
        "breadth of the map: song, section, 16 s",
        Set.of(WALK),
        'b');
    t.row(Intent.MUTE, "m", "mute", "mute the stem, heard at the next sum", Set.of(STEMS), 'm');
    t.row(Intent.SOLO, "s", "solo", "solo the stem", Set.of(STEMS), 's');
    t.row(Intent.POLARITY, "p", "polarity", "reverse the stem's polarity", Set.of(STEMS), 'p');
    t.row(Intent.YOKE, "y", "yoke", "yoke the stem to another", Set.of(STEMS), 'y');
    t.row(Intent.WALK, "W", "walk", "the walk from moment to moment", ALL, 'W');
    t.row(Intent.STEMS, "S", "stems", "the stems, their faders, which are left alone", ALL, 'S');
    t.row(Intent.LADDER, "L", "ladder", "headroom against fixes; move the line", ALL, 'L');
    t.row(Intent.PLAN, "P", "plan", "gentle fixes for all of it, to take or drop", ALL, 'P');
    t.row(Intent.MARKS, "M", "marks", "all marks and notes", ALL, 'M');
    t.row(Intent.SPECTRUM, "F", "spectrum", "the spectrum, bus against reference", ALL, 'F');
    t.row(Intent.EXPORT, "E", "export", "write the cue list", ALL, 'E');
    t.row(Intent.CHECK, "C", "check", "what is to know about the stems; all messages", ALL, 'C');
    t.row(Intent.HELP, "?", "keys", "all keys; type to search, Enter does it", ALL, '?');
    t.row(Intent.BACK, "q", "back", "back to the walk; there it leaves, all is saved", ALL, 'q');
    t.row(
        Intent.ESCAPE,
        "Esc",
        "back",
        "back to the walk; there it clears / and messages",
        ALL,
        Name.ESCAPE);
    t.row(
        Intent.CANCEL,
        "Ctrl-C",
        "cancel",
        "cancel the work that runs, or the keys that wait; else leave",
        ALL,
        Name.CTRL_C);
    t.row(
        Intent.REPAINT,
        "Ctrl-L",
        "repaint",
        "paint the screen anew; Ctrl-Z suspends as usual",
        ALL,
        Name.CTRL_L);
    return List.copyOf(t.rows);
  }

  private static final class Table {
    private final List<Binding> rows = new ArrayList<>();

    void row(
        Intent intent, String shown, String words, String what, Set<Screen> on, Object... keys) {
      List<KeyPress> presses = new ArrayList<>();
      for (Object key : keys) {
        presses.add(key instanceof Character c ? KeyPress.text(c) : KeyPress.of((Name) key));
      }
      rows.add(new Binding(intent, presses, shown, words, what, on, Needs.NOTHING, Map.of()));
    }

    /** What the last row needs. */
    void needs(Needs needs) {
      Binding b = last();
      rows.add(
          new Binding(
              b.intent(),
              b.keys(),
              b.shown(),
              b.words(),
              b.what(),
              b.screens(),
              needs,
              b.wordsOn()));
    }

    /** Other words for the last row on one screen. */
    void on(Screen screen, String words) {
      Binding b = last();
      Map<Screen, String> wordsOn = new EnumMap<>(Screen.class);
      wordsOn.putAll(b.wordsOn());
      wordsOn.put(screen, words);
      rows.add(
          new Binding(
              b.intent(),
              b.keys(),
              b.shown(),
              b.words(),
              b.what(),
              b.screens(),
              b.needs(),
              wordsOn));
    }

    private Binding last() {
      return rows.remove(rows.size() - 1);
    }
  }

  /** All rows of the table. */
  public static List<Binding> all() {
    return TABLE;
  }

  /** The row of an intent. */
  public static Binding of(Intent intent) {
    return TABLE.stream().filter(row -> row.intent() == intent).findFirst().orElseThrow();
  }

  /** The row that a key stands for on a screen; empty: none. */
  public static Optional<Binding> binding(Screen screen, KeyPress key) {
    return TABLE.stream()
        .filter(row -> row.screens().contains(screen) && row.keys().contains(key))
        .findFirst();
  }

  /** What a key means on a screen; empty: nothing. */
  public static Optional<Intent> intent(Screen screen, KeyPress key) {
    return binding(screen, key).map(Binding::intent);
  }

  /** The row that a key stands for on some other screen; empty: it is no key of ours. */
  public static Optional<Binding> elsewhere(KeyPress key) {
    return TABLE.stream().filter(row -> row.keys().contains(key)).findFirst();
  }

  /** All rows, for a manual. */
  public static List<Binding> help() {
    return TABLE;
  }

  /**
   * The rows that hold a typed text, in any case; of no text: all of them. Those whose words for
   * the foot line begin with it come first, then those that apply on a screen.
   */
  public static List<Binding> help(Screen screen, String typed) {
    String wanted = typed.strip().toLowerCase(Locale.ROOT);
    return TABLE.stream()
        .filter(row -> row.holds(wanted))
        .sorted(
            Comparator.comparing((Binding row) -> !row.words(screen).startsWith(wanted))
                .thenComparing(row -> !row.screens().contains(screen)))
        .toList();
  }

  /** The keys that matter most on a screen, each with its words, for the foot line. */
  public static List<String> foot(Screen screen) {
    return mattering(screen).stream().map(intents -> foot(screen, intents)).toList();
  }

  /** The same as things stand: how many moments a deed goes to. */
  public static List<String> foot(Model model) {
    List<String> foot = new ArrayList<>();
    for (List<Intent> intents : mattering(model.screen())) {
      String words = foot(model.screen(), intents);
      if (intents.contains(Intent.ALL) && model.screen() == WALK) {
        int places = model.row().map(row -> row.places().size()).orElse(1);
        words = model.allAlike() ? words + " " + places : of(Intent.ALL).key() + " here only";
      }
      if (intents.contains(Intent.ENTER) && model.screen() == STEMS && !model.isToSumAgain()) {
        words = of(Intent.ENTER).key() + " its moments";
      }
      foot.add(words);
    }
    return foot;
  }

  private static String foot(Screen screen, List<Intent> intents) {
    StringBuilder words = new StringBuilder();
    for (Intent intent : intents) {
      words.append(of(intent).key()).append(' ');
    }
    return words.append(of(intents.get(0)).words(screen)).toString();
  }

  /** Intents of the foot line; those that stand together share their words. */
  private static List<List<Intent>> mattering(Screen screen) {
    List<Intent> move = List.of(Intent.EARLIER, Intent.LATER);
    List<Intent> level = List.of(Intent.LESS, Intent.MORE);
    List<Intent> enter = List.of(Intent.ENTER);
    return switch (screen) {
      case WALK ->
          List.of(
              List.of(Intent.NEXT_OPEN),
              enter,
              move,
              level,
              List.of(Intent.ALL),
              List.of(Intent.FINE),
              List.of(Intent.PLAN));
      case PLAN ->
          List.of(
              List.of(Intent.NEXT_OPEN),
              enter,
              List.of(Intent.DROP),
              List.of(Intent.OTHER_FIX),
              move,
              level,
              List.of(Intent.ALL));
      case STEMS ->
          List.of(
              List.of(Intent.FINE),
              List.of(Intent.MUTE),
              List.of(Intent.SOLO),
              List.of(Intent.POLARITY),
              level,
              enter);
      case LADDER -> List.of(level, List.of(Intent.EXACT), enter);
      case MARKS ->
          List.of(enter, List.of(Intent.DROP), List.of(Intent.DONE), List.of(Intent.NOTE));
      case EXPORT, CHECK, HELP -> List.of(enter);
      case SPECTRUM -> List.of(List.of(Intent.DOWN, Intent.UP));
    };
  }
}
