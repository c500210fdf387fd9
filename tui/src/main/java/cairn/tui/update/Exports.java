package cairn.tui.update;

import cairn.tui.model.Effect;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.TextField;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** Writing the cue list. */
public final class Exports {

  /**
   * A format of cue list.
   *
   * @param name its name
   * @param ending the ending of its files
   * @param what one line about it
   */
  public record Format(String name, String ending, String what) {}

  /** The formats, as the Export screen lists them. */
  public static final List<Format> FORMATS =
      List.of(
          new Format("csv", ".csv", "a table, one row a cue"),
          new Format("json", ".json", "the same for programs"),
          new Format("text", ".txt", "to print, or to read at the desk"),
          new Format("midi", ".mid", "a Standard MIDI File with a marker a cue"),
          new Format("wave", ".wav", "silence as long as the song, with a cue point a cue"));

  private Exports() {}

  /** Why there is no cue to write, and what would make one; empty: there are some. */
  public static Optional<String> missing(Model model) {
    if (model.song().isEmpty()) {
      return Optional.of(
          model.isUnread()
              ? "the stems were not read: there is no cue to write"
              : "the stems are still being read; cues come after");
    }
    if (!model.deeds().marks().fixes().isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(
        model.deeds().marks().list().isEmpty()
            ? "no fix is marked: W, then Enter, takes one; P, then a, all of the plan"
            : "no fix is marked (fine makes no cue): W, then Enter, takes one; P, then a, all");
  }

  static void ask(Turn turn) {
    Optional<String> missing = missing(turn.model());
    if (missing.isPresent()) {
      turn.say(missing.get());
      return;
    }
    Fields.open(turn, TextField.Purpose.TARGET, proposed(turn));
  }

  /** The name that is proposed; it lies with the stems, or beside them where it is sound. */
  static String proposed(Turn turn) {
    String ending = FORMATS.get(turn.now.selectedOn(Screen.EXPORT)).ending();
    return (ending.equals(".wav") ? "../" : "") + "cairn-cues" + ending;
  }

  static void write(Turn turn, String typed) {
    Format format = FORMATS.get(turn.now.selectedOn(Screen.EXPORT));
    boolean force = typed.startsWith("!");
    String name = force ? typed.substring(1).strip() : typed.strip();
    if (name.isEmpty()) {
      turn.say("no file is named: nothing is written");
      return;
    }
    try {
      turn.effect(new Effect.WriteCues(format.name(), Path.of(name), force, turn.kept()));
      turn.say("writing " + format.name());
    } catch (InvalidPathException e) {
      turn.say("that is no file name; type another");
    }
  }
}
