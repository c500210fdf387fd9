package cairn.tui.update;

import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Mark;
import cairn.io.listing.Figures;
import cairn.tui.model.BusNow;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/** What the answers to effects, and other news of the world, do to the model. */
final class Answers {

  /** With more rows than this the line lies inside the music. */
  private static final int MOST_ROWS = 5000;

  /** So many moments a line that is proposed instead would leave. */
  private static final int BEARABLE = 40;

  /** What is louder by less than this is not warned of. */
  private static final double LOUDER_DB = 0.05;

  private Answers() {}

  static void take(Turn turn, Event event) {
    if (event instanceof Event.Resized resized) {
      turn.now.size = resized.size();
    } else if (event instanceof Event.Rested rested) {
      rested(turn, rested);
    } else if (event instanceof Event.Progressed progressed) {
      turn.now.work = Optional.of(progressed.work());
    } else if (event instanceof Event.SongRead read) {
      songRead(turn, read);
    } else if (event instanceof Event.BusReckoned reckoned) {
      busReckoned(turn, reckoned.bus());
    } else if (event instanceof Event.MomentReckoned reckoned) {
      momentReckoned(turn, reckoned.moment());
    } else if (event instanceof Event.Planned planned) {
      planned(turn, planned);
    } else if (event instanceof Event.Counted counted) {
      counted(turn, counted);
    } else if (event instanceof Event.Checked checked) {
      checked(turn, checked);
    } else if (event instanceof Event.SpectraMeasured measured) {
      turn.now.spectra = Optional.of(measured.spectra());
    } else if (event instanceof Event.StemsMetered metered) {
      if (turn.now.song.map(song -> song.pass().equals(metered.pass())).orElse(false)) {
        turn.now.stemLoudness = Optional.of(metered.loudness());
      }
    } else if (event instanceof Event.SettingsTried tried) {
      turn.now.stemSettings =
          turn.now.stemSettings.map(
              asked ->
                  asked.leftAlone().equals(tried.settings().leftAlone())
                          && turn.now
                              .song
                              .map(song -> song.pass().equals(tried.pass()))
                              .orElse(false)
                      ? tried.settings()
                      : asked);
    } else if (event instanceof Event.PlanSummed summed) {
      turn.now.planSteps =
          turn.now.planSteps.map(
              asked -> asked.steps().equals(summed.steps().steps()) ? summed.steps() : asked);
    } else if (event instanceof Event.BandsReckoned reckoned) {
      turn.now.bands = Optional.of(reckoned.bands());
    } else if (event instanceof Event.Saved saved) {
      saved(turn, saved);
    } else if (event instanceof Event.NotSaved notSaved) {
      notSaved(turn, notSaved);
    } else if (event instanceof Event.Written written) {
      turn.now.work = Optional.empty();
      turn.say(written.what());
    } else if (event instanceof Event.Failed failed) {
      failed(turn, failed);
    } else if (event instanceof Event.Noted noted) {
      noted(turn, noted);
    }
  }

  private static void rested(Turn turn, Event.Rested rested) {
    if (rested.keys() == turn.now.keys && turn.now.song.isPresent()) {
      turn.lookInto();
      turn.saveChanges();
    }
  }

  private static void failed(Turn turn, Event.Failed failed) {
    Effect what = failed.what();
    boolean isLong =
        !(what instanceof Effect.ReckonBus
            || what instanceof Effect.ReckonMoment
            || what instanceof Effect.SumPlan
            || what instanceof Effect.ReckonBands);
    if (isLong) {
      turn.now.work = Optional.empty();
    }
    if (what instanceof Effect.MakePlan && turn.now.plan.isEmpty()) {
      turn.now.planFor = Optional.empty();
    }
    if (what instanceof Effect.ReckonMoment) {
      turn.now.asked = Optional.empty();
    }
    if (what instanceof Effect.Count) {
      turn.now.lineDraft = Optional.empty();
    }
    // Keys wait for the bus and the moment alone; those that a plan or a file was asked with do
    // not.
    if (!isLong || what instanceof Effect.Analyse) {
      Keys.dropWaiting(turn);
    }
    turn.say(words(what) + failed.why());
  }

  /** What did not come to be. */
  private static String words(Effect what) {
    String work =
        what instanceof Effect.MakePlan
            ? "no plan: "
            : what instanceof Effect.Count ? "not counted: " : "";
    return "stopped: " + work;
  }

  private static void saved(Turn turn, Event.Saved saved) {
    if (turn.now.unsaved.isPresent()) {
      turn.say("saved again, with all that was not");
    }
    turn.now.unsaved = Optional.empty();
    // Where it is saved is said once, and stays on Check.
    saved.where().filter(where -> !turn.now.said.contains(where)).ifPresent(turn::say);
  }

  private static void notSaved(Turn turn, Event.NotSaved notSaved) {
    if (turn.now.unsaved.isEmpty()) {
      turn.say("warning: " + notSaved.why());
    }
    turn.now.unsaved = Optional.of(notSaved.why());
  }

  private static void noted(Turn turn, Event.Noted noted) {
    List<String> notes = new ArrayList<>(turn.now.notes);
    notes.addAll(noted.lines());
    turn.now.notes = notes;
    if (turn.now.song.isEmpty()) {
      return;
    }
    if (turn.now.keys == 0) {
      checkFirst(turn);
    } else {
      // Check keeps them all.
      noted.lines().stream()
          .filter(line -> line.startsWith("warning:"))
          .findFirst()
          .ifPresent(turn::say);
    }
  }

  /** The findings take the place of what was noted of the same before. */
  private static void checked(Turn turn, Event.Checked checked) {
    List<String> notes = new ArrayList<>(turn.now.notes);
    notes.removeAll(checked.notes());
    turn.now.notes = notes;
    turn.now.findings = Optional.of(checked.findings());
    turn.now.select(Screen.CHECK, 0);
    long matter = matter(turn);
    if (matter == 0) {
      return;
    }
    if (turn.now.keys == 0) {
      checkFirst(turn);
    } else if (turn.now.screen != Screen.CHECK && turn.now.message.isEmpty()) {
      turn.say(
          "the check found "
              + matter
              + " that "
              + (matter == 1 ? "matters" : "matter")
              + "; C shows it");
    }
  }

  private static long matter(Turn turn) {
    return turn.now.findings.orElse(List.of()).stream()
        .filter(finding -> finding.weight().matters())
        .count();
  }

  /** What matters about the stems is seen before the walk. */
  private static void checkFirst(Turn turn) {
    boolean matters =
        matter(turn) > 0 || turn.now.notes.stream().anyMatch(note -> note.startsWith("warning:"));
    if (matters && turn.now.screen == Screen.WALK) {
      turn.open(Screen.CHECK);
      turn.say("worth knowing before the walk; Enter goes on");
    }
  }

  private static void songRead(Turn turn, Event.SongRead read) {
    Song song = read.song();
    boolean first = turn.now.song.isEmpty();
    long selected = turn.selectedFrame();
    turn.now.song = Optional.of(song);
    turn.now.title = song.title();
    turn.now.work = Optional.empty();
    turn.now.lineDraft = Optional.empty();
    turn.now.counted = OptionalInt.empty();
    turn.now.bus = Optional.empty();
    turn.now.lastBus = Optional.empty();
    turn.now.moment = Optional.empty();
    turn.now.asked = Optional.empty();
    turn.now.spectra = Optional.empty();
    turn.now.stemLoudness = Optional.empty();
    turn.now.stemSettings = Optional.empty();
    turn.now.bands = Optional.empty();
    turn.now.readOnly = read.readOnly();
    if (read.kept().isPresent()) {
      Kept kept = read.kept().get();
      turn.now.deeds = new Deeds(kept.marks(), kept.done(), kept.notes(), kept.leftAlone());
      turn.now.sections = kept.sections();
      turn.now.order = kept.order();
      turn.now.used = kept.used();
      selected = kept.selectedFrame();
    }
    List<Fader> summed = song.pass().session().faders();
    if (turn.now.deeds.faders().size() != summed.size()) {
      // Those that are collected meanwhile are still to be summed, whatever asked for this sum.
      turn.now.deeds = turn.now.deeds.withFaders(summed);
    }
    turn.now.sections = withNamed(turn.now.sections, song.sections());
    turn.now.rows = Rows.of(turn.model());
    turn.now.select(Screen.WALK, 0);
    if (selected >= 0 && !turn.selectFrame(Listed.of(turn.model()).frameOf(selected))) {
      turn.now.select(Screen.WALK, 0);
    }
    PlanDeeds.forget(turn);
    if (turn.now.screen == Screen.PLAN) {
      PlanDeeds.begin(turn);
    }
    turn.sum();
    turn.lookInto();
    turn.now.message = Optional.empty();
    opening(turn, read, first);
    if (first) {
      turn.effect(new Effect.CheckStems());
      turn.now.lastKept = Optional.of(turn.kept());
      if (turn.now.keys == 0) {
        checkFirst(turn);
      }
    } else {
      turn.save();
    }
  }

  /** The engineer's sections, and those of the stems that he has not named. */
  private static List<Song.Section> withNamed(List<Song.Section> own, List<Song.Section> found) {
    List<Song.Section> all = new ArrayList<>(own);
    for (Song.Section section : found) {
      if (own.stream().noneMatch(other -> other.name().equalsIgnoreCase(section.name()))) {
        all.add(section);
      }
    }
    all.sort(Comparator.comparingLong(Song.Section::firstFrame));
    return all;
  }

  private static void opening(Turn turn, Event.SongRead read, boolean first) {
    Pass pass = read.song().pass();
    int marks = turn.now.deeds.marks().list().size();
    if (turn.now.rows.size() > MOST_ROWS && pass.line().isLevel()) {
      turn.say(
          "the line lies inside the music: "
              + pass.moments().size()
              + " moments; at "
              + Figures.fixed(Decibels.ofAmplitude(pass.moments().get(BEARABLE).peak()), 2)
              + " "
              + BEARABLE
              + " would remain; L, then e and line, moves it");
    } else if (read.readOnly().isPresent()) {
      turn.say("warning: " + read.readOnly().get());
    } else if (first && read.song().earlier().isPresent()) {
      turn.say(Compared.summary(read.song().earlier().get(), read.song().passNumber()));
    } else if (first && marks > 0) {
      turn.say(
          "welcome back: "
              + Figures.count(marks, "mark")
              + " as you left "
              + (marks == 1 ? "it" : "them"));
    } else if (!first) {
      turn.say(
          goal(pass)
              + Figures.count(pass.moments().size(), "moment")
              + " over the line at "
              + Figures.fixed(Decibels.ofAmplitude(pass.line().level(0)), 2)
              + "; W shows them");
    }
  }

  /**
   * {@code goal -8.0: }; what a goal that is under what the bus has asks for; nothing without one.
   */
  private static String goal(Pass pass) {
    if (pass.limiter().isEmpty() || !pass.settings().goalDrawsLine()) {
      return "";
    }
    LimiterWork work = pass.limiter().get();
    return "goal "
        + Figures.fixed(work.goal().targetLufs(), 1)
        + (work.neededGainDb() < 0
            ? ", " + Figures.fixed(-work.neededGainDb(), 1) + " dB less than now: "
            : ": ");
  }

  private static void busReckoned(Turn turn, BusNow bus) {
    if (!bus.marks().equals(turn.now.deeds.marks())) {
      return;
    }
    Optional<BusNow> before = turn.now.lastBus;
    Set<Long> placesBefore = places(turn.row());
    long selected = turn.selectedFrame();
    turn.now.bus = Optional.of(bus);
    turn.now.lastBus = Optional.of(bus);
    turn.refreshRows();
    if (turn.selectedFrame() != selected || !places(turn.row()).equals(placesBefore)) {
      // What was asked for went to places that do not stand the same any more.
      turn.now.moment = Optional.empty();
      turn.lookInto();
    }
    before.flatMap(old -> louder(turn, old, bus)).ifPresent(turn::say);
    Keys.drain(turn);
  }

  private static Set<Long> places(Optional<Row> row) {
    Set<Long> frames = new HashSet<>();
    row.ifPresent(r -> r.places().forEach(place -> frames.add(place.peakFrame())));
    return frames;
  }

  /**
   * A mark that makes the bus louder over the line than it was, and than it was found, is warned
   * of: definitions.md, 4.
   */
  private static Optional<String> louder(Turn turn, BusNow before, BusNow after) {
    Set<Mark> old = new HashSet<>(before.marks().list());
    if (old.containsAll(after.marks().fixes())) {
      return Optional.empty();
    }
    Pass pass = turn.now.song.orElseThrow().pass();
    long gap = Math.round(0.035 * turn.rate());
    Set<OverRun> same = new HashSet<>(before.runs());
    OverRun worst = null;
    double worstDb = LOUDER_DB;
    for (OverRun run : after.runs()) {
      if (same.contains(run)) {
        continue;
      }
      long from = run.firstOver() - gap;
      long to = run.lastOver() + gap;
      double was = pass.line().levelAt(run.peakFrame());
      for (OverRun other : before.runs()) {
        was =
            other.firstOver() <= to && other.lastOver() >= from ? Math.max(was, other.peak()) : was;
      }
      for (Moment found : pass.moments()) {
        was =
            found.firstOver() <= to && found.lastOver() >= from ? Math.max(was, found.peak()) : was;
      }
      double db = Decibels.ofAmplitude(run.peak()) - Decibels.ofAmplitude(was);
      if (db > worstDb) {
        worstDb = db;
        worst = run;
      }
    }
    return worst == null
        ? Optional.empty()
        : Optional.of(
            "warning: that makes it "
                + Figures.fixed(worstDb, 1)
                + " dB louder at "
                + turn.time(worst.peakFrame())
                + ", over the line; u undoes it");
  }

  private static void momentReckoned(Turn turn, MomentNow moment) {
    Optional<Effect.ReckonMoment> asked =
        turn.now.asked.filter(
            a ->
                a.momentFrames().get(0) == moment.momentFrame()
                    && a.allAlike() == moment.allAlike()
                    && a.marks().equals(moment.marks()));
    if (asked.isPresent()) {
      turn.now.asked = Optional.empty();
    }
    Optional<MomentNow> before = turn.now.moment;
    turn.now.moment = Optional.of(moment);
    if (turn.model().momentNow().isEmpty()) {
      turn.now.moment = before;
      return;
    }
    Keys.drain(turn);
  }

  private static void planned(Turn turn, Event.Planned planned) {
    turn.now.work = Optional.empty();
    boolean isAsked =
        turn.now.planFor.map(deeds -> deeds.marks().equals(planned.marks())).orElse(false);
    if (!isAsked) {
      return;
    }
    turn.now.plan = Optional.of(planned.plan());
    turn.now.select(Screen.PLAN, 0);
    PlanDeeds.follow(turn);
    if (turn.now.plan.isEmpty()) {
      return;
    }
    turn.now.select(Screen.PLAN, PlanDeeds.firstRow(turn));
    int fixes = planned.plan().fixes().size();
    if (fixes == 0) {
      turn.say(
          planned.plan().moments() == 0
              ? "nothing is over the line: there is nothing to plan"
              : "no gentle fix helps any of the "
                  + Figures.count(planned.plan().moments(), "moment")
                  + " left");
    } else if (turn.now.screen != Screen.PLAN) {
      turn.say("the plan is there, " + fixes + (fixes == 1 ? " fix" : " fixes") + "; P shows it");
    } else {
      PlanDeeds.showOnWalk(turn);
    }
  }

  private static void counted(Turn turn, Event.Counted counted) {
    if (turn.now.lineDraft.filter(counted.line()::equals).isPresent()) {
      turn.now.counted = OptionalInt.of(counted.moments());
      if (turn.now.screen == Screen.LADDER) {
        turn.say(
            "line "
                + LadderDeeds.words(turn, counted.line())
                + ": "
                + Figures.count(counted.moments(), "moment")
                + "; Enter draws it");
      }
    }
  }
}
