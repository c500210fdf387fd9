package cairn.tui.update;

import cairn.tui.keys.Intent;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Effect;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** Keys, in order: text for an open field, an intent for all else. */
final class Keys {

  /** What cannot be done before the selected moment was looked into. */
  private static final Set<Intent> NEED_MOMENT =
      EnumSet.of(
          Intent.NUDGE,
          Intent.TRIM,
          Intent.CLIP,
          Intent.EARLIER,
          Intent.LATER,
          Intent.LESS,
          Intent.MORE,
          Intent.EXACT,
          Intent.OTHER_FIX,
          Intent.NEXT_STEM,
          Intent.PREVIOUS_STEM,
          Intent.PICK_STEM);

  private static final int PAGE = 10;

  private Keys() {}

  static void pressed(Turn turn, KeyPress key) {
    turn.now.keys++;
    boolean urgent = key.name() == KeyPress.Name.CTRL_C || key.name() == KeyPress.Name.CTRL_L;
    if (!urgent && !turn.now.waiting.isEmpty()) {
      List<KeyPress> waiting = new ArrayList<>(turn.now.waiting);
      waiting.add(key);
      turn.now.waiting = waiting;
      return;
    }
    take(turn, key);
  }

  /** Takes the keys that have waited, as far as what they need is there. */
  static void drain(Turn turn) {
    List<KeyPress> waiting = turn.now.waiting;
    turn.now.waiting = List.of();
    for (int i = 0; i < waiting.size(); i++) {
      take(turn, waiting.get(i));
      if (!turn.now.waiting.isEmpty()) {
        List<KeyPress> rest = new ArrayList<>(turn.now.waiting);
        rest.addAll(waiting.subList(i + 1, waiting.size()));
        turn.now.waiting = rest;
        return;
      }
    }
  }

  private static void take(Turn turn, KeyPress key) {
    if (turn.now.field.isPresent() && key.name() != KeyPress.Name.CTRL_L) {
      Fields.key(turn, key);
      return;
    }
    Optional<Intent> intent = KeyMap.intent(turn.now.screen, key);
    if (intent.isEmpty()) {
      if (!turn.now.used.contains("?")) {
        turn.say("? shows all keys");
        turn.used("?");
      }
      return;
    }
    if (mustWait(turn, intent.get())) {
      turn.now.waiting = List.of(key);
      if (turn.now.song.isPresent()) {
        turn.lookInto();
      }
      return;
    }
    turn.now.message = Optional.empty();
    run(turn, intent.get(), key);
  }

  private static boolean mustWait(Turn turn, Intent intent) {
    if (turn.now.screen != Screen.WALK || turn.row().isEmpty()) {
      return false;
    }
    boolean enter = intent == Intent.ENTER;
    if (enter || NEED_MOMENT.contains(intent)) {
      return turn.model().momentNow().isEmpty();
    }
    boolean next = intent == Intent.NEXT_OPEN || intent == Intent.PREVIOUS_OPEN;
    return next && turn.model().busNow().isEmpty();
  }

  static void run(Turn turn, Intent intent, KeyPress key) {
    Screen screen = turn.now.screen;
    switch (intent) {
      case DOWN -> move(turn, 1);
      case UP -> move(turn, -1);
      case PAGE_DOWN -> move(turn, PAGE);
      case PAGE_UP -> move(turn, -PAGE);
      case FIRST -> move(turn, Integer.MIN_VALUE);
      case LAST -> move(turn, Integer.MAX_VALUE);
      case NEXT_OPEN -> nextOpen(turn, 1);
      case PREVIOUS_OPEN -> nextOpen(turn, -1);
      case NEXT_STEM -> Pile.pickNext(turn, 1);
      case PREVIOUS_STEM -> Pile.pickNext(turn, -1);
      case PICK_STEM -> Pile.pick(turn, key.codePoint() - '1');
      case GO_TO -> Fields.open(turn, cairn.tui.model.TextField.Purpose.GO_TO, "");
      case NARROW -> Fields.openNarrow(turn);
      case ORDER -> order(turn);
      case ENTER -> enter(turn);
      case NUDGE -> WalkDeeds.least(turn, cairn.collisions.fix.Fix.Kind.NUDGE);
      case TRIM -> WalkDeeds.least(turn, cairn.collisions.fix.Fix.Kind.TRIM);
      case CLIP -> WalkDeeds.least(turn, cairn.collisions.fix.Fix.Kind.CLIP);
      case EARLIER -> earlierOrLater(turn, -1);
      case LATER -> earlierOrLater(turn, 1);
      case LESS -> lessOrMore(turn, -1);
      case MORE -> lessOrMore(turn, 1);
      case FINER -> step(turn, -1);
      case COARSER -> step(turn, 1);
      case EXACT -> Fields.openExact(turn);
      case OTHER_FIX -> {
        if (screen == Screen.PLAN) {
          PlanDeeds.other(turn);
        } else {
          WalkDeeds.other(turn);
        }
      }
      case ALL -> {
        if (screen == Screen.PLAN) {
          PlanDeeds.takeAll(turn);
        } else {
          WalkDeeds.toggleAll(turn);
        }
      }
      case DROP -> {
        switch (screen) {
          case PLAN -> PlanDeeds.drop(turn);
          case MARKS -> MarkRows.drop(turn);
          default -> WalkDeeds.drop(turn);
        }
      }
      case FINE -> {
        if (screen == Screen.STEMS) {
          StemDeeds.leaveAlone(turn);
        } else {
          WalkDeeds.fine(turn);
        }
      }
      case DONE -> {
        if (screen == Screen.MARKS) {
          MarkRows.done(turn);
        } else {
          WalkDeeds.done(turn);
        }
      }
      case NOTE -> Fields.openNote(turn);
      case UNDO -> undo(turn);
      case REDO -> redo(turn);
      case WHAT_IF -> {
        turn.now.whatIf = !turn.now.whatIf;
        turn.say(
            turn.now.whatIf
                ? "what-if on: the bus as your marks make it"
                : "what-if off: the bus as it is in the stems");
      }
      case ZOOM -> turn.now.zoom = (turn.now.zoom + 1) % Zoom.widths();
      case BREADTH -> turn.now.breadth = (turn.now.breadth + 1) % 3;
      case MUTE -> StemDeeds.mute(turn);
      case SOLO -> StemDeeds.solo(turn);
      case POLARITY -> StemDeeds.polarity(turn);
      case YOKE -> turn.say("yokes are not there yet; f leaves a stem alone");
      case WALK -> turn.open(Screen.WALK);
      case STEMS -> turn.open(Screen.STEMS);
      case LADDER -> turn.open(Screen.LADDER);
      case PLAN -> PlanDeeds.open(turn);
      case MARKS -> turn.open(Screen.MARKS);
      case SPECTRUM -> turn.open(Screen.SPECTRUM);
      case EXPORT -> turn.open(Screen.EXPORT);
      case CHECK -> turn.open(Screen.CHECK);
      case HELP -> {
        turn.used("help");
        turn.open(Screen.HELP);
        turn.now.select(Screen.HELP, 0);
        turn.now.helpFilter = "";
      }
      case BACK -> {
        if (screen == Screen.WALK) {
          turn.effect(new Effect.Leave());
        } else {
          turn.back();
        }
      }
      case ESCAPE -> escape(turn);
      case CANCEL -> {
        if (turn.now.work.isPresent()) {
          turn.now.waiting = List.of();
          turn.effect(new Effect.Cancel());
        } else {
          turn.effect(new Effect.Leave());
        }
      }
      case REPAINT -> turn.effect(new Effect.Repaint());
    }
  }

  private static void escape(Turn turn) {
    if (turn.now.screen != Screen.WALK) {
      turn.back();
    } else if (!turn.now.narrowed.isEmpty()) {
      turn.now.narrowed = "";
      turn.refreshRows();
      turn.say("all moments again");
    }
  }

  private static void enter(Turn turn) {
    switch (turn.now.screen) {
      case WALK -> WalkDeeds.take(turn);
      case PLAN -> PlanDeeds.take(turn);
      case STEMS -> StemDeeds.sumAgain(turn);
      case LADDER -> LadderDeeds.draw(turn);
      case MARKS -> MarkRows.goThere(turn);
      case EXPORT -> Exports.ask(turn);
      case HELP -> doChosen(turn);
      case SPECTRUM, CHECK -> turn.back();
    }
  }

  private static void doChosen(Turn turn) {
    Screen under =
        turn.now.under.isEmpty() ? Screen.WALK : turn.now.under.get(turn.now.under.size() - 1);
    var rows = KeyMap.help(under, turn.now.helpFilter);
    int at = turn.now.selectedOn(Screen.HELP);
    if (at < rows.size()) {
      turn.back();
      KeyPress key = rows.get(at).keys().get(0);
      take(turn, key);
    }
  }

  private static void move(Turn turn, int by) {
    Screen screen = turn.now.screen;
    int rows = RowCounts.of(turn.model());
    long to = by == Integer.MIN_VALUE ? 0 : (long) turn.now.selectedOn(screen) + by;
    int at = (int) Math.max(0, Math.min(to, rows - 1L));
    turn.now.select(screen, at);
    turn.used("rows");
  }

  private static void nextOpen(Turn turn, int by) {
    if (turn.now.screen == Screen.PLAN) {
      PlanDeeds.next(turn, by);
      return;
    }
    turn.used("next");
    int rows = turn.now.rows.size();
    int at = turn.now.selectedOn(Screen.WALK);
    for (int i = 1; i <= rows; i++) {
      int candidate = Math.floorMod(at + by * i, rows);
      if (turn.now.rows.get(candidate).state().isOpen()) {
        turn.now.select(Screen.WALK, candidate);
        if (candidate == at) {
          turn.say("this is the only one still to decide");
        }
        return;
      }
    }
    turn.say(Verdicts.allDecided(turn.model()));
  }

  private static void order(Turn turn) {
    turn.now.order =
        switch (turn.now.order) {
          case EXCESS -> cairn.tui.model.Order.TIME;
          case TIME -> cairn.tui.model.Order.STEM;
          case STEM -> cairn.tui.model.Order.EXCESS;
        };
    turn.refreshRows();
    turn.say("sorted by " + turn.now.order.toString().toLowerCase(java.util.Locale.ROOT));
  }

  private static void earlierOrLater(Turn turn, int sign) {
    if (turn.now.screen == Screen.STEMS) {
      StemDeeds.offset(turn, sign);
    } else {
      WalkDeeds.move(turn, sign);
    }
  }

  private static void lessOrMore(Turn turn, int sign) {
    switch (turn.now.screen) {
      case STEMS -> StemDeeds.gain(turn, sign);
      case LADDER -> LadderDeeds.move(turn, sign);
      default -> WalkDeeds.level(turn, sign);
    }
  }

  private static void step(Turn turn, int by) {
    int step = Math.max(0, Math.min(2, turn.now.stepSize + by));
    turn.now.stepSize = step;
    turn.say("step " + Steps.words(step));
  }

  private static void undo(Turn turn) {
    int last = turn.now.undone.size() - 1;
    if (last < 0) {
      turn.say("nothing to undo");
      return;
    }
    var redoable = new ArrayList<>(turn.now.redoable);
    redoable.add(turn.now.deeds);
    var deeds = turn.now.undone.get(last);
    turn.now.undone = turn.now.undone.subList(0, last);
    turn.now.redoable = redoable;
    turn.setDeeds(deeds);
    turn.say("undone; " + last + " more can be, r does it again");
  }

  private static void redo(Turn turn) {
    int last = turn.now.redoable.size() - 1;
    if (last < 0) {
      turn.say("nothing to do again");
      return;
    }
    var undone = new ArrayList<>(turn.now.undone);
    undone.add(turn.now.deeds);
    var deeds = turn.now.redoable.get(last);
    turn.now.redoable = turn.now.redoable.subList(0, last);
    turn.now.undone = undone;
    turn.setDeeds(deeds);
    turn.say("done again; u undoes it");
  }
}
