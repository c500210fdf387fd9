package cairn.tui.update;

import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Hit;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.listing.Figures;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.State;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Predicate;

/** What the walk's keys do to marks. */
final class WalkDeeds {

  /** By hand a hit may go this far. */
  static final double MOST_NUDGE_MILLIS = 20;

  static final int DEEPEST_TRIM_TENTHS = 240;

  private WalkDeeds() {}

  /** Takes what is proposed, in all its places. */
  static void take(Turn turn) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    Optional<Advice> advice = turn.model().proposed();
    turn.used("take");
    if (advice.isEmpty()) {
      turn.say(
          moment.pile().isLong()
              ? "it is over too long to be a spike: ride it at the desk; f calls it fine"
              : moment.why() + "; f calls it fine");
      return;
    }
    put(turn, moment, advice.get());
  }

  /** The least fix of a kind for the picked stem. */
  static void least(Turn turn, Fix.Kind kind) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    OptionalInt stem = turn.model().pickedStem();
    if (stem.isEmpty() || refused(turn, stem.getAsInt())) {
      return;
    }
    int k = stem.getAsInt();
    Optional<Advice> advice =
        moment.advice().stream().filter(a -> a.stem() == k && a.kind() == kind).findFirst();
    Optional<Attempt> least =
        Optional.ofNullable(moment.fixes().get(k))
            .flatMap(fixes -> fixes.of(kind))
            .filter(attempt -> moment.pile().over());
    if (!moment.pile().over()
        && advice.filter(a -> a.cleared() > 0).isEmpty()
        && hasMark(turn, moment, k, kind)) {
      // It may be more than a plan would take: a lesser one would not clear it any more.
      turn.say(turn.stem(k) + " clears it as it is; u undoes that, h l - + change it");
      return;
    }
    if (advice.isPresent()
        && (advice.get().cleared() > 0 || !least.map(Attempt::cleared).orElse(false))) {
      put(turn, moment, advice.get());
      return;
    }
    if (least.isPresent()) {
      beyond(turn, moment, least.get());
      return;
    }
    String name = kind.toString().toLowerCase(Locale.ROOT);
    turn.say(
        moment.pile().isLong()
            ? "it is over too long for a "
                + name
                + " to be proposed; h l and - act by hand, f calls it fine"
            : "no "
                + name
                + " of "
                + turn.stem(k)
                + " helps here; "
                + (kind == Fix.Kind.NUDGE ? "h l move it by hand" : "- turns it down by hand"));
  }

  private static boolean hasMark(Turn turn, MomentNow moment, int stem, Fix.Kind kind) {
    return turn.now.deeds.marks().fixes().stream()
        .anyMatch(
            mark ->
                mark.momentFrame() == moment.momentFrame()
                    && mark.fix().stem() == stem
                    && mark.fix().kind() == kind);
  }

  /**
   * Puts a least fix that no plan would propose, with the same amount in all places: a trim of more
   * than 3 dB, a clip of more than 2 ms.
   */
  private static void beyond(Turn turn, MomentNow moment, Attempt least) {
    if (least.fix() instanceof Nudge nudge) {
      nudge(turn, nudge.frames(), false);
    } else if (least.fix() instanceof Trim trim) {
      trim(turn, trim.tenthsDb());
    } else if (least.fix() instanceof Clip clip) {
      ByHand hand = new ByHand(turn, moment, clip.stem());
      for (MomentNow.Place place : hand.places()) {
        if (place.hits().containsKey(clip.stem())) {
          hand.put(
              place,
              Optional.of(
                  new Clip(
                      clip.stem(),
                      place.firstOver(),
                      place.lastOver() + 1,
                      clip.ceilingTenthsDb())));
        }
      }
      hand.done("clipped");
    }
    turn.now.message.ifPresent(
        said ->
            turn.replace(
                said
                    + (least.cleared() ? "" : ", lowers it")
                    + "; more than is proposed: listen to it; u undoes it"));
  }

  private static void put(Turn turn, MomentNow moment, Advice advice) {
    int k = advice.stem();
    if (refused(turn, k)) {
      return;
    }
    Set<Long> frames = new HashSet<>();
    advice.marks().forEach(mark -> frames.add(mark.momentFrame()));
    // Where the marks there are have cleared the moment, the advice is meant in place of them.
    boolean exchanges = !moment.pile().over();
    List<Mark> replaced = new ArrayList<>();
    Marks rest =
        without(
            turn,
            frames,
            mark ->
                mark instanceof Mark.Fine
                    || exchanges
                    || (mark instanceof Mark.OfFix fix && fix.fix().stem() == k),
            replaced);
    List<Mark.OfFix> fresh = advice.marks().stream().map(mark -> noted(turn, mark)).toList();
    turn.now.picked = OptionalInt.of(k);
    if (new HashSet<Mark>(fresh).equals(new HashSet<>(replaced))) {
      turn.say(
          turn.stem(k)
              + " "
              + Said.fix(advice, turn.rate())
              + " is taken already; v shows another");
      return;
    }
    String instead =
        replaced.stream()
            .filter(m -> m instanceof Mark.OfFix fix && fix.fix().stem() != k)
            .findFirst()
            .map(m -> ", in place of " + turn.stem(((Mark.OfFix) m).fix().stem()) + "'s mark")
            .orElse("");
    String combs =
        advice.combs().isEmpty()
            ? ""
            : "; care: " + turn.stem(advice.combs().get(0)) + " has the same sound";
    turn.marks(
        rest.addAll(fresh),
        turn.stem(k)
            + " "
            + Said.fix(advice, turn.rate())
            + places(turn, advice)
            + instead
            + combs
            + "; u undoes it");
  }

  private static String places(Turn turn, Advice advice) {
    if (advice.cleared() == 0) {
      return Verdicts.outcome(turn.model(), advice);
    }
    if (advice.places() == 1) {
      return "";
    }
    return advice.clearsAll()
        ? " in all " + advice.places() + " places"
        : " in " + advice.marks().size() + " of " + advice.places() + " places";
  }

  /** The marks without some of those at some moments, which are added to {@code gone}. */
  private static Marks without(Turn turn, Set<Long> frames, Predicate<Mark> goes, List<Mark> gone) {
    Listed listed = Listed.of(turn.model());
    List<Mark> rest = new ArrayList<>();
    for (Mark mark : turn.now.deeds.marks().list()) {
      boolean here = frames.contains(listed.frameOf(mark.momentFrame()));
      (here && goes.test(mark) ? gone : rest).add(mark);
    }
    return gone.isEmpty() ? turn.now.deeds.marks() : new Marks(rest);
  }

  /** A fresh mark with the note that its moment has. */
  private static Mark.OfFix noted(Turn turn, Mark.OfFix mark) {
    return new Mark.OfFix(
        mark.momentFrame(),
        mark.fix(),
        Optional.ofNullable(turn.now.deeds.notes().get(mark.momentFrame())));
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
    nudge(turn, sign * (long) Steps.frames(turn.now.stepSize, turn.rate()), true);
  }

  /** Whether a nudge goes beyond what is done by hand; says so. */
  static boolean isTooFar(Turn turn, long frames) {
    boolean tooFar = Math.abs(frames) > (long) (MOST_NUDGE_MILLIS * turn.rate() / 1000);
    if (tooFar) {
      turn.say("a hit moves by at most 20 ms; for more, move the stem: S, then h l");
    }
    return tooFar;
  }

  /** Whether a trim goes beyond what is done by hand; says so. */
  static boolean isTooDeep(Turn turn, int tenthsDb) {
    boolean tooDeep = tenthsDb > DEEPEST_TRIM_TENTHS;
    if (tooDeep) {
      turn.say("a trim goes down to 24 dB; S, then m, mutes the stem");
    }
    return tooDeep;
  }

  /** Nudges the picked stem; {@code more}: on top of the nudge that is there. */
  static void nudge(Turn turn, long frames, boolean more) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    OptionalInt picked = turn.model().pickedStem();
    if (picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    ByHand hand = new ByHand(turn, moment, k);
    for (MomentNow.Place place : hand.places()) {
      Optional<Nudge> old = hand.old(place, Nudge.class);
      long total = frames + (more ? old.map(Nudge::frames).orElse(0) : 0);
      if (isTooFar(turn, total)) {
        return;
      }
      Hit hit = place.hits().get(k);
      if (old.isPresent() || hit != null) {
        long start = old.map(Nudge::startFrame).orElseGet(() -> hit.startFrame());
        long end = old.map(Nudge::endFrame).orElseGet(() -> hit.endFrame());
        hand.put(
            place,
            total == 0 ? Optional.empty() : Optional.of(new Nudge(k, start, end, (int) total)));
      }
    }
    hand.done("moved");
  }

  /** Turns the picked stem's hit down or up by one step; for a clip, its ceiling. */
  static void level(Turn turn, int sign) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    OptionalInt picked = turn.model().pickedStem();
    if (picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    int step = sign * Steps.tenthsDb(turn.now.stepSize);
    ByHand hand = new ByHand(turn, moment, k);
    Optional<Clip> clip = hand.old(hand.places().get(0), Clip.class);
    if (clip.isEmpty()) {
      int old = hand.old(hand.places().get(0), Trim.class).map(Trim::tenthsDb).orElse(0);
      trim(turn, old - step);
      return;
    }
    for (MomentNow.Place place : hand.places()) {
      hand.old(place, Clip.class)
          .ifPresent(
              old ->
                  hand.put(
                      place,
                      Optional.of(
                          new Clip(
                              k,
                              old.startFrame(),
                              old.endFrame(),
                              clip.get().ceilingTenthsDb() + step))));
    }
    hand.done("clipped");
  }

  /** Trims the picked stem by an amount in tenths of a dB; 0 takes the trim off. */
  static void trim(Turn turn, int tenths) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    OptionalInt picked = turn.model().pickedStem();
    if (picked.isEmpty() || refused(turn, picked.getAsInt())) {
      return;
    }
    int k = picked.getAsInt();
    if (tenths < 0) {
      turn.say("a trim never goes above 0 dB; S, then +, turns the whole stem up");
      return;
    }
    if (isTooDeep(turn, tenths)) {
      return;
    }
    ByHand hand = new ByHand(turn, moment, k);
    for (MomentNow.Place place : hand.places()) {
      Optional<Trim> old = hand.old(place, Trim.class);
      Hit hit = place.hits().get(k);
      if (old.isPresent() || hit != null) {
        long start =
            old.map(Trim::startFrame)
                .orElseGet(() -> Math.min(hit.startFrame(), place.firstOver()));
        long end =
            old.map(Trim::endFrame).orElseGet(() -> Math.max(hit.endFrame(), place.lastOver() + 1));
        hand.put(
            place, tenths == 0 ? Optional.empty() : Optional.of(new Trim(k, start, end, tenths)));
      }
    }
    hand.done("turned down");
  }

  /** A fix of one stem that is made by hand, place by place. */
  private static final class ByHand {
    private final Turn turn;
    private final MomentNow moment;
    private final int stem;
    private final List<Mark.OfFix> ofStem = new ArrayList<>();
    private final List<Long> frames = new ArrayList<>();
    private final Set<Long> touched = new HashSet<>();
    private final List<Mark.OfFix> fresh = new ArrayList<>();

    ByHand(Turn turn, MomentNow moment, int stem) {
      this.turn = turn;
      this.moment = moment;
      this.stem = stem;
      Listed listed = Listed.of(turn.model());
      for (Mark.OfFix mark : turn.now.deeds.marks().fixes()) {
        if (mark.fix().stem() == stem) {
          ofStem.add(mark);
          frames.add(listed.frameOf(mark.momentFrame()));
        }
      }
    }

    List<MomentNow.Place> places() {
      return turn.now.allAlike ? moment.places() : moment.places().subList(0, 1);
    }

    /** The stem's latest fix in a place, if it is of a kind. */
    <F extends Fix> Optional<F> old(MomentNow.Place place, Class<F> kind) {
      for (int i = ofStem.size() - 1; i >= 0; i--) {
        if (frames.get(i) == place.momentFrame()) {
          Fix fix = ofStem.get(i).fix();
          return kind.isInstance(fix) ? Optional.of(kind.cast(fix)) : Optional.empty();
        }
      }
      return Optional.empty();
    }

    void put(MomentNow.Place place, Optional<Fix> fix) {
      touched.add(place.momentFrame());
      fix.ifPresent(
          f -> fresh.add(noted(turn, new Mark.OfFix(place.momentFrame(), f, Optional.empty()))));
    }

    void done(String what) {
      if (touched.isEmpty()) {
        turn.say(turn.stem(stem) + " adds too little here to be " + what + "; Tab picks another");
        return;
      }
      turn.now.picked = OptionalInt.of(stem);
      Marks rest =
          without(
              turn,
              touched,
              mark ->
                  mark instanceof Mark.Fine
                      || (mark instanceof Mark.OfFix fix && fix.fix().stem() == stem),
              new ArrayList<>());
      if (fresh.isEmpty()) {
        turn.marks(rest, turn.stem(stem) + " is here as it was");
        return;
      }
      Fix first = fresh.get(0).fix();
      Hit hit = moment.places().get(0).hits().get(stem);
      String care =
          hit != null && hit.sustained() && first instanceof Nudge
              ? "; warning: its hit has no quiet edge"
              : "";
      turn.marks(
          rest.addAll(fresh),
          turn.stem(stem)
              + " "
              + Said.fix(first, turn.rate())
              + (first instanceof Nudge n
                  ? " (" + Figures.count(Math.abs((long) n.frames()), "sample") + ")"
                  : "")
              + (fresh.size() > 1 ? " in " + fresh.size() + " places" : "")
              + care);
    }
  }

  /** Proposes the next gentlest. */
  static void other(Turn turn) {
    MomentNow moment = turn.model().momentNow().orElseThrow();
    List<Advice> advice = moment.advice();
    if (advice.size() < 2) {
      turn.say(
          advice.isEmpty()
              ? moment.why() + "; f calls it fine"
              : "no other fix helps here; h l and - act by hand");
      return;
    }
    turn.now.advised = (Math.min(turn.now.advised, advice.size() - 1) + 1) % advice.size();
    turn.now.picked = OptionalInt.empty();
    Advice next = advice.get(turn.now.advised);
    turn.say(
        (turn.now.advised + 1)
            + " of "
            + advice.size()
            + ": "
            + turn.stem(next.stem())
            + " "
            + Said.fix(next, turn.rate())
            + Verdicts.outcome(turn.model(), next)
            + "; Enter takes it");
  }

  static void toggleAll(Turn turn) {
    int places = turn.row().map(row -> row.places().size()).orElse(1);
    turn.now.allAlike = !turn.now.allAlike;
    turn.now.moment = Optional.empty();
    turn.now.advised = 0;
    turn.lookInto();
    turn.say(
        turn.now.allAlike
            ? places > 1 ? "keys act on all " + places + " alike" : "keys act on all alike"
            : "keys act on this moment alone; a acts on all alike again");
  }

  /** Takes marks off: those of the picked stem, or all where it has none. */
  static void drop(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      turn.say("there is no mark here");
      return;
    }
    Set<Long> frames = new HashSet<>(turn.framesOf(row.get()));
    OptionalInt picked = turn.now.picked;
    List<Mark> gone = new ArrayList<>();
    Marks rest = turn.now.deeds.marks();
    if (picked.isPresent()) {
      rest =
          without(
              turn,
              frames,
              m -> m instanceof Mark.OfFix fix && fix.fix().stem() == picked.getAsInt(),
              gone);
    }
    if (gone.isEmpty()) {
      rest = without(turn, frames, m -> true, gone);
    }
    if (gone.isEmpty()) {
      turn.say(
          row.get().state() == State.GONE
              ? "there is no mark here: marks elsewhere clear it; M lists them"
              : "there is no mark here; Enter takes what is proposed");
      return;
    }
    turn.marks(rest, Figures.count(gone.size(), "mark") + " taken off; u undoes it");
  }

  /** Calls the moments fine, or not any more. */
  static void fine(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      turn.say("there is no moment to call fine");
      return;
    }
    turn.used("fine");
    List<Long> frames = turn.framesOf(row.get());
    List<Mark> gone = new ArrayList<>();
    Marks rest = without(turn, new HashSet<>(frames), m -> true, gone);
    boolean wasFine = gone.stream().anyMatch(Mark.Fine.class::isInstance);
    if (wasFine) {
      turn.marks(rest, "not fine any more: to decide again; u undoes it");
      return;
    }
    List<Mark> fresh = new ArrayList<>();
    for (long frame : frames) {
      fresh.add(new Mark.Fine(frame, Optional.ofNullable(turn.now.deeds.notes().get(frame))));
    }
    turn.marks(
        rest.addAll(fresh),
        "fine as it is"
            + (frames.size() > 1 ? " in all " + frames.size() + " places" : "")
            + ", left to the limiter; u undoes it");
  }

  /** Ticks the moments off as done at the desk, or not any more. */
  static void done(Turn turn) {
    Optional<Row> row = turn.row();
    if (row.isEmpty()) {
      turn.say("there is no moment to tick off");
      return;
    }
    toggleDone(turn, turn.framesOf(row.get()));
  }

  /**
   * What is done at the desk is a mark that was carried out: without one there is nothing to do.
   */
  static void toggleDone(Turn turn, List<Long> frames) {
    Listed listed = Listed.of(turn.model());
    Set<Long> marked = new HashSet<>();
    for (Mark mark : turn.now.deeds.marks().list()) {
      if (frames.contains(listed.frameOf(mark.momentFrame()))) {
        marked.add(mark.momentFrame());
      }
    }
    Set<Long> done = new HashSet<>(turn.now.deeds.done());
    if (done.removeAll(marked)) {
      turn.deed(turn.now.deeds.withDone(done), "not done yet; u undoes it");
    } else if (marked.isEmpty()) {
      turn.say("nothing is marked here that could be done; Enter marks what is proposed");
    } else {
      done.addAll(marked);
      turn.deed(turn.now.deeds.withDone(done), "done at the desk; u undoes it");
    }
  }

  /** The next width of the close-up, after the widest the narrowest. */
  static void zoom(Turn turn) {
    turn.now.zoom = (turn.now.zoom + 1) % Zoom.widths();
    turn.now.song.ifPresent(
        song ->
            turn.say(
                "close-up "
                    + Zoom.width(
                        turn.now.zoom, turn.now.size.columns() - Zoom.GUTTER, song.sampleRateHz())
                    + " wide"));
  }

  /** The next breadth of the map. */
  static void breadth(Turn turn) {
    turn.now.breadth = (turn.now.breadth + 1) % 3;
    turn.say(
        switch (turn.now.breadth) {
          case 0 -> "the map shows the whole song";
          case 1 -> "the map shows the section of the moment, or else the loud part";
          default -> "the map shows 16 s about the moment";
        });
  }
}
