package cairn.tui.update;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.PlannedFix;
import cairn.tui.model.Deeds;
import cairn.tui.model.Effect;
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
final class PlanDeeds {

  /** One kind of fix on one stem at one moment: a plan has no two of them. */
  private record Place(int stem, Fix.Kind kind, long momentFrame) {
    static Place of(Listed listed, Mark.OfFix mark) {
      return new Place(mark.fix().stem(), mark.fix().kind(), listed.frameOf(mark.momentFrame()));
    }
  }

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
    Set<Place> places = new HashSet<>();
    turn.now.plan.ifPresent(
        plan -> plan.marks().forEach(mark -> places.add(Place.of(listed, mark))));
    List<Mark> others = new ArrayList<>();
    for (Mark.OfFix mark : deeds.marks().fixes()) {
      Mark sound = mark.withNote("");
      if (before.contains(sound) || !places.contains(Place.of(listed, mark))) {
        others.add(sound);
      }
    }
    return others.equals(base.sounding());
  }

  private static Set<Integer> taken(Turn turn, Plan plan) {
    Listed listed = Listed.of(turn.model());
    Map<Place, Mark.OfFix> there = marked(turn);
    Set<Integer> taken = new HashSet<>();
    for (int i = 0; i < plan.fixes().size(); i++) {
      if (plan.fixes().get(i).marks().stream()
          .allMatch(mark -> there.containsKey(Place.of(listed, mark)))) {
        taken.add(i);
      }
    }
    return taken;
  }

  /** The marks that were made since the plan was. */
  private static Map<Place, Mark.OfFix> marked(Turn turn) {
    Listed listed = Listed.of(turn.model());
    Set<Mark> before = new HashSet<>(turn.now.planFor.map(Deeds::sounding).orElse(List.of()));
    Map<Place, Mark.OfFix> marked = new HashMap<>();
    for (Mark.OfFix mark : turn.now.deeds.marks().fixes()) {
      if (!before.contains(mark.withNote(""))) {
        marked.put(Place.of(listed, mark), mark);
      }
    }
    return marked;
  }

  private static Optional<PlannedFix> selected(Turn turn) {
    int row = turn.now.selectedOn(Screen.PLAN);
    Optional<PlannedFix> fix =
        turn.now.plan.filter(plan -> row < plan.fixes().size()).map(plan -> plan.fixes().get(row));
    if (fix.isEmpty()) {
      turn.say(
          turn.now.plan.isEmpty()
              ? turn.now.planFor.isEmpty()
                  ? "there is no plan; P makes one"
                  : "the plan is still being made; Ctrl-C cancels it"
              : "the plan has no fix; q goes back");
    }
    return fix;
  }

  /** The moment of the selected row is the one that the walk stands on. */
  static void showOnWalk(Turn turn) {
    int row = turn.now.selectedOn(Screen.PLAN);
    turn.now
        .plan
        .filter(plan -> row < plan.fixes().size())
        .ifPresent(
            plan -> {
              int before = turn.now.selectedOn(Screen.WALK);
              long frame = plan.fixes().get(row).marks().get(0).momentFrame();
              if (!turn.selectFrame(Listed.of(turn.model()).frameOf(frame))) {
                turn.now.select(Screen.WALK, before);
              }
            });
  }

  private static void select(Turn turn, int row) {
    turn.now.select(Screen.PLAN, row);
    showOnWalk(turn);
  }

  private static boolean isOpen(Turn turn, int row) {
    return !turn.now.planTaken.contains(row) && !turn.now.planDropped.contains(row);
  }

  static void next(Turn turn, int by) {
    if (selected(turn).isEmpty()) {
      return;
    }
    int rows = turn.now.plan.get().fixes().size();
    int at = turn.now.selectedOn(Screen.PLAN);
    for (int i = 1; i <= rows; i++) {
      int candidate = Math.floorMod(at + by * i, rows);
      if (isOpen(turn, candidate)) {
        select(turn, candidate);
        return;
      }
    }
    turn.say("every row of the plan is decided; E exports, q goes back");
  }

  static void take(Turn turn) {
    Optional<PlannedFix> fix = selected(turn);
    if (fix.isEmpty()) {
      return;
    }
    int row = turn.now.selectedOn(Screen.PLAN);
    if (turn.now.planTaken.contains(row)) {
      turn.say("that row is taken already; x drops it");
      return;
    }
    int places = fix.get().marks().size();
    takeRows(
        turn,
        List.of(row),
        turn.stem(fix.get().stem())
            + " "
            + Said.fix(fix.get().fix(), turn.rate())
            + (places > 1 ? " taken in its " + places + " places" : " taken")
            + "; u undoes it");
  }

  static void takeAll(Turn turn) {
    if (selected(turn).isEmpty()) {
      return;
    }
    List<Integer> rows = new ArrayList<>();
    for (int i = 0; i < turn.now.plan.get().fixes().size(); i++) {
      if (isOpen(turn, i)) {
        rows.add(i);
      }
    }
    if (rows.isEmpty()) {
      turn.say("no row of the plan is left to take; E exports");
      return;
    }
    takeRows(
        turn,
        rows,
        rows.size() + (rows.size() == 1 ? " fix" : " fixes") + " taken; E exports, u undoes it");
  }

  private static void takeRows(Turn turn, List<Integer> rows, String message) {
    Listed listed = Listed.of(turn.model());
    Map<Place, Mark.OfFix> there = marked(turn);
    List<Mark> fresh = new ArrayList<>();
    for (int row : rows) {
      for (Mark.OfFix mark : turn.now.plan.get().fixes().get(row).marks()) {
        if (!there.containsKey(Place.of(listed, mark))) {
          fresh.add(noted(turn, listed, mark));
        }
      }
    }
    Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
    dropped.removeAll(rows);
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
    Optional<PlannedFix> fix = selected(turn);
    if (fix.isEmpty()) {
      return;
    }
    int row = turn.now.selectedOn(Screen.PLAN);
    Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
    boolean wasDropped = !dropped.add(row);
    if (wasDropped) {
      dropped.remove(row);
    }
    turn.now.planDropped = dropped;
    if (turn.now.planTaken.contains(row)) {
      Listed listed = Listed.of(turn.model());
      Map<Place, Mark.OfFix> there = marked(turn);
      Set<Mark> gone = new HashSet<>();
      fix.get().marks().forEach(mark -> gone.add(there.get(Place.of(listed, mark))));
      List<Mark> rest =
          turn.now.deeds.marks().list().stream().filter(mark -> !gone.contains(mark)).toList();
      turn.marks(new Marks(rest), "dropped, its marks are taken off; u brings them back");
    } else {
      turn.say(wasDropped ? "back in the plan" : "dropped; x again brings it back");
    }
  }

  /** Goes to the row's moment on the walk, where the other fixes can be seen. */
  static void other(Turn turn) {
    if (selected(turn).isEmpty()) {
      return;
    }
    showOnWalk(turn);
    boolean isThere =
        turn.row()
            .map(
                row -> {
                  long frame =
                      Listed.of(turn.model())
                          .frameOf(selected(turn).get().marks().get(0).momentFrame());
                  return row.places().stream().anyMatch(place -> place.peakFrame() == frame);
                })
            .orElse(false);
    if (!isThere) {
      turn.say("its moment is not in the list as it is narrowed; W, then Esc, shows all");
      return;
    }
    turn.open(Screen.WALK);
    turn.say("v shows the other fixes here, Enter takes one, P goes back to the plan");
  }

  /** Moves the row's hits by one step. */
  static void move(Turn turn, int sign) {
    Optional<PlannedFix> row = selected(turn);
    if (row.isEmpty()) {
      return;
    }
    if (!(row.get().fix() instanceof Nudge)) {
      turn.say("this row is no nudge: - and + change it, v shows other fixes");
      return;
    }
    int step = sign * Steps.frames(turn.now.stepSize, turn.rate());
    change(turn, row.get(), step);
  }

  /** Changes the row's trim or ceiling by one step. */
  static void level(Turn turn, int sign) {
    Optional<PlannedFix> row = selected(turn);
    if (row.isEmpty()) {
      return;
    }
    if (row.get().fix() instanceof Nudge) {
      turn.say("this row is a nudge: h and l move it, v shows other fixes");
      return;
    }
    change(turn, row.get(), sign * Steps.tenthsDb(turn.now.stepSize));
  }

  /** Takes the row with another amount, in all its places. */
  private static void change(Turn turn, PlannedFix row, int by) {
    Listed listed = Listed.of(turn.model());
    Map<Place, Mark.OfFix> there = marked(turn);
    Set<Mark> gone = new HashSet<>();
    List<Mark.OfFix> fresh = new ArrayList<>();
    for (Mark.OfFix planned : row.marks()) {
      Mark.OfFix old = there.getOrDefault(Place.of(listed, planned), planned);
      Optional<Fix> changed = changed(old.fix(), by);
      if (changed.isEmpty()) {
        turn.say("one step more would leave it as it is in the stems; x drops the row");
        return;
      }
      gone.add(old);
      fresh.add(
          noted(turn, listed, new Mark.OfFix(old.momentFrame(), changed.get(), Optional.empty())));
    }
    List<Mark> rest = new ArrayList<>();
    for (Mark mark : turn.now.deeds.marks().list()) {
      if (!gone.contains(mark)) {
        rest.add(mark);
      }
    }
    turn.marks(
        new Marks(rest).addAll(fresh),
        turn.stem(row.stem())
            + " "
            + Said.fix(fresh.get(0).fix(), turn.rate())
            + (fresh.size() > 1 ? " taken in its " + fresh.size() + " places" : " taken")
            + "; u undoes it");
  }

  private static Optional<Fix> changed(Fix fix, int by) {
    if (fix instanceof Nudge n) {
      return n.frames() + by == 0
          ? Optional.empty()
          : Optional.of(new Nudge(n.stem(), n.startFrame(), n.endFrame(), n.frames() + by));
    }
    if (fix instanceof Trim t) {
      return t.tenthsDb() - by < 1
          ? Optional.empty()
          : Optional.of(new Trim(t.stem(), t.startFrame(), t.endFrame(), t.tenthsDb() - by));
    }
    Clip c = (Clip) fix;
    return Optional.of(new Clip(c.stem(), c.startFrame(), c.endFrame(), c.ceilingTenthsDb() + by));
  }
}
