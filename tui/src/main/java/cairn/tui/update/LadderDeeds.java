package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.PeakMode;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Ladder;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.BusNow;
import cairn.tui.model.Effect;
import cairn.tui.model.Screen;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Moves the line on the ladder. It is tried first, which counts the moments that it would leave,
 * and drawn on Enter, which explains them all anew.
 */
final class LadderDeeds {

  private LadderDeeds() {}

  static void move(Turn turn, int sign) {
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read; the line comes after");
      return;
    }
    Line at = turn.now.lineDraft.orElse(line(turn).line());
    double stepDb = sign * Steps.tenthsDb(turn.now.stepSize) / 10.0;
    attempt(
        turn,
        at instanceof Line.Margin margin
            ? new Line.Margin(tenths(margin.marginDb() + stepDb))
            : new Line.Level(tenths(levelDb(turn, at) + stepDb)));
  }

  private static HeldLine line(Turn turn) {
    return turn.now.song.orElseThrow().pass().line();
  }

  private static double tenths(double db) {
    return Math.round(db * 10) / 10.0;
  }

  private static double levelDb(Turn turn, Line line) {
    return Decibels.ofAmplitude(line.level(line(turn).averagePeak().overall()));
  }

  /** Tries the line that was typed: a level, or how far above the average peak. */
  static void exact(Turn turn, String typed) {
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read; the line comes after");
      return;
    }
    String text = typed.replace(',', '.').replace('\u2212', '-').toLowerCase(Locale.ROOT).strip();
    if (text.endsWith("lufs")) {
      turn.say("a loudness goal is set when the walk is opened; here the line is: -1.6, or +1.5");
      return;
    }
    Optional<Double> number = Typed.number(text.replaceAll("\\s*db(fs|tp)?$", ""));
    if (number.isEmpty()) {
      turn.say(
          "'"
              + SafeText.of(typed)
              + "' is no line; -1.6 is a level in "
              + unit(turn)
              + ", +1.5 dB above the average peak");
      return;
    }
    attempt(
        turn, text.startsWith("+") ? new Line.Margin(number.get()) : new Line.Level(number.get()));
  }

  private static String unit(Turn turn) {
    return turn.now
        .song
        .map(song -> song.pass().settings().mode().unit())
        .orElse(PeakMode.SAMPLE_PEAK.unit());
  }

  /** Tries a line; Enter draws it. */
  private static void attempt(Turn turn, Line line) {
    turn.now.lineDraft = Optional.of(line);
    turn.now.counted = OptionalInt.empty();
    turn.effect(new Effect.Count(line));
    turn.say("line " + words(turn, line) + "; Enter draws it");
  }

  /** A line in words: {@code -1.6}. */
  static String words(Turn turn, Line line) {
    return Figures.fixed(levelDb(turn, line), 1);
  }

  /** Draws the line that was tried; with none, tries that of the selected row. */
  static void draw(Turn turn) {
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read; the line comes after");
      return;
    }
    if (turn.now.work.isPresent()) {
      turn.say("something is being worked out already; Ctrl-C cancels it");
      return;
    }
    if (turn.now.lineDraft.isPresent()) {
      turn.effect(
          new Effect.Analyse(
              turn.now.song.get().pass().session().faders(), turn.now.lineDraft.get()));
      turn.say("drawing the line at " + words(turn, turn.now.lineDraft.get()));
      return;
    }
    Optional<BusNow> bus = turn.model().busNow();
    int row = turn.now.selectedOn(Screen.LADDER);
    if (bus.isEmpty() || row >= bus.get().ladder().rows().size() || !line(turn).isLevel()) {
      turn.say("- and + move the line, e sets it");
      return;
    }
    Ladder.Row step = bus.get().ladder().rows().get(row);
    attempt(turn, new Line.Level(Decibels.ofAmplitude(bus.get().peak()) - step.headroomDb()));
  }
}
