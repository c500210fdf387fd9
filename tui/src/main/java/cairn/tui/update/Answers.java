package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.io.listing.Figures;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** What the answers to effects, and other news of the world, do to the model. */
final class Answers {

  private Answers() {}

  static void take(Turn turn, Event event) {
    if (event instanceof Event.Resized resized) {
      turn.now.size = resized.size();
    } else if (event instanceof Event.Rested rested) {
      if (rested.keys() == turn.now.keys && turn.model().momentNow().isEmpty()) {
        turn.lookInto();
      }
    } else if (event instanceof Event.Progressed progressed) {
      turn.now.work = Optional.of(progressed.work());
    } else if (event instanceof Event.SongRead read) {
      songRead(turn, read);
    } else if (event instanceof Event.BusReckoned reckoned) {
      busReckoned(turn, reckoned);
    } else if (event instanceof Event.MomentReckoned reckoned) {
      turn.now.moment = Optional.of(reckoned.moment());
      if (turn.model().momentNow().isPresent()) {
        Keys.drain(turn);
      } else {
        turn.now.moment = Optional.empty();
      }
    } else if (event instanceof Event.Planned planned) {
      planned(turn, planned);
    } else if (event instanceof Event.Counted counted) {
      counted(turn, counted);
    } else if (event instanceof Event.Saved saved) {
      turn.now.unsaved = Optional.empty();
      saved.where().ifPresent(turn::say);
    } else if (event instanceof Event.NotSaved notSaved) {
      if (turn.now.unsaved.isEmpty()) {
        turn.say("warning: " + notSaved.why());
      }
      turn.now.unsaved = Optional.of(notSaved.why());
    } else if (event instanceof Event.Written written) {
      turn.say(written.what());
    } else if (event instanceof Event.Failed failed) {
      turn.now.work = Optional.empty();
      dropWaiting(turn);
      turn.say("stopped: " + failed.why());
    } else if (event instanceof Event.Noted noted) {
      List<String> notes = new ArrayList<>(turn.now.notes);
      notes.addAll(noted.lines());
      turn.now.notes = notes;
    }
  }

  private static void dropWaiting(Turn turn) {
    if (!turn.now.waiting.isEmpty()) {
      turn.say(Figures.count(turn.now.waiting.size(), "key") + " that waited did nothing");
      turn.now.waiting = List.of();
    }
  }

  private static void songRead(Turn turn, Event.SongRead read) {
    Song song = read.song();
    boolean first = turn.now.song.isEmpty();
    long selected = turn.selectedFrame();
    turn.now.song = Optional.of(song);
    turn.now.title = song.title();
    turn.now.work = Optional.empty();
    turn.now.faders = song.pass().session().faders();
    turn.now.lineDraft = Optional.empty();
    turn.now.counted = OptionalInt.empty();
    turn.now.plan = Optional.empty();
    turn.now.bus = Optional.empty();
    turn.now.moment = Optional.empty();
    turn.now.readOnly = read.readOnly();
    if (read.kept().isPresent()) {
      Kept kept = read.kept().get();
      turn.now.deeds = new Deeds(kept.marks(), kept.done(), kept.notes(), kept.leftAlone());
      turn.now.sections = kept.sections();
      turn.now.order = kept.order();
      turn.now.used = kept.used();
      selected = kept.selectedFrame();
    }
    turn.now.rows = Rows.of(turn.model());
    turn.now.select(Screen.WALK, 0);
    if (selected >= 0) {
      turn.selectFrame(selected);
    }
    turn.effect(new Effect.ReckonBus(turn.now.deeds.marks()));
    turn.lookInto();
    turn.now.message = Optional.empty();
    read.readOnly().ifPresent(why -> turn.say("warning: " + why));
    if (first && read.kept().isPresent() && !turn.now.deeds.marks().list().isEmpty()) {
      turn.say(
          "welcome back: "
              + Figures.count(turn.now.deeds.marks().list().size(), "mark")
              + " as you left them");
    } else if (!first) {
      turn.say(
          Figures.count(song.pass().moments().size(), "moment")
              + " over the line at "
              + Figures.fixed(Decibels.ofAmplitude(song.pass().line().level(0)), 2)
              + " dBFS");
      turn.save();
    }
  }

  private static void busReckoned(Turn turn, Event.BusReckoned reckoned) {
    if (!reckoned.bus().marks().equals(turn.now.deeds.marks())) {
      return;
    }
    long selected = turn.selectedFrame();
    turn.now.bus = Optional.of(reckoned.bus());
    turn.refreshRows();
    if (selected < 0 && turn.selectedFrame() >= 0) {
      turn.lookInto();
    }
    if (!turn.now.waiting.isEmpty()) {
      Keys.drain(turn);
    }
  }

  private static void planned(Turn turn, Event.Planned planned) {
    turn.now.work = Optional.empty();
    if (!planned.marks().equals(turn.now.deeds.marks())) {
      turn.say("the marks have changed since this plan was begun; P plans anew");
      return;
    }
    turn.now.plan = Optional.of(planned.plan());
    turn.now.select(Screen.PLAN, 0);
    int fixes = planned.plan().fixes().size();
    if (fixes == 0) {
      turn.say(
          planned.plan().moments() == 0
              ? "nothing is over the line: there is nothing to plan"
              : "no gentle fix helps any of the " + planned.plan().moments() + " moments left");
    } else if (turn.now.screen != Screen.PLAN) {
      turn.say("the plan is there: " + fixes + " fixes; P shows it");
    }
  }

  private static void counted(Turn turn, Event.Counted counted) {
    if (turn.now.lineDraft.filter(counted.line()::equals).isPresent()) {
      turn.now.counted = OptionalInt.of(counted.moments());
      double overall = turn.now.song.get().pass().line().averagePeak().overall();
      turn.say(
          "line "
              + Figures.fixed(Decibels.ofAmplitude(counted.line().level(overall)), 1)
              + ": "
              + Figures.count(counted.moments(), "moment")
              + "; Enter draws it");
    }
  }
}
