package cairn.tui.update;

import cairn.collisions.fix.Fix;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.keys.Binding;
import cairn.tui.keys.Intent;
import cairn.tui.keys.KeyMap;
import cairn.tui.keys.Needs;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Order;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.State;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Keys, in order: text for an open field, an intent for all else. */
final class Keys {

  private Keys() {}

  static void pressed(Turn turn, KeyPress key) {
    turn.now.keys++;
    boolean urgent = key.name() == KeyPress.Name.CTRL_C || key.name() == KeyPress.Name.CTRL_L;
    if (!urgent && !turn.now.waiting.isEmpty()) {
      queue(turn, new Event.Pressed(key));
      return;
    }
    take(turn, key);
  }

  static void pasted(Turn turn, Event.Pasted pasted) {
    if (turn.now.waiting.isEmpty()) {
      Fields.paste(turn, pasted.text());
    } else {
      queue(turn, pasted);
    }
  }

  private static void queue(Turn turn, Event event) {
    List<Event> waiting = new ArrayList<>(turn.now.waiting);
    waiting.add(event);
    turn.now.waiting = waiting;
  }

  /** Takes the keys that have waited, as far as what they need is there. */
  static void drain(Turn turn) {
    List<Event> waiting = turn.now.waiting;
    turn.now.waiting = List.of();
    for (int i = 0; i < waiting.size(); i++) {
      Event event = waiting.get(i);
      if (event instanceof Event.Pressed pressed) {
        take(turn, pressed.key());
      } else if (event instanceof Event.Pasted pasted) {
        Fields.paste(turn, pasted.text());
      }
      if (!turn.now.waiting.isEmpty()) {
        List<Event> rest = new ArrayList<>(turn.now.waiting);
        rest.addAll(waiting.subList(i + 1, waiting.size()));
        turn.now.waiting = rest;
        return;
      }
    }
  }

  /** The keys that wait do nothing, and it is said. */
  static void dropWaiting(Turn turn) {
    int keys = turn.now.waiting.size();
    if (keys > 0) {
      turn.now.waiting = List.of();
      turn.say(Figures.count(keys, "key") + " that waited did nothing");
    }
  }

  static void take(Turn turn, KeyPress key) {
    turn.settleSelection();
    if (turn.now.field.isPresent() && key.name() != KeyPress.Name.CTRL_L) {
      Fields.key(turn, key);
      return;
    }
    Optional<Binding> binding = KeyMap.binding(turn.now.screen, key);
    if (binding.isEmpty()) {
      unknown(turn, key);
      return;
    }
    Intent intent = binding.get().intent();
    if (turn.now.screen == Screen.WALK && binding.get().needs() != Needs.NOTHING) {
      Optional<String> why = refusal(turn, binding.get());
      if (why.isPresent()) {
        turn.say(why.get());
        return;
      }
      if (mustWait(turn, binding.get().needs())) {
        turn.now.waiting = List.of(new Event.Pressed(key));
        turn.lookInto();
        return;
      }
    }
    if (turn.now.screen == Screen.PLAN
        && intent == Intent.OTHER_FIX
        && (turn.model().busNow().isEmpty() || PlanDeeds.mustLook(turn))) {
      turn.now.waiting = List.of(new Event.Pressed(key));
      turn.lookInto();
      return;
    }
    turn.messageBefore = turn.now.message;
    turn.now.message = Optional.empty();
    deed(turn, intent, key).run();
  }

  /**
   * A key that is for other screens says so, and a capital for which there is none names its small
   * letter, each time: whoever is stuck in Caps Lock presses many. Any other key says where the
   * keys are, once.
   */
  private static void unknown(Turn turn, KeyPress key) {
    Optional<Binding> elsewhere = KeyMap.elsewhere(key);
    if (elsewhere.isPresent()) {
      Binding row = elsewhere.get();
      Screen home = home(row);
      turn.say(
          row.key()
              + " ("
              + row.words(home)
              + ") is for "
              + name(home)
              + "; "
              + KeyMap.of(opens(home)).key()
              + " goes there");
    } else if (small(turn, key).isPresent()) {
      Binding row = small(turn, key).get();
      Screen where = row.screens().contains(turn.now.screen) ? turn.now.screen : home(row);
      turn.remind(
          key
              + " does nothing; small "
              + row.key()
              + " is for "
              + row.words(where)
              + (where == turn.now.screen ? "" : " on " + name(where))
              + ". Caps Lock? ? shows all keys");
    } else {
      String which = key.name() == KeyPress.Name.TEXT ? SafeText.of(key.toString()) : "that key";
      String hint = which + " does nothing; ? shows all keys";
      if (!turn.now.said.contains(hint)) {
        turn.say(hint);
      }
    }
  }

  /** What the small letter of a capital does, here or on another screen. */
  private static Optional<Binding> small(Turn turn, KeyPress key) {
    if (key.name() != KeyPress.Name.TEXT || !Character.isUpperCase(key.codePoint())) {
      return Optional.empty();
    }
    KeyPress small = KeyPress.text(Character.toLowerCase(key.codePoint()));
    return KeyMap.binding(turn.now.screen, small).or(() -> KeyMap.elsewhere(small));
  }

  private static Screen home(Binding row) {
    for (Screen screen : Screen.values()) {
      if (row.screens().contains(screen)) {
        return screen;
      }
    }
    return Screen.WALK;
  }

  private static String name(Screen screen) {
    return screen == Screen.WALK
        ? "the walk"
        : screen.toString().charAt(0) + screen.toString().substring(1).toLowerCase(Locale.ROOT);
  }

  private static Intent opens(Screen screen) {
    return switch (screen) {
      case WALK -> Intent.WALK;
      case STEMS -> Intent.STEMS;
      case LADDER -> Intent.LADDER;
      case PLAN -> Intent.PLAN;
      case MARKS -> Intent.MARKS;
      case SPECTRUM -> Intent.SPECTRUM;
      case EXPORT -> Intent.EXPORT;
      case CHECK -> Intent.CHECK;
      case HELP -> Intent.HELP;
    };
  }

  /** Why a key cannot do anything here, and what would. */
  private static Optional<String> refusal(Turn turn, Binding binding) {
    if (turn.now.song.isEmpty()) {
      return Optional.of(
          turn.model().isUnread()
              ? "the stems were not read; q leaves"
              : "the stems are still being read; q leaves");
    }
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      return Optional.of(
          turn.now.narrowed.isEmpty()
              ? "nothing is over the line; L moves it"
              : "nothing matches '" + turn.now.narrowed + "'; Esc shows all");
    }
    boolean isGone = row.get().state() == State.GONE && turn.model().busNow().isPresent();
    if (binding.needs() == Needs.MOMENT && isGone) {
      return Optional.of(
          "marks elsewhere have cleared this one: nothing is to be done; Space goes on");
    }
    return Optional.empty();
  }

  private static boolean mustWait(Turn turn, Needs needs) {
    return switch (needs) {
      case NOTHING -> false;
      case BUS -> turn.model().busNow().isEmpty();
      case MOMENT -> turn.model().busNow().isEmpty() || turn.model().momentNow().isEmpty();
    };
  }

  /** An expression without a default: a new intent does not compile until it is handled. */
  private static Runnable deed(Turn turn, Intent intent, KeyPress key) {
    Screen screen = turn.now.screen;
    return switch (intent) {
      case DOWN -> () -> move(turn, 1);
      case UP -> () -> move(turn, -1);
      case PAGE_DOWN -> () -> move(turn, page(turn));
      case PAGE_UP -> () -> move(turn, -page(turn));
      case FIRST -> () -> move(turn, Integer.MIN_VALUE);
      case LAST -> () -> move(turn, Integer.MAX_VALUE);
      case NEXT_OPEN -> () -> nextOpen(turn, 1);
      case PREVIOUS_OPEN -> () -> nextOpen(turn, -1);
      case NEXT_STEM -> () -> Pile.pickNext(turn, 1);
      case PREVIOUS_STEM -> () -> Pile.pickNext(turn, -1);
      case PICK_STEM -> () -> Pile.pick(turn, key.codePoint() - '1');
      case GO_TO -> () -> Fields.open(turn, TextField.Purpose.GO_TO, "");
      case NARROW -> () -> Fields.openNarrow(turn);
      case ORDER -> () -> order(turn);
      case ENTER -> () -> enter(turn);
      case NUDGE -> () -> WalkDeeds.least(turn, Fix.Kind.NUDGE);
      case TRIM -> () -> WalkDeeds.least(turn, Fix.Kind.TRIM);
      case CLIP -> () -> WalkDeeds.least(turn, Fix.Kind.CLIP);
      case EARLIER -> () -> earlierOrLater(turn, -1);
      case LATER -> () -> earlierOrLater(turn, 1);
      case LESS -> () -> lessOrMore(turn, -1);
      case MORE -> () -> lessOrMore(turn, 1);
      case FINER -> () -> step(turn, -1);
      case COARSER -> () -> step(turn, 1);
      case EXACT ->
          () ->
              Fields.open(
                  turn,
                  screen == Screen.LADDER ? TextField.Purpose.GOAL : TextField.Purpose.EXACT,
                  "");
      case OTHER_FIX ->
          screen == Screen.PLAN ? () -> PlanDeeds.other(turn) : () -> WalkDeeds.other(turn);
      case ALL ->
          screen == Screen.PLAN ? () -> PlanDeeds.takeAll(turn) : () -> WalkDeeds.toggleAll(turn);
      case DROP -> () -> drop(turn);
      case FINE ->
          switch (screen) {
            case STEMS -> () -> StemDeeds.leaveAlone(turn);
            case PLAN -> () -> PlanDeeds.fine(turn);
            default -> () -> WalkDeeds.fine(turn);
          };
      case DONE -> screen == Screen.MARKS ? () -> MarkRows.done(turn) : () -> WalkDeeds.done(turn);
      case NOTE -> () -> Fields.openNote(turn);
      case UNDO -> () -> undo(turn);
      case REDO -> () -> redo(turn);
      case WHAT_IF -> () -> whatIf(turn);
      case ZOOM -> () -> WalkDeeds.zoom(turn);
      case BREADTH -> () -> WalkDeeds.breadth(turn);
      case MUTE -> () -> StemDeeds.mute(turn);
      case SOLO -> () -> StemDeeds.solo(turn);
      case POLARITY -> () -> StemDeeds.polarity(turn);
      case YOKE -> () -> StemDeeds.askYoke(turn);
      case WALK -> () -> turn.open(Screen.WALK);
      case STEMS -> () -> turn.open(Screen.STEMS);
      case LADDER -> () -> turn.open(Screen.LADDER);
      case PLAN -> () -> PlanDeeds.open(turn);
      case MARKS -> () -> turn.open(Screen.MARKS);
      case SPECTRUM -> () -> turn.open(Screen.SPECTRUM);
      case EXPORT -> () -> turn.open(Screen.EXPORT);
      case CHECK -> () -> turn.open(Screen.CHECK);
      case HELP -> () -> help(turn);
      case BACK -> () -> back(turn);
      case ESCAPE -> () -> escape(turn);
      case CANCEL -> () -> cancel(turn);
      case REPAINT -> () -> turn.effect(new Effect.Repaint());
    };
  }

  private static void drop(Turn turn) {
    switch (turn.now.screen) {
      case PLAN -> PlanDeeds.drop(turn);
      case MARKS -> MarkRows.drop(turn);
      default -> WalkDeeds.drop(turn);
    }
  }

  private static void whatIf(Turn turn) {
    turn.now.whatIf = !turn.now.whatIf;
    turn.say(
        turn.now.whatIf
            ? "what-if on: the bus as your marks make it"
            : "what-if off: the bus as it is in the stems; w brings your marks back");
  }

  private static void help(Turn turn) {
    turn.used("help");
    turn.open(Screen.HELP);
    turn.now.select(Screen.HELP, 0);
    turn.now.helpFilter = "";
    Fields.open(turn, TextField.Purpose.FIND, "");
  }

  private static void back(Turn turn) {
    if (turn.now.screen != Screen.WALK) {
      turn.back();
      return;
    }
    Optional<String> unsaved =
        turn.now.unsaved.map(why -> "warning: not saved: " + why + "; q again leaves all the same");
    if (unsaved.isPresent() && !unsaved.equals(turn.messageBefore)) {
      turn.say(unsaved.get());
      return;
    }
    leave(turn);
  }

  private static void leave(Turn turn) {
    turn.saveChanges();
    turn.effect(new Effect.Leave());
  }

  private static void cancel(Turn turn) {
    if (turn.now.work.isPresent()) {
      turn.now.waiting = List.of();
      turn.effect(new Effect.Cancel());
    } else if (!turn.now.waiting.isEmpty()) {
      dropWaiting(turn);
    } else {
      leave(turn);
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

  /** Does the row of the help that is selected; one of another screen goes there first. */
  static void doChosen(Turn turn) {
    Screen under = RowCounts.under(turn.model());
    List<Binding> rows = KeyMap.help(under, turn.now.helpFilter);
    int at = turn.now.selectedOn(Screen.HELP);
    if (at >= rows.size()) {
      turn.say("no key does '" + turn.now.helpFilter + "'; Backspace widens the search");
      Fields.open(turn, TextField.Purpose.FIND, turn.now.helpFilter);
      return;
    }
    Binding row = rows.get(at);
    turn.back();
    if (row.screens().contains(under)) {
      take(turn, row.keys().get(0));
    } else {
      Screen home = home(row);
      deed(turn, opens(home), row.keys().get(0)).run();
      turn.say("here " + row.key() + " does it: " + row.what());
    }
  }

  /** Moves the selection of the screen in front. */
  static void move(Turn turn, int by) {
    if (turn.now.screen == Screen.STEMS) {
      StemDeeds.move(turn, by);
      return;
    }
    // On the spectrum one goes through the moments of the walk.
    Screen screen = turn.now.screen == Screen.SPECTRUM ? Screen.WALK : turn.now.screen;
    int rows = RowCounts.of(turn.model());
    long to = by == Integer.MIN_VALUE ? 0 : (long) turn.now.selectedOn(screen) + by;
    int at = (int) Math.max(0, Math.min(to, rows - 1L));
    turn.now.select(screen, at);
    if (screen == Screen.PLAN) {
      PlanDeeds.showOnWalk(turn);
    }
  }

  /** Rows that a page key goes: about as many as are seen. */
  static int page(Turn turn) {
    int rows = turn.now.size.rows();
    return Math.max(1, turn.now.screen == Screen.WALK ? Math.min(32, rows - 15) - 1 : rows - 8);
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
          case EXCESS -> Order.TIME;
          case TIME -> Order.STEM;
          case STEM -> Order.EXCESS;
        };
    turn.refreshRows();
    turn.save();
    turn.say("sorted by " + turn.now.order.toString().toLowerCase(Locale.ROOT));
  }

  private static void earlierOrLater(Turn turn, int sign) {
    switch (turn.now.screen) {
      case STEMS -> StemDeeds.offset(turn, sign);
      case PLAN -> PlanDeeds.move(turn, sign);
      default -> WalkDeeds.move(turn, sign);
    }
  }

  private static void lessOrMore(Turn turn, int sign) {
    switch (turn.now.screen) {
      case STEMS -> StemDeeds.gain(turn, sign);
      case LADDER -> LadderDeeds.move(turn, sign);
      case PLAN -> PlanDeeds.level(turn, sign);
      default -> WalkDeeds.level(turn, sign);
    }
  }

  private static void step(Turn turn, int by) {
    int step = Math.max(0, Math.min(2, turn.now.stepSize + by));
    boolean isEnd = step == turn.now.stepSize;
    turn.now.stepSize = step;
    turn.say(
        "step "
            + Steps.words(step)
            + (isEnd ? by < 0 ? ", there is no finer one" : ", there is no coarser one" : ""));
  }

  private static void undo(Turn turn) {
    int last = turn.now.undone.size() - 1;
    if (last < 0) {
      turn.say("nothing to undo");
      return;
    }
    List<Deeds> redoable = new ArrayList<>(turn.now.redoable);
    redoable.add(turn.now.deeds);
    Deeds deeds = turn.now.undone.get(last);
    String what = Said.difference(turn, deeds, turn.now.deeds);
    turn.now.undone = turn.now.undone.subList(0, last);
    turn.now.redoable = redoable;
    boolean sameFaders = deeds.faders().equals(turn.now.deeds.faders());
    turn.setDeeds(deeds);
    turn.say("undone: " + what + (sameFaders ? "" : toSum(turn)) + "; r does it again");
  }

  private static void redo(Turn turn) {
    int last = turn.now.redoable.size() - 1;
    if (last < 0) {
      turn.say("nothing to do again");
      return;
    }
    List<Deeds> undone = new ArrayList<>(turn.now.undone);
    undone.add(turn.now.deeds);
    Deeds deeds = turn.now.redoable.get(last);
    String what = Said.difference(turn, turn.now.deeds, deeds);
    turn.now.redoable = turn.now.redoable.subList(0, last);
    turn.now.undone = undone;
    boolean sameFaders = deeds.faders().equals(turn.now.deeds.faders());
    turn.setDeeds(deeds);
    turn.say("done again: " + what + (sameFaders ? "" : toSum(turn)) + "; u undoes it");
  }

  /** What is still to do once faders have changed. */
  private static String toSum(Turn turn) {
    return !turn.model().isToSumAgain()
        ? ""
        : turn.now.screen == Screen.STEMS ? "; Enter sums again" : "; S, then Enter, sums again";
  }
}
