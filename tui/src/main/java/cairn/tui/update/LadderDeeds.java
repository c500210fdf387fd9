package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.plan.Ladder;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.BusNow;
import cairn.tui.model.Effect;
import cairn.tui.model.Screen;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Moves the line on the ladder. It is tried first, which counts the moments that it would leave,
 * and drawn on Enter, which explains them all anew.
 */
final class LadderDeeds {

  private static final String PLAIN = "\\d{1,3}(?:\\.\\d{1,3})?";
  private static final String NUMBER = "-?" + PLAIN;

  /** A line has a word, a unit or a plus: a bare number is a goal. */
  private static final Pattern LINE =
      Pattern.compile(
          "(?:line\\s*(?<a>[+-]?"
              + PLAIN
              + ")(?:\\s*db(?:fs|tp)?)?|(?<b>[+-]?"
              + PLAIN
              + ")\\s*db(?:fs|tp)?|(?<c>\\+"
              + PLAIN
              + "))");

  private static final Pattern GOAL =
      Pattern.compile(
          "(?:(?:goal\\s*)?(?<lufs>"
              + NUMBER
              + ")\\s*(?:lufs|lkfs)?)?"
              + "(?:[\\s.;]*ceiling\\s*(?<ceiling>"
              + NUMBER
              + ")\\s*(?:db(?<unit>fs|tp)?)?)?"
              + "(?:[\\s.;]*limiter\\s*(?:may\\s*)?(?<limiter>"
              + PLAIN
              + ")\\s*(?:db)?)?");

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

  /**
   * Sets the goal that was typed, {@code -8}, or tries a line: {@code line -1.6}, {@code -1.6
   * dBFS}, {@code +1.5 dB} above the average peak.
   */
  static void exact(Turn turn, String typed) {
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read; the line comes after");
      return;
    }
    String text = typed.replace(',', '.').replace('\u2212', '-').toLowerCase(Locale.ROOT).strip();
    Matcher line = LINE.matcher(text);
    if (line.matches()) {
      String number = first(line.group("a"), line.group("b"), line.group("c"));
      double db = Double.parseDouble(number);
      attempt(turn, number.startsWith("+") ? new Line.Margin(db) : new Line.Level(db));
      return;
    }
    if (turn.now.work.isPresent()) {
      turn.say("something is being worked out already; Ctrl-C cancels it");
    } else if (text.matches("(no|none|off|no goal)")) {
      noGoal(turn);
    } else {
      Pass pass = turn.now.song.get().pass();
      goal(text, pass)
          .ifPresentOrElse(
              goal -> goal(turn, pass, goal),
              () ->
                  turn.say(
                      "'"
                          + SafeText.of(typed)
                          + "' is no goal; -8, or -8 ceiling -1 limiter 3, or none;"
                          + " line -1.6 or +1.5 dB is a line"));
    }
  }

  private static String first(String... groups) {
    for (String group : groups) {
      if (group != null) {
        return group;
      }
    }
    throw new IllegalArgumentException("one group must be there");
  }

  /** A goal as typed, what is not named as it was before. */
  private static Optional<Goal> goal(String text, Pass pass) {
    Matcher form = GOAL.matcher(text);
    Optional<Goal> old = pass.settings().goal();
    if (!form.matches() || (form.group("lufs") == null && old.isEmpty())) {
      return Optional.empty();
    }
    double lufs =
        form.group("lufs") == null
            ? old.get().targetLufs()
            : Double.parseDouble(form.group("lufs"));
    double ceilingDb =
        form.group("ceiling") == null
            ? old.map(Goal::ceilingDb).orElse(Goal.DEFAULT_CEILING_DB)
            : Double.parseDouble(form.group("ceiling"));
    double allowanceDb =
        form.group("limiter") == null
            ? old.map(Goal::allowanceDb).orElse(Goal.DEFAULT_ALLOWANCE_DB)
            : Double.parseDouble(form.group("limiter"));
    String unit = form.group("unit");
    PeakMode mode =
        unit == null
            ? old.map(Goal::ceilingMode).orElse(pass.settings().mode())
            : unit.equals("tp") ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK;
    boolean isSane =
        lufs >= -70 && lufs <= 0 && ceilingDb >= -60 && ceilingDb <= 0 && allowanceDb <= 60;
    return isSane
        ? Optional.of(
            new Goal(
                lufs, ceilingDb, mode, allowanceDb, old.map(Goal::part).orElse(Goal.Part.LOUD)))
        : Optional.empty();
  }

  /** Sets a goal; the line follows it. */
  private static void goal(Turn turn, Pass pass, Goal goal) {
    turn.effect(
        new Effect.Analyse(
            pass.session().faders(), Optional.of(pass.settings().withGoal(goal, true))));
    turn.say(
        "goal "
            + Figures.fixed(goal.targetLufs(), 1)
            + ", ceiling "
            + Figures.fixed(goal.ceilingDb(), 1)
            + ", limiter may "
            + Figures.fixed(goal.allowanceDb(), 1)
            + ": drawing its line");
  }

  private static void noGoal(Turn turn) {
    Pass pass = turn.now.song.orElseThrow().pass();
    if (pass.settings().goal().isEmpty()) {
      turn.say("there is no goal; -8 sets one");
      return;
    }
    turn.effect(
        new Effect.Analyse(pass.session().faders(), Optional.of(pass.settings().withoutGoal())));
    turn.say("no goal: the line is drawn as before it");
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
      Pass pass = turn.now.song.get().pass();
      turn.effect(
          new Effect.Analyse(
              pass.session().faders(),
              Optional.of(pass.settings().withLine(turn.now.lineDraft.get()))));
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
