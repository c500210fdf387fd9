package cairn.tui.update;

import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Deeds;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The text field of the message row: the one place where letters are text. */
final class Fields {

  /** Longer text than this is no note and no file name. */
  private static final int MOST_CHARACTERS = 1000;

  private static final Pattern AMOUNT =
      Pattern.compile(
          "(\\d{1,6}(?:\\.\\d{1,6})?)\\s*(ms|samples?|dB)?\\s*(later|earlier)?",
          Pattern.CASE_INSENSITIVE);

  private Fields() {}

  static void open(Turn turn, TextField.Purpose purpose, String text) {
    turn.now.field = Optional.of(new TextField(purpose, text));
  }

  static void openNarrow(Turn turn) {
    if (turn.now.screen == Screen.HELP) {
      open(turn, TextField.Purpose.FIND, turn.now.helpFilter);
    } else {
      open(turn, TextField.Purpose.NARROW, "");
    }
  }

  static void openNote(Turn turn) {
    long frame = noteFrame(turn);
    if (frame < 0) {
      turn.say("there is no moment to note something about");
      return;
    }
    open(turn, TextField.Purpose.NOTE, turn.now.deeds.notes().getOrDefault(frame, ""));
  }

  /** Notes belong to moments of the list, wherever in them a mark stands. */
  private static long noteFrame(Turn turn) {
    return turn.now.screen == Screen.MARKS
        ? MarkRows.selected(turn)
            .map(row -> Listed.of(turn.model()).frameOf(row.momentFrame()))
            .orElse(-1L)
        : turn.selectedFrame();
  }

  /** A paste goes into an open field, as text; without one it does nothing. */
  static void paste(Turn turn, String text) {
    if (turn.now.field.isEmpty()) {
      turn.say("pasted text is not taken for keys; open a field first: g, /, i or e");
      return;
    }
    TextField field = turn.now.field.get();
    StringBuilder typed = new StringBuilder(field.text());
    int room = MOST_CHARACTERS - typed.length();
    text.codePoints()
        .map(c -> c == '\n' || c == '\r' || c == '\t' ? ' ' : c)
        .filter(c -> !Character.isISOControl(c))
        .limit(Math.max(0, room))
        .forEach(typed::appendCodePoint);
    set(turn, field, typed.toString());
  }

  static void key(Turn turn, KeyPress key) {
    TextField field = turn.now.field.get();
    String text = field.text();
    switch (key.name()) {
      case TEXT -> {
        if (text.length() < MOST_CHARACTERS && !Character.isISOControl(key.codePoint())) {
          set(turn, field, kept(turn, field, key) + Character.toString(key.codePoint()));
        }
      }
      case SPACE -> set(turn, field, text + " ");
      case BACKSPACE, DELETE -> {
        if (!text.isEmpty()) {
          set(turn, field, text.substring(0, text.offsetByCodePoints(text.length(), -1)));
        }
      }
      case ENTER -> {
        turn.now.field = Optional.empty();
        turn.now.message = Optional.empty();
        done(turn, field);
      }
      case ESCAPE, CTRL_C -> {
        turn.now.field = Optional.empty();
        if (field.purpose() == TextField.Purpose.FIND) {
          turn.back();
        } else {
          turn.say(field.purpose().words() + ": left as it was");
        }
      }
      default -> {
        // One short line needs no cursor of its own; while one searches, they choose the row.
        if (field.purpose() == TextField.Purpose.FIND) {
          choose(turn, key);
        }
      }
    }
  }

  /** A place that is typed takes the place of the name that was proposed. */
  private static String kept(Turn turn, TextField field, KeyPress key) {
    boolean isPlace = key.codePoint() == '/' || key.codePoint() == '.' || key.codePoint() == '!';
    return field.purpose() == TextField.Purpose.TARGET
            && isPlace
            && field.text().equals(Exports.proposed(turn))
        ? ""
        : field.text();
  }

  private static void choose(Turn turn, KeyPress key) {
    switch (key.name()) {
      case DOWN -> Keys.move(turn, 1);
      case UP -> Keys.move(turn, -1);
      case PAGE_DOWN -> Keys.move(turn, Keys.page(turn));
      case PAGE_UP -> Keys.move(turn, -Keys.page(turn));
      case HOME -> Keys.move(turn, Integer.MIN_VALUE);
      case END -> Keys.move(turn, Integer.MAX_VALUE);
      default -> {
        // No other key chooses.
      }
    }
  }

  private static void set(Turn turn, TextField field, String text) {
    turn.now.field = Optional.of(new TextField(field.purpose(), text));
    if (field.purpose() == TextField.Purpose.FIND) {
      turn.now.helpFilter = text;
      turn.now.select(Screen.HELP, 0);
    }
  }

  private static void done(Turn turn, TextField field) {
    String text = field.text().strip();
    switch (field.purpose()) {
      case GO_TO -> goTo(turn, text);
      case NARROW -> narrow(turn, text);
      case EXACT -> exact(turn, text);
      case GOAL -> goal(turn, text);
      case NOTE -> note(turn, text);
      case TARGET -> Exports.write(turn, text);
      case FIND -> Keys.doChosen(turn);
      case YOKE -> StemDeeds.yoke(turn, text);
    }
  }

  private static void goTo(Turn turn, String text) {
    if (turn.now.song.isEmpty() || turn.now.rows.isEmpty() || text.isEmpty()) {
      turn.say("nowhere to go");
      return;
    }
    Song song = turn.now.song.get();
    if (text.matches("#?\\d{1,6}")) {
      int rank = Integer.parseInt(text.replace("#", ""));
      for (int i = 0; i < turn.now.rows.size(); i++) {
        if (turn.now.rows.get(i).places().stream().anyMatch(m -> m.rank() == rank)) {
          turn.now.select(Screen.WALK, i);
          return;
        }
      }
      turn.say("no moment of rank " + rank + " is listed");
      return;
    }
    OptionalLong frame =
        text.equalsIgnoreCase("end")
            ? OptionalLong.of(song.pass().range().endFrame())
            : Typed.place(text, song);
    if (frame.isEmpty()) {
      turn.say(
          "'"
              + SafeText.of(text)
              + "' is no place; 1:54, 1:54.25, "
              + (song.tempo().isPresent() ? "bar 12, 12|3, " : "")
              + "a rank such as 7, or end");
      return;
    }
    long wanted = frame.getAsLong();
    int best = 0;
    long found = Long.MIN_VALUE;
    for (int i = 0; i < turn.now.rows.size(); i++) {
      for (Moment place : turn.now.rows.get(i).places()) {
        if (found == Long.MIN_VALUE
            || Math.abs(place.peakFrame() - wanted) < Math.abs(found - wanted)) {
          found = place.peakFrame();
          best = i;
        }
      }
    }
    turn.now.select(Screen.WALK, best);
    long head = turn.now.rows.get(best).head().peakFrame();
    turn.say(
        "the moment nearest to "
            + SafeText.of(text)
            + (found == head
                ? ""
                : " is at " + turn.time(found) + ", alike to this one at " + turn.time(head)));
  }

  private static void narrow(Turn turn, String text) {
    if (turn.now.screen == Screen.STEMS) {
      StemDeeds.narrow(turn, text);
      return;
    }
    int equals = text.indexOf('=');
    if (equals > 0) {
      section(
          turn, SafeText.of(text.substring(0, equals).strip()), text.substring(equals + 1).strip());
      return;
    }
    turn.now.narrowed = text;
    turn.refreshRows();
    if (text.isEmpty()) {
      turn.say("all moments");
    } else if (turn.now.rows.isEmpty()) {
      turn.say("nothing matches '" + SafeText.of(text) + "'; Esc shows all");
    } else {
      int rows = turn.now.rows.size();
      turn.say(
          Figures.count(rows, "row") + " for '" + SafeText.of(text) + "'; Esc shows all again");
    }
  }

  /** Names a section; of an empty stretch, forgets it. */
  private static void section(Turn turn, String name, String stretch) {
    List<Song.Section> sections = new ArrayList<>(turn.now.sections);
    boolean wasThere = sections.removeIf(section -> section.name().equalsIgnoreCase(name));
    if (stretch.isEmpty() && wasThere) {
      turn.now.sections = sections;
      turn.save();
      turn.say("section " + name + " is forgotten");
      return;
    }
    Optional<Song.Section> range = Typed.range(stretch, turn.model());
    if (range.isEmpty() || name.isEmpty()) {
      turn.say("a section is named so: drop 2 = 1:54-2:48");
      return;
    }
    sections.add(new Song.Section(name, range.get().firstFrame(), range.get().endFrame()));
    sections.sort(Comparator.comparingLong(Song.Section::firstFrame));
    turn.now.sections = sections;
    turn.save();
    turn.say("section " + name + " is named; / " + name + " narrows to it");
  }

  private static void goal(Turn turn, String typed) {
    if (typed.isEmpty()) {
      turn.say("goal: left as it was");
    } else {
      LadderDeeds.exact(turn, typed);
    }
  }

  private static void exact(Turn turn, String typed) {
    if (typed.isEmpty()) {
      turn.say("amount: left as it was");
      return;
    }
    String text = typed.replace(',', '.').replace('\u2212', '-');
    boolean down = text.startsWith("-");
    String plain = down || text.startsWith("+") ? text.substring(1).strip() : text;
    Matcher form = AMOUNT.matcher(plain);
    String unit = form.matches() && form.group(2) != null ? lower(form.group(2)) : "";
    String way = form.matches() && form.group(3) != null ? lower(form.group(3)) : "";
    boolean isTrim = unit.equals("db") && way.isEmpty();
    boolean isNudge = !unit.isEmpty() && !unit.equals("db") && !way.isEmpty() && plain.equals(text);
    if (!isTrim && !isNudge) {
      turn.say(
          "'" + SafeText.of(typed) + "' is no amount; 0.4 ms later, 7 samples earlier, -1.5 dB");
      return;
    }
    double amount = Double.parseDouble(form.group(1));
    if (isTrim) {
      long tenths = (long) Math.floor(amount * 10 + 0.5);
      int most = (int) Math.min(10_000, tenths);
      if (turn.now.screen == Screen.PLAN) {
        PlanDeeds.level(turn, most, down);
      } else {
        WalkDeeds.trim(turn, down || most == 0 ? most : -1);
      }
      return;
    }
    double frames = unit.equals("ms") ? amount * turn.rate() / 1000 : amount;
    long rounded = (long) Math.floor(frames + 0.5);
    long nudge = way.equals("later") ? rounded : -rounded;
    if (turn.now.screen == Screen.PLAN) {
      PlanDeeds.nudge(turn, nudge);
    } else {
      WalkDeeds.nudge(turn, nudge, false);
    }
  }

  private static String lower(String text) {
    return text.toLowerCase(Locale.ROOT);
  }

  private static void note(Turn turn, String typed) {
    long frame = noteFrame(turn);
    if (frame < 0) {
      return;
    }
    String text = SafeText.of(typed);
    Deeds deeds = turn.now.deeds;
    Map<Long, String> notes = new HashMap<>(deeds.notes());
    if (text.isEmpty()) {
      notes.remove(frame);
    } else {
      notes.put(frame, text);
    }
    Listed listed = Listed.of(turn.model());
    List<Mark> marks = new ArrayList<>();
    for (Mark mark : deeds.marks().list()) {
      marks.add(listed.frameOf(mark.momentFrame()) == frame ? mark.withNote(text) : mark);
    }
    turn.deed(
        deeds.withMarks(new Marks(marks)).withNotes(notes),
        text.isEmpty() ? "no note at " + turn.time(frame) : "noted at " + turn.time(frame));
  }
}
