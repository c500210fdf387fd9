package cairn.tui.update;

import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.PlannedFix;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import cairn.tui.model.Effect;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** The plan: rows to be taken, dropped or left. */
final class PlanDeeds {

  private PlanDeeds() {}

  /** Opens the plan; makes one if there is none for the marks that were made without it. */
  static void open(Turn turn) {
    turn.used("plan");
    turn.open(Screen.PLAN);
    if (turn.now.song.isEmpty()) {
      turn.say("the stems are still being read");
      return;
    }
    if (turn.now.plan.isEmpty() && turn.now.work.isEmpty()) {
      turn.now.planTaken = Set.of();
      turn.now.planDropped = Set.of();
      turn.now.select(Screen.PLAN, 0);
      turn.effect(
          new Effect.MakePlan(
              turn.now.deeds.marks(),
              PlanOptions.DEFAULT.withLeftAlone(turn.now.deeds.leftAlone())));
    }
  }

  private static boolean isOpen(Turn turn, int row) {
    return !turn.now.planTaken.contains(row) && !turn.now.planDropped.contains(row);
  }

  static void next(Turn turn, int by) {
    int rows = turn.now.plan.map(plan -> plan.fixes().size()).orElse(0);
    int at = turn.now.selectedOn(Screen.PLAN);
    for (int i = 1; i <= rows; i++) {
      int candidate = Math.floorMod(at + by * i, rows);
      if (isOpen(turn, candidate)) {
        turn.now.select(Screen.PLAN, candidate);
        return;
      }
    }
    turn.say("no row of the plan is left to decide; q goes back");
  }

  static void take(Turn turn) {
    int row = turn.now.selectedOn(Screen.PLAN);
    if (turn.now.plan.isEmpty() || row >= turn.now.plan.get().fixes().size()) {
      turn.say("there is no plan yet");
      return;
    }
    if (turn.now.planTaken.contains(row)) {
      turn.say("that row is taken already; u undoes it");
      return;
    }
    PlannedFix fix = turn.now.plan.get().fixes().get(row);
    takeRows(
        turn,
        List.of(row),
        turn.stem(fix.stem()) + " " + FixWords.of(fix.fix(), turn.rate()) + " taken");
    next(turn, 1);
  }

  static void takeAll(Turn turn) {
    List<Integer> rows = new ArrayList<>();
    int count = turn.now.plan.map(plan -> plan.fixes().size()).orElse(0);
    for (int i = 0; i < count; i++) {
      if (isOpen(turn, i)) {
        rows.add(i);
      }
    }
    if (rows.isEmpty()) {
      turn.say("no row of the plan is left to take");
      return;
    }
    takeRows(
        turn,
        rows,
        Figures.count(rows.size(), "fix").replace("fixs", "fixes") + " taken; u undoes it");
  }

  private static void takeRows(Turn turn, List<Integer> rows, String message) {
    Plan plan = turn.now.plan.get();
    Marks marks = turn.now.deeds.marks();
    Set<Mark> there = new HashSet<>(marks.list());
    List<Mark> fresh = new ArrayList<>();
    for (int row : rows) {
      for (Mark mark : plan.fixes().get(row).marks()) {
        if (there.add(mark)) {
          fresh.add(mark);
        }
      }
    }
    Set<Integer> taken = new HashSet<>(turn.now.planTaken);
    taken.addAll(rows);
    turn.marks(marks.addAll(fresh), message);
    // The rest of the plan was made to go with what was taken of it.
    turn.now.plan = java.util.Optional.of(plan);
    turn.now.planTaken = taken;
  }

  static void drop(Turn turn) {
    int row = turn.now.selectedOn(Screen.PLAN);
    if (turn.now.plan.isEmpty() || row >= turn.now.plan.get().fixes().size()) {
      return;
    }
    if (turn.now.planTaken.contains(row)) {
      turn.say("that row is taken; u undoes it, x on the walk takes its marks off");
      return;
    }
    Set<Integer> dropped = new HashSet<>(turn.now.planDropped);
    if (!dropped.remove(row)) {
      dropped.add(row);
    }
    turn.now.planDropped = dropped;
    turn.say(dropped.contains(row) ? "dropped; x again brings it back" : "back in the plan");
    if (dropped.contains(row)) {
      next(turn, 1);
    }
  }

  /** Goes to the row's moment on the walk, where other fixes can be seen. */
  static void other(Turn turn) {
    int row = turn.now.selectedOn(Screen.PLAN);
    if (turn.now.plan.isEmpty() || row >= turn.now.plan.get().fixes().size()) {
      return;
    }
    long frame = turn.now.plan.get().fixes().get(row).marks().get(0).momentFrame();
    turn.open(Screen.WALK);
    if (turn.selectFrame(frame)) {
      turn.say("v shows the other fixes here, Enter takes one, P goes back to the plan");
    } else {
      turn.say("its moment is not in the list as it is narrowed; Esc shows all");
    }
  }
}
