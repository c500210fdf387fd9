package cairn.tui.update;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Hit;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import cairn.tui.model.Deeds;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;

/** What the walk's keys do to marks. */
final class WalkDeeds {

  /** By hand a hit may go this far. */
  private static final double MOST_NUDGE_MILLIS = 20;

  private static final int DEEPEST_TRIM_TENTHS = 240;

  private WalkDeeds() {}

  /** Takes what is proposed, in all its places. */
  static void take(Turn turn) {
    Optional<MomentNow> moment = turn.model().momentNow();
    if (moment.isEmpty()) {
      turn.say("nothing is listed here; / widens the list, L moves the line");
      return;
    }
    Optional<Advice> advice = turn.model().proposed();
    if (advice.isEmpty()) {
      turn.say(moment.get().why() + "; f calls it fine");
      return;
    }
    turn.used("take");
    put(turn, advice.get());
  }

  /** The least fix of a kind for the picked stem. */
  static void least(Turn turn, Fix.Kind kind) {
    Optional<MomentNow> moment = turn.model().momentNow();
    OptionalInt stem = turn.model().pickedStem();
    if (moment.isEmpty() || stem.isEmpty() || refused(turn, stem.getAsInt())) {
      return;
    }
    int k = stem.getAsInt();
    for (Advice advice : moment.get().advice()) {
      if (advice.stem() == k && advice.kind() == kind) {
        put(turn, advice);
        return;
      }
    }
    String name = kind.toString().toLowerCase(Locale.ROOT);
    turn.say(
        "no "
            + name
            + " of "
            + turn.stem(k)
            + " helps here; "
            + (kind == Fix.Kind.NUDGE ? "h and l move it by hand" : "- turns it down by hand"));
  }

  private static void put(Turn turn, Advice advice) {
    Set<Long> frames = new HashSet<>();
    advice.marks().forEach(mark -> frames.add(mark.momentFrame()));
    Marks marks = cleared(turn, frames, advice.stem()).addAll(advice.marks());
    String places =
        advice.places() == 1
            ? ""
            : advice.clearsAll()
                ? " in " + advice.places() + " places"
                : " in "
                    + advice.marks().size()
                    + " places, clears "
                    + advice.cleared()
                    + " of "
                    + advice.places();
    turn.marks(
        marks,
        turn.stem(advice.stem())
            + " "
            + FixWords.of(advice.marks().get(0).fix(), turn.rate())
            + places
            + "; u undoes it");
  }

  /** The marks without those of one stem at some moments, and without calling these fine. */
  private static Marks cleared(Turn turn, Set<Long> frames, int stem) {
    Marks marks = turn.now.deeds.marks();
    for (Mark mark : marks.list()) {
      boolean here = frames.contains(mark.momentFrame());
      boolean replaced =
          mark instanceof Mark.Fine || (mark instanceof Mark.OfFix fix && fix.fix().stem() == stem);
      if (here && replaced) {
        marks = marks.remove(mark);
      }
    }
    return marks;
  }

  private static boolean refused(Turn turn, int stem) {
    if (turn.now.deeds.leftAlone().contains(stem)) {
      turn.say(turn.stem(stem) + " is left alone; S, then f, frees it");
      return true;
    }
    return false;
  }

  /** Moves the picked stem's hit by one step. */
  static void move(Turn turn, int sign) {
    nudge(turn, sign * Steps.frames(turn.now.stepSize, turn.rate()), true);
  }

  /** Nudges the picked stem; {@code more}: on top of the nudge that is there. */
  static void nudge(Turn turn, int frames, boolean more) {
    Optional<MomentNow> moment = turn.model().momentNow();
    OptionalInt picked = turn.model().pickedStem();
    if (moment.isEmpty() || picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    int most = (int) (MOST_NUDGE_MILLIS * turn.rate() / 1000);
    Set<Long> frameSet = new HashSet<>();
    List<Mark.OfFix> fresh = new ArrayList<>();
    for (MomentNow.Place place : places(turn, moment.get())) {
      Optional<Fix> old = fixAt(turn, place.momentFrame(), k);
      int total = frames;
      Hit hit = place.hits().get(k);
      long start = hit == null ? 0 : hit.startFrame();
      long end = hit == null ? 0 : hit.endFrame();
      if (more && old.isPresent() && old.get() instanceof Nudge nudge) {
        total += nudge.frames();
        start = nudge.startFrame();
        end = nudge.endFrame();
      }
      if (Math.abs(total) > most) {
        turn.say("a hit moves by at most 20 ms; for more, move the stem: S");
        return;
      }
      if (end > start) {
        frameSet.add(place.momentFrame());
        if (total != 0) {
          fresh.add(
              new Mark.OfFix(
                  place.momentFrame(),
                  new Nudge(k, start, end, total),
                  noteAt(turn, place.momentFrame(), k)));
        }
      }
    }
    if (frameSet.isEmpty()) {
      turn.say(turn.stem(k) + " adds too little here to be moved; Tab picks another");
      return;
    }
    putByHand(turn, k, frameSet, fresh, moment.get());
  }

  /** Turns the picked stem's hit down or up by one step; for a clip, its ceiling. */
  static void level(Turn turn, int sign) {
    Optional<MomentNow> moment = turn.model().momentNow();
    OptionalInt picked = turn.model().pickedStem();
    if (moment.isEmpty() || picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    int step = Steps.tenthsDb(turn.now.stepSize);
    Optional<Fix> here = fixAt(turn, moment.get().momentFrame(), k);
    if (here.isPresent() && here.get() instanceof Clip clip) {
      Set<Long> frames = new HashSet<>();
      List<Mark.OfFix> fresh = new ArrayList<>();
      for (MomentNow.Place place : places(turn, moment.get())) {
        Fix old = fixAt(turn, place.momentFrame(), k).orElse(null);
        if (old instanceof Clip there) {
          frames.add(place.momentFrame());
          fresh.add(
              new Mark.OfFix(
                  place.momentFrame(),
                  new Clip(
                      k,
                      there.startFrame(),
                      there.endFrame(),
                      clip.ceilingTenthsDb() + sign * step),
                  noteAt(turn, place.momentFrame(), k)));
        }
      }
      putByHand(turn, k, frames, fresh, moment.get());
      return;
    }
    int old = here.isPresent() && here.get() instanceof Trim trim ? trim.tenthsDb() : 0;
    trim(turn, old - sign * step);
  }

  /** Trims the picked stem by an amount in tenths of a dB; 0 takes the trim off. */
  static void trim(Turn turn, int tenths) {
    Optional<MomentNow> moment = turn.model().momentNow();
    OptionalInt picked = turn.model().pickedStem();
    if (moment.isEmpty() || picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    if (tenths < 0) {
      turn.say("a trim never goes above 0 dB; S and + turn the whole stem up");
      return;
    }
    if (tenths > DEEPEST_TRIM_TENTHS) {
      turn.say("a trim goes down to 24 dB; mute the stem on S instead");
      return;
    }
    Set<Long> frames = new HashSet<>();
    List<Mark.OfFix> fresh = new ArrayList<>();
    for (MomentNow.Place place : places(turn, moment.get())) {
      Hit hit = place.hits().get(k);
      Fix old = fixAt(turn, place.momentFrame(), k).orElse(null);
      long start;
      long end;
      if (old instanceof Trim trim) {
        start = trim.startFrame();
        end = trim.endFrame();
      } else if (hit != null) {
        start = Math.min(hit.startFrame(), place.firstOver());
        end = Math.max(hit.endFrame(), place.lastOver() + 1);
      } else {
        continue;
      }
      frames.add(place.momentFrame());
      if (tenths > 0) {
        fresh.add(
            new Mark.OfFix(
                place.momentFrame(),
                new Trim(k, start, end, tenths),
                noteAt(turn, place.momentFrame(), k)));
      }
    }
    if (frames.isEmpty()) {
      turn.say(turn.stem(k) + " adds too little here to be turned down; Tab picks another");
      return;
    }
    putByHand(turn, k, frames, fresh, moment.get());
  }

  private static void putByHand(
      Turn turn, int k, Set<Long> frames, List<Mark.OfFix> fresh, MomentNow moment) {
    Marks marks = cleared(turn, frames, k).addAll(fresh);
    if (fresh.isEmpty()) {
      turn.marks(marks, turn.stem(k) + " is as it was here");
      return;
    }
    Hit hit = moment.places().get(0).hits().get(k);
    String care =
        hit != null && hit.sustained() && fresh.get(0).fix() instanceof Nudge
            ? "; warning: its hit has no quiet edge, the joint may be heard"
            : "";
    turn.now.picked = OptionalInt.of(k);
    turn.marks(
        marks,
        turn.stem(k)
            + " "
            + FixWords.of(fresh.get(0).fix(), turn.rate())
            + (fresh.size() > 1 ? " in " + fresh.size() + " places" : "")
            + care);
  }

  private static List<MomentNow.Place> places(Turn turn, MomentNow moment) {
    return turn.now.allAlike ? moment.places() : moment.places().subList(0, 1);
  }

  private static Optional<Fix> fixAt(Turn turn, long frame, int stem) {
    return turn.now.deeds.marks().fixes().stream()
        .filter(m -> m.momentFrame() == frame && m.fix().stem() == stem)
        .map(Mark.OfFix::fix)
        .reduce((first, second) -> second);
  }

  private static Optional<String> noteAt(Turn turn, long frame, int stem) {
    return turn.now.deeds.marks().fixes().stream()
        .filter(m -> m.momentFrame() == frame && m.fix().stem() == stem)
        .findFirst()
        .flatMap(Mark.OfFix::note);
  }

  /** Proposes the next gentlest. */
  static void other(Turn turn) {
    Optional<MomentNow> moment = turn.model().momentNow();
    if (moment.isEmpty()) {
      return;
    }
    List<Advice> advice = moment.get().advice();
    if (advice.size() < 2) {
      turn.say(advice.isEmpty() ? moment.get().why() : "there is no other fix that helps here");
      return;
    }
    turn.now.advised = (turn.now.advised + 1) % advice.size();
    turn.now.picked = OptionalInt.empty();
    Advice next = advice.get(turn.now.advised);
    turn.say(
        (turn.now.advised + 1)
            + " of "
            + advice.size()
            + ": "
            + turn.stem(next.stem())
            + " "
            + FixWords.of(next.marks().get(0).fix(), turn.rate())
            + (next.clearsAll()
                ? next.places() > 1 ? ", clears all " + next.places() : ", clears it"
                : ", clears " + next.cleared() + " of " + next.places())
            + "; Enter takes it");
  }

  static void toggleAll(Turn turn) {
    turn.now.allAlike = !turn.now.allAlike;
    turn.now.moment = Optional.empty();
    turn.now.advised = 0;
    turn.lookInto();
    turn.say(
        turn.now.allAlike ? "keys act on all that are alike" : "keys act on this moment alone");
  }

  /** Takes marks off: those of the picked stem, or all where it has none. */
  static void drop(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      return;
    }
    Set<Long> frames = new HashSet<>(turn.framesOf(row.get()));
    List<Mark> here =
        turn.now.deeds.marks().list().stream()
            .filter(m -> frames.contains(m.momentFrame()))
            .toList();
    OptionalInt picked = turn.now.picked;
    List<Mark> ofPicked =
        here.stream()
            .filter(
                m ->
                    picked.isPresent()
                        && m instanceof Mark.OfFix fix
                        && fix.fix().stem() == picked.getAsInt())
            .toList();
    List<Mark> gone = ofPicked.isEmpty() ? here : ofPicked;
    Set<Long> done = new HashSet<>(turn.now.deeds.done());
    boolean wasDone = done.removeAll(frames);
    if (gone.isEmpty() && !wasDone) {
      turn.say("there is no mark here");
      return;
    }
    Marks marks = turn.now.deeds.marks();
    for (Mark mark : gone) {
      marks = marks.remove(mark);
    }
    turn.deed(
        new Deeds(marks, done, turn.now.deeds.notes(), turn.now.deeds.leftAlone()),
        Figures.count(gone.size(), "mark") + " taken off; u undoes it");
  }

  /** Calls the moments fine, or not any more. */
  static void fine(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      return;
    }
    turn.used("fine");
    List<Long> frames = turn.framesOf(row.get());
    Marks marks = turn.now.deeds.marks();
    boolean wasFine =
        marks.list().stream()
            .anyMatch(m -> m instanceof Mark.Fine && m.momentFrame() == frames.get(0));
    for (Mark mark : marks.list()) {
      if (frames.contains(mark.momentFrame())) {
        marks = marks.remove(mark);
      }
    }
    if (!wasFine) {
      marks = marks.addAll(frames.stream().map(Mark::fine).toList());
    }
    turn.marks(
        marks,
        wasFine
            ? "to decide again"
            : "fine as it is"
                + (frames.size() > 1 ? " in " + frames.size() + " places" : "")
                + ", left to the limiter; u undoes it");
  }

  /** Ticks the moments off as done at the desk, or not any more. */
  static void done(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      return;
    }
    toggleDone(turn, turn.framesOf(row.get()));
  }

  static void toggleDone(Turn turn, List<Long> frames) {
    Set<Long> done = new HashSet<>(turn.now.deeds.done());
    boolean was = done.contains(frames.get(0));
    if (was) {
      done.removeAll(new HashSet<>(frames));
    } else {
      done.addAll(frames);
    }
    turn.deed(
        new Deeds(turn.now.deeds.marks(), done, turn.now.deeds.notes(), turn.now.deeds.leftAlone()),
        was ? "not done yet" : "done at the desk");
  }
}
