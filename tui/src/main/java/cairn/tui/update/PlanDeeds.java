package cairn.tui.update;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.PlannedFix;
import cairn.tui.keys.Intent;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The plan: rows to be taken, changed, dropped or left. A row is taken while the marks hold its
 * stem and kind in its places, with the planned amount or another; so undo gives it back by itself.
 */
public final class PlanDeeds {

  private PlanDeeds() {}

  /** Opens the plan; makes one if there is none for the marks that were made without it. */
  static void open(Turn turn) {
    turn.used("plan");
    turn.open(Screen.PLAN);
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read; the plan comes after");
    } else if (turn.now.plan.isEmpty() && turn.now.planFor.isEmpty()) {
      begin(turn);
    }
  }

  /** Asks for a plan on top of the marks there are. */
  static void begin(Turn turn) {
    forget(turn);
    turn.now.planFor = Optional.of(turn.now.deeds);
    turn.effect(
        new Effect.MakePlan(
            turn.now.deeds.marks(), PlanOptions.DEFAULT.withLeftAlone(turn.now.deeds.leftAlone())));
  }

  /** There is no plan, and none is being made. */
  static void forget(Turn turn) {
    turn.now.plan = Optional.empty();
    turn.now.planFor = Optional.empty();
    turn.now.planTaken = Set.of();
    turn.now.planDropped = Set.of();
    turn.now.planOthers = Map.of();
    turn.now.planSteps = Optional.empty();
    turn.now.select(Screen.PLAN, 0);
  }

  /** After the deeds have changed: which rows are taken, and whether the plan still holds. */
  static void follow(Turn turn) {
    if (turn.now.planFor.isEmpty()) {
      return;
    }
    if (holds(turn)) {
      turn.now.planTaken = turn.now.plan.map(plan -> taken(turn, plan)).orElse(Set.of());
      return;
    }
    forget(turn);
    if (turn.now.screen == Screen.PLAN) {
      begin(turn);
    }
  }

  /** Whether nothing was done since the plan was made but what belongs to its rows. */
  private static boolean holds(Turn turn) {
    Listed listed = Listed.of(turn.model());
    Deeds base = turn.now.planFor.get();
    Deeds deeds = turn.now.deeds;
    if (!base.leftAlone().equals(deeds.leftAlone())
        || !base.marks().fineFrames().equals(deeds.marks().fineFrames())) {
      return false;
    }
    Set<Mark> before = new HashSet<>(base.sounding());
    Set<PlanRow.Place> places = new HashSet<>();
    turn.now.plan.ifPresent(
        plan -> plan.marks().forEach(mark -> places.add(PlanRow.Place.of(listed, mark))));
    turn.now.planOthers.values().stream()
        .flatMap(other -> other.marks().stream())
        .forEach(mark -> places.add(PlanRow.Place.of(listed, mark)));
    List<Mark> others = new ArrayList<>();
    for (Mark.OfFix mark : deeds.marks().fixes()) {
      Mark sound = mark.withNote("");
      if (before.contains(sound) || !places.contains(PlanRow.Place.of(listed, mark))) {
        others.add(sound);
      }
    }
    return others.equals(base.sounding());
  }

  private static Set<Integer> taken(Turn turn, Plan plan) {
    Listed listed = Listed.of(turn.model());
    Map<PlanRow.Place, Mark.OfFix> there = made(turn);
    Set<Integer> taken = new HashSet<>();
    for (int i = 0; i < plan.fixes().size(); i++) {
      if (proposed(turn, plan, i).stream()
          .allMatch(mark -> there.containsKey(PlanRow.Place.of(listed, mark)))) {
        taken.add(i);
      }
    }
    return taken;
  }

  /** The fix of a row as it is proposed: that of the plan, or another that was chosen. */
  private static List<Mark.OfFix> proposed(Turn turn, Plan plan, int index) {
    Advice other = turn.now.planOthers.get(index);
    return other == null ? plan.fixes().get(index).marks() : other.marks();
  }

  /** The marks that were made since the plan was. */
  private static Map<PlanRow.Place, Mark.OfFix> made(Turn turn) {
    return PlanRow.made(turn.model(), Listed.of(turn.model()));
  }

  private static Optional<PlanRow> selected(Turn turn) {
    List<PlanRow> rows = PlanRow.of(turn.model());
    int at = turn.now.selectedOn(Screen.PLAN);
    if (at < rows.size()) {
      return Optional.of(rows.get(at));
    }
    turn.say(
        PlanRow.selectedOpen(turn.model())
            .map(
                open ->
                    isFine(open)
                        ? "nothing is planned for what is fine; f frees it, Enter shows it"
                        : "the plan has no fix for it; Enter shows it on the walk, f calls it fine")
            .orElseGet(() -> nothing(turn)));
    return Optional.empty();
  }

  /** Why there is no row. */
  private static String nothing(Turn turn) {
    return turn.now.plan.isPresent()
        ? "the plan has no fix; q goes back"
        : turn.now.planFor.isEmpty()
            ? "there is no plan; P makes one"
            : "the plan is still being made; Ctrl-C cancels it";
  }

  private static boolean isFine(OpenMoment open) {
    return open.why() == OpenMoment.Why.FINE;
  }

  /** The moment of the selected row as the list has it; −1: there is no row. */
  private static long selectedFrame(Turn turn) {
    List<PlanRow> rows = PlanRow.of(turn.model());
    int at = turn.now.selectedOn(Screen.PLAN);
    if (at < rows.size()) {
      return listedFrame(turn, rows.get(at));
    }
    return PlanRow.selectedOpen(turn.model())
        .map(open -> Listed.of(turn.model()).frameOf(open.momentFrame()))
        .orElse(-1L);
  }

  /** The selected row, if it is the plan's own; else it is said what works. */
  private static Optional<PlanRow> own(Turn turn) {
    Optional<PlanRow> row = selected(turn);
    if (row.map(PlanRow::isBefore).orElse(false)) {
      turn.say("it was taken before this plan: x takes it off, and W changes it");
      return Optional.empty();
    }
    return row;
  }

  /** The first row that is still to decide. */
  static int firstRow(Turn turn) {
    List<PlanRow> rows = PlanRow.of(turn.model());
    for (int i = 0; i < rows.size(); i++) {
      if (rows.get(i).state() == PlanRow.State.OPEN) {
        return i;
      }
    }
    return 0;
  }

  /** The moment of the selected row is the one that the walk stands on. */
  static void showOnWalk(Turn turn) {
    long frame = selectedFrame(turn);
    if (frame >= 0) {
      int before = turn.now.selectedOn(Screen.WALK);
      if (!turn.selectFrame(frame)) {
        turn.now.select(Screen.WALK, before);
      }
    }
  }

  private static long listedFrame(Turn turn, PlanRow row) {
    return Listed.of(turn.model()).frameOf(row.marks().get(0).momentFrame());
  }

  /** Whether the walk stands on the moment of a row. */
  private static boolean isOnWalk(Turn turn, PlanRow row) {
    return isOnWalk(turn, listedFrame(turn, row));
  }

  private static boolean isOnWalk(Turn turn, long frame) {
    return turn.row()
        .map(moment -> moment.places().stream().anyMatch(place -> place.peakFrame() == frame))
        .orElse(false);
  }

  private static void select(Turn turn, int row) {
    turn.now.select(Screen.PLAN, row);
    showOnWalk(turn);
  }

  static void next(Turn turn, int by) {
    List<PlanRow> rows = PlanRow.of(turn.model());
    if (rows.isEmpty()) {
      turn.say(nothing(turn));
      return;
    }
    // From what is under the fixes one goes on to the first of them, or back to the last.
    int at = Math.min(turn.now.selectedOn(Screen.PLAN), by > 0 ? rows.size() - 1 : rows.size());
    for (int i = 1; i <= rows.size(); i++) {
      int candidate = Math.floorMod(at + by * i, rows.size());
      if (rows.get(candidate).state() == PlanRow.State.OPEN) {
        select(turn, candidate);
        return;
      }
    }
    turn.say("every row of the plan is decided; E exports, q goes back");
  }

  static void take(Turn turn) {
    if (PlanRow.selectedOpen(turn.model()).isPresent()) {
      showOpen(turn);
      return;
    }
    Optional<PlanRow> row = selected(turn);
    if (row.isEmpty()) {
      return;
    }
    if (row.get().state() == PlanRow.State.TAKEN) {
      turn.say("that row is taken already; x drops it");
      return;
    }
    takeRows(turn, List.of(row.get()), taken(turn, row.get().marks()));
  }

  /** Goes to the walk, where a moment that the plan does not clear can be looked at. */
  private static boolean showOpen(Turn turn) {
    if (!isThere(turn)) {
      return false;
    }
    turn.open(Screen.WALK);
    return true;
  }

  /** Whether the walk can stand on the moment of the selected row; if not, it is said why. */
  private static boolean isThere(Turn turn) {
    showOnWalk(turn);
    if (isOnWalk(turn, selectedFrame(turn))) {
      return true;
    }
    boolean isNew =
        PlanRow.selectedOpen(turn.model())
            .map(open -> open.why() == OpenMoment.Why.NEW)
            .orElse(false);
    turn.say(
        isNew
            ? "it is not there yet: it comes up once the fix beside it is taken"
            : "its moment is not in the list as it is narrowed; W, then Esc, shows all");
    return false;
  }

  /** Calls the moments of the row fine, or not any more, as the walk does. */
  static void fine(Turn turn) {
    if (selectedFrame(turn) < 0) {
      turn.say(nothing(turn));
    } else if (isThere(turn)) {
      WalkDeeds.fine(turn);
    }
  }

  private static String taken(Turn turn, List<Mark.OfFix> marks) {
    Fix fix = marks.get(0).fix();
    return turn.stem(fix.stem())
        + " "
        + Said.fix(fix, turn.rate())
        + (marks.size() > 1 ? " taken in its " + marks.size() + " places" : " taken")
        + "; u undoes it";
  }

  static void takeAll(Turn turn) {
    if (PlanRow.of(turn.model()).isEmpty()) {
      turn.say(nothing(turn));
      return;
    }
    List<PlanRow> rows =
        PlanRow.of(turn.model()).stream().filter(row -> row.state() == PlanRow.State.OPEN).toList();
    if (rows.isEmpty()) {
      turn.say("no row of the plan is left to take; E exports");
      return;
    }
    takeRows(
        turn,
        rows,
        rows.size() + (rows.size() == 1 ? " fix" : " fixes") + " taken; E exports, u undoes it");
  }

  private static void takeRows(Turn turn, List<PlanRow> rows, String message) {
    Listed listed = Listed.of(turn.model());
    Map<PlanRow.Place, Mark.OfFix> there = made(turn);
    List<Mark.OfFix> fresh = new ArrayList<>();
    Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
    for (PlanRow row : rows) {
      dropped.remove(row.index());
      for (Mark.OfFix mark : row.marks()) {
        if (!there.containsKey(PlanRow.Place.of(listed, mark))) {
          fresh.add(noted(turn, listed, mark));
        }
      }
    }
    turn.now.planDropped = dropped;
    turn.marks(turn.now.deeds.marks().addAll(fresh), message);
  }

  /** A mark stands at the moment of the list that it is for, with the note that this has. */
  private static Mark.OfFix noted(Turn turn, Listed listed, Mark.OfFix mark) {
    long frame = listed.frameOf(mark.momentFrame());
    return new Mark.OfFix(
        frame, mark.fix(), Optional.ofNullable(turn.now.deeds.notes().get(frame)));
  }

  /** Drops a row, or brings it back; of one that is taken the marks go. */
  static void drop(Turn turn) {
    if (PlanRow.selectedOpen(turn.model()).map(PlanDeeds::isFine).orElse(false)) {
      fine(turn);
      return;
    }
    Optional<PlanRow> selected = selected(turn);
    if (selected.isEmpty()) {
      return;
    }
    PlanRow row = selected.get();
    if (!row.isBefore()) {
      Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
      if (row.state() == PlanRow.State.DROPPED) {
        dropped.remove(row.index());
      } else {
        dropped.add(row.index());
      }
      turn.now.planDropped = dropped;
    }
    switch (row.state()) {
      case OPEN -> turn.say("dropped; x again brings it back");
      case DROPPED -> turn.say("back in the plan");
      case TAKEN -> {
        Set<Mark> gone = new HashSet<>(row.marks());
        List<Mark> rest =
            turn.now.deeds.marks().list().stream().filter(mark -> !gone.contains(mark)).toList();
        turn.marks(
            new Marks(rest),
            row.isBefore()
                ? "its marks are taken off, and the plan is made anew; u brings them back"
                : "dropped, its marks are taken off; u brings them back");
      }
    }
  }

  /** Whether the moment of the selected row must be looked into before another fix is shown. */
  static boolean mustLook(Turn turn) {
    List<PlanRow> rows = PlanRow.of(turn.model());
    int at = turn.now.selectedOn(Screen.PLAN);
    if (at >= rows.size() || rows.get(at).state() == PlanRow.State.TAKEN) {
      return false;
    }
    showOnWalk(turn);
    turn.settleSelection();
    return isOnWalk(turn, rows.get(at)) && turn.model().momentNow().isEmpty();
  }

  /** Proposes another fix in the row's place, the next gentlest; after the last, the plan's own. */
  static void other(Turn turn) {
    Optional<OpenMoment> open = PlanRow.selectedOpen(turn.model());
    if (open.isPresent() && !isFine(open.get())) {
      // What lowers it and does not clear it is no plan's: the walk has it.
      if (showOpen(turn)) {
        Keys.take(turn, KeyMap.of(Intent.OTHER_FIX).keys().get(0));
      }
      return;
    }
    Optional<PlanRow> selected = own(turn);
    if (selected.isEmpty()) {
      return;
    }
    PlanRow row = selected.get();
    if (row.state() == PlanRow.State.TAKEN) {
      turn.say("that row is taken; x drops it, then v shows other fixes");
      return;
    }
    if (!isThere(turn)) {
      return;
    }
    PlannedFix planned = turn.now.plan.orElseThrow().fixes().get(row.index());
    List<Advice> others = others(turn.model(), planned);
    int at = row.other().map(others::indexOf).orElse(-1) + 1;
    Map<Integer, Advice> chosen = new HashMap<>(turn.now.planOthers);
    if (others.isEmpty()) {
      turn.say("no other fix helps here; h l and - act by hand on the walk");
      return;
    }
    if (at == others.size()) {
      chosen.remove(row.index());
      turn.now.planOthers = chosen;
      follow(turn);
      turn.say(
          "1 of "
              + (others.size() + 1)
              + ": "
              + turn.stem(planned.stem())
              + " "
              + Said.fix(planned.fix(), turn.rate())
              + ", as planned; Enter takes it");
      return;
    }
    Advice other = others.get(at);
    chosen.put(row.index(), other);
    turn.now.planOthers = chosen;
    follow(turn);
    turn.say(
        (at + 2)
            + " of "
            + (others.size() + 1)
            + ": "
            + turn.stem(other.stem())
            + " "
            + Said.fix(other, turn.rate())
            + Verdicts.outcome(turn.model(), other)
            + "; Enter takes it");
  }

  /**
   * What could be done at the moment that the walk stands on in place of a planned fix, gentlest
   * first; none while it is not looked into.
   */
  public static List<Advice> others(Model model, PlannedFix planned) {
    return model
        .momentNow()
        .map(
            moment ->
                moment.advice().stream()
                    .filter(
                        advice ->
                            advice.stem() != planned.stem()
                                || advice.kind() != planned.fix().kind())
                    .toList())
        .orElse(List.of());
  }

  /** Moves the row's hits by one step. */
  static void move(Turn turn, int sign) {
    Optional<PlanRow> row = own(turn);
    if (row.isEmpty()) {
      return;
    }
    if (!(row.get().fix() instanceof Nudge)) {
      turn.say("this row is no nudge: - and + change it, v shows other fixes");
      return;
    }
    change(turn, row.get(), sign * (long) Steps.frames(turn.now.stepSize, turn.rate()), true);
  }

  /** Changes the row's trim or ceiling by one step. */
  static void level(Turn turn, int sign) {
    Optional<PlanRow> row = own(turn);
    if (row.isEmpty()) {
      return;
    }
    if (row.get().fix() instanceof Nudge) {
      turn.say("this row is a nudge: h and l move it, v shows other fixes");
      return;
    }
    change(turn, row.get(), (long) sign * Steps.tenthsDb(turn.now.stepSize), true);
  }

  /** Gives the row a nudge by hand. */
  static void nudge(Turn turn, long frames) {
    Optional<PlanRow> row = own(turn);
    if (row.isEmpty()) {
      return;
    }
    if (row.get().fix() instanceof Nudge) {
      change(turn, row.get(), frames, false);
    } else {
      turn.say("this row is no nudge: -1.5 dB is an amount for it, v shows other fixes");
    }
  }

  /** Gives the row a trim by hand; for a clip its ceiling. */
  static void level(Turn turn, int tenths, boolean down) {
    Optional<PlanRow> row = own(turn);
    if (row.isEmpty()) {
      return;
    }
    Fix fix = row.get().fix();
    if (fix instanceof Nudge) {
      turn.say("this row is a nudge: 0.4 ms later is an amount for it, v shows other fixes");
    } else if (fix instanceof Trim && !down && tenths > 0) {
      turn.say("a trim never goes above 0 dB; x drops the row");
    } else {
      change(turn, row.get(), down ? -tenths : tenths, false);
    }
  }

  /** Takes the row with another amount, in all its places; {@code more}: on top of its own. */
  private static void change(Turn turn, PlanRow row, long amount, boolean more) {
    Listed listed = Listed.of(turn.model());
    Set<Mark> gone = new HashSet<>(row.marks());
    List<Mark.OfFix> fresh = new ArrayList<>();
    for (Mark.OfFix old : row.marks()) {
      Optional<Fix> changed = changed(old.fix(), amount, more);
      if (changed.isEmpty()) {
        turn.say("that would leave it as it is in the stems; x drops the row");
        return;
      }
      if (changed.get() instanceof Nudge nudge && WalkDeeds.isTooFar(turn, nudge.frames())) {
        return;
      }
      if (changed.get() instanceof Trim trim && WalkDeeds.isTooDeep(turn, trim.tenthsDb())) {
        return;
      }
      fresh.add(
          noted(turn, listed, new Mark.OfFix(old.momentFrame(), changed.get(), Optional.empty())));
    }
    List<Mark> rest = new ArrayList<>();
    for (Mark mark : turn.now.deeds.marks().list()) {
      if (!gone.contains(mark)) {
        rest.add(mark);
      }
    }
    Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
    dropped.remove(row.index());
    turn.now.planDropped = dropped;
    turn.marks(new Marks(rest).addAll(fresh), taken(turn, fresh));
  }

  private static Optional<Fix> changed(Fix fix, long amount, boolean more) {
    if (fix instanceof Nudge n) {
      long frames = more ? n.frames() + amount : amount;
      return frames == 0
          ? Optional.empty()
          : Optional.of(
              new Nudge(
                  n.stem(),
                  n.startFrame(),
                  n.endFrame(),
                  (int) Math.max(-Integer.MAX_VALUE, Math.min(Integer.MAX_VALUE, frames))));
    }
    if (fix instanceof Trim t) {
      long tenths = more ? t.tenthsDb() - amount : -amount;
      return tenths < 1
          ? Optional.empty()
          : Optional.of(
              new Trim(
                  t.stem(),
                  t.startFrame(),
                  t.endFrame(),
                  (int) Math.min(WalkDeeds.DEEPEST_TRIM_TENTHS + 1L, tenths)));
    }
    Clip c = (Clip) fix;
    long ceiling = more ? c.ceilingTenthsDb() + amount : amount;
    return Optional.of(
        new Clip(
            c.stem(), c.startFrame(), c.endFrame(), (int) Math.max(-1000, Math.min(0, ceiling))));
  }
}
