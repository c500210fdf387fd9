package cairn.tui.update;

import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.io.files.SafeText;
import cairn.tui.model.Deeds;
import cairn.tui.model.KeyPress;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.model.TextField;
import java.util.ArrayList;
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
      open(turn, TextField.Purpose.NARROW, turn.now.narrowed);
    }
  }

  static void openExact(Turn turn) {
    open(turn, TextField.Purpose.EXACT, "");
  }

  static void openNote(Turn turn) {
    long frame = noteFrame(turn);
    if (frame < 0) {
      turn.say("there is no moment to note something about");
      return;
    }
    open(turn, TextField.Purpose.NOTE, turn.now.deeds.notes().getOrDefault(frame, ""));
  }

  private static long noteFrame(Turn turn) {
    return turn.now.screen == Screen.MARKS
        ? MarkRows.selected(turn).map(MarkRows.MarkRow::momentFrame).orElse(-1L)
        : turn.selectedFrame();
  }

  /** A paste goes into an open field, as text; without one it does nothing. */
  static void paste(Turn turn, String text) {
    if (turn.now.field.isEmpty()) {
      turn.say("pasted text is not taken for keys; open a field first: g, /, i or e");
      return;
    }
    StringBuilder typed = new StringBuilder(turn.now.field.get().text());
    int room = MOST_CHARACTERS - typed.length();
    text.codePoints()
        .limit(Math.max(0, room))
        .map(c -> c == '\n' || c == '\r' || c == '\t' ? ' ' : c)
        .filter(c -> !Character.isISOControl(c))
        .forEach(typed::appendCodePoint);
    turn.now.field = Optional.of(new TextField(turn.now.field.get().purpose(), typed.toString()));
  }

  static void key(Turn turn, KeyPress key) {
    TextField field = turn.now.field.get();
    String text = field.text();
    switch (key.name()) {
      case TEXT -> {
        if (text.length() < MOST_CHARACTERS && !Character.isISOControl(key.codePoint())) {
          set(turn, field, text + Character.toString(key.codePoint()));
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
        done(turn, field);
      }
      case ESCAPE, CTRL_C -> {
        turn.now.field = Optional.empty();
        turn.say(field.purpose().words() + ": left as it was");
      }
      default -> {
        // Moving in the field is not there: it is one short line.
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
      case NOTE -> note(turn, text);
      case TARGET -> Exports.write(turn, text);
      case FIND -> turn.now.helpFilter = text;
      case YOKE -> turn.say("yokes are not there yet");
    }
  }

  private static void goTo(Turn turn, String text) {
    if (turn.now.song.isEmpty() || turn.now.rows.isEmpty() || text.isEmpty()) {
      turn.say("nowhere to go");
      return;
    }
    if (text.equalsIgnoreCase("end")) {
      turn.now.select(Screen.WALK, turn.now.rows.size() - 1);
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
    OptionalLong frame = frameOf(text, song);
    if (frame.isEmpty()) {
      turn.say("'" + SafeText.of(text) + "' is no time; 1:54, 1:54.25, bar 12, a rank, or end");
      return;
    }
    long wanted = frame.getAsLong();
    int best = 0;
    long nearest = Long.MAX_VALUE;
    for (int i = 0; i < turn.now.rows.size(); i++) {
      for (var place : turn.now.rows.get(i).places()) {
        long distance = Math.abs(place.peakFrame() - wanted);
        if (distance < nearest) {
          nearest = distance;
          best = i;
        }
      }
    }
    turn.now.select(Screen.WALK, best);
    turn.say("the moment nearest to " + SafeText.of(text));
  }

  private static OptionalLong frameOf(String text, Song song) {
    Matcher bar =
        Pattern.compile("(?:bar\\s*)?(\\d{1,5})(?:\\|(\\d{1,2}))?(?:\\|\\d+)?")
            .matcher(text.toLowerCase(Locale.ROOT));
    boolean isBar = text.toLowerCase(Locale.ROOT).startsWith("bar") || text.contains("|");
    if (isBar && song.tempo().isPresent() && bar.matches()) {
      int beats = bar.group(2) == null ? 0 : Integer.parseInt(bar.group(2)) - 1;
      long beat = (Long.parseLong(bar.group(1)) - 1) * song.tempo().get().beatsPerBar() + beats;
      return OptionalLong.of(
          Math.max(0, Math.round(song.tempo().get().beatTimeSeconds(beat) * song.sampleRateHz())));
    }
    return Typed.frame(text, song.sampleRateHz());
  }

  private static void narrow(Turn turn, String text) {
    int equals = text.indexOf('=');
    if (equals > 0) {
      Optional<Song.Section> range = Typed.range(text.substring(equals + 1), turn.model());
      if (range.isEmpty()) {
        turn.say("a section is named so: drop 2 = 1:54-2:48");
        return;
      }
      String name = SafeText.of(text.substring(0, equals).strip());
      List<Song.Section> sections = new ArrayList<>(turn.now.sections);
      sections.removeIf(section -> section.name().equalsIgnoreCase(name));
      sections.add(new Song.Section(name, range.get().firstFrame(), range.get().endFrame()));
      sections.sort((a, b) -> Long.compare(a.firstFrame(), b.firstFrame()));
      turn.now.sections = sections;
      turn.save();
      turn.say("section " + name + " is named; / " + name + " narrows to it");
      return;
    }
    turn.now.narrowed = text;
    turn.refreshRows();
    if (text.isEmpty()) {
      turn.say("all moments");
    } else if (turn.now.rows.isEmpty()) {
      turn.say("nothing matches '" + SafeText.of(text) + "'; Esc shows all");
    } else {
      turn.say(turn.now.rows.size() + " rows for '" + SafeText.of(text) + "'; Esc shows all");
    }
  }

  private static void exact(Turn turn, String text) {
    boolean down = text.startsWith("-");
    String plain = down || text.startsWith("+") ? text.substring(1).strip() : text;
    Matcher form = AMOUNT.matcher(plain);
    if (!form.matches()) {
      turn.say(
          "'" + SafeText.of(text) + "' is no amount; 0.4 ms later, 7 samples earlier, -1.5 dB");
      return;
    }
    double amount = Double.parseDouble(form.group(1));
    String unit = form.group(2) == null ? "" : form.group(2).toLowerCase(Locale.ROOT);
    if (turn.now.screen == Screen.LADDER) {
      LadderDeeds.set(turn, new Line.Level(down ? -amount : amount));
      return;
    }
    String way = form.group(3) == null ? "" : form.group(3).toLowerCase(Locale.ROOT);
    if (unit.equals("db") && way.isEmpty()) {
      if (!down && amount > 0) {
        turn.say("a trim never goes above 0 dB; S and + turn the whole stem up");
        return;
      }
      exactTrim(turn, amount);
      return;
    }
    if (unit.equals("db") || unit.isEmpty() || way.isEmpty() || down) {
      turn.say("say ms or samples, and earlier or later: 0.4 ms later, 7 samples earlier");
      return;
    }
    double frames = unit.equals("ms") ? amount * turn.rate() / 1000 : amount;
    long rounded = (long) Math.floor(frames + 0.5);
    if (rounded > turn.rate()) {
      turn.say("a hit moves by at most 20 ms; for more, move the stem: S");
      return;
    }
    WalkDeeds.nudge(turn, (int) (way.equals("later") ? rounded : -rounded), false);
  }

  private static void exactTrim(Turn turn, double db) {
    Optional<MomentNow> moment = turn.model().momentNow();
    if (moment.isPresent()) {
      WalkDeeds.trim(turn, (int) Math.floor(db * 10 + 0.5));
    }
  }

  private static void note(Turn turn, String text) {
    long frame = noteFrame(turn);
    if (frame < 0) {
      return;
    }
    Deeds deeds = turn.now.deeds;
    Map<Long, String> notes = new HashMap<>(deeds.notes());
    if (text.isEmpty()) {
      notes.remove(frame);
    } else {
      notes.put(frame, text);
    }
    var marks = deeds.marks();
    for (Mark mark : marks.list()) {
      if (mark.momentFrame() == frame) {
        Mark noted = mark.withNote(text);
        if (!noted.equals(mark)) {
          marks = marks.replace(mark, noted);
        }
      }
    }
    turn.deed(
        new Deeds(marks, deeds.done(), notes, deeds.leftAlone()),
        text.isEmpty() ? "no note" : "noted");
  }
}
