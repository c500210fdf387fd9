package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.line.Line;
import cairn.io.listing.Figures;
import cairn.tui.model.Effect;
import cairn.tui.model.Screen;
import java.util.Optional;
import java.util.OptionalInt;

/** Moves the line on the ladder. */
final class LadderDeeds {

  private LadderDeeds() {}

  static void move(Turn turn, int sign) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    Line at = turn.now.lineDraft.orElse(turn.now.song.get().pass().line().line());
    double stepDb = sign * Steps.tenthsDb(turn.now.stepSize) / 10.0;
    Line moved =
        at instanceof Line.Margin margin
            ? new Line.Margin(tenths(margin.marginDb() + stepDb))
            : new Line.Level(tenths(levelDb(turn, at) + stepDb));
    set(turn, moved);
  }

  private static double tenths(double db) {
    return Math.round(db * 10) / 10.0;
  }

  private static double levelDb(Turn turn, Line line) {
    double overall = turn.now.song.get().pass().line().averagePeak().overall();
    return Decibels.ofAmplitude(line.level(overall));
  }

  /** Tries a line; Enter draws it. */
  static void set(Turn turn, Line line) {
    turn.now.lineDraft = Optional.of(line);
    turn.now.counted = OptionalInt.empty();
    turn.effect(new Effect.Count(line));
    turn.say("line " + Figures.fixed(levelDb(turn, line), 1) + ": Enter draws it");
  }

  static void draw(Turn turn) {
    if (turn.now.song.isEmpty()) {
      return;
    }
    if (turn.now.lineDraft.isEmpty()) {
      turn.open(Screen.PLAN);
      turn.say("- and + move the line first");
      turn.back();
      return;
    }
    turn.effect(
        new Effect.Analyse(
            turn.now.song.get().pass().session().faders(), turn.now.lineDraft.get()));
    turn.say("drawing the line anew");
  }
}
