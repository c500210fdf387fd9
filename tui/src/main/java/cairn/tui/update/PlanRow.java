package cairn.tui.update;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.tui.model.Deeds;
import cairn.tui.model.Model;
import cairn.tui.model.PlanSteps;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * A row of the plan as it stands: first those that were taken before it was made, then its own.
 *
 * @param index which fix of the plan; −1: it was taken before
 * @param marks the fix in its places, as it was taken, else as it is proposed
 * @param state how it stands
 * @param other the fix that was chosen in place of the planned one; empty: the planned one
 */
public record PlanRow(int index, List<Mark.OfFix> marks, State state, Optional<Advice> other) {

  /** How a row stands. */
  public enum State {
    /** Its marks are made. */
    TAKEN,
    /** It is proposed. */
    OPEN,
    /** It is left out. */
    DROPPED
  }

  /** One kind of fix on one stem at one moment: a plan has no two of them. */
  record Place(int stem, Fix.Kind kind, long momentFrame) {
    static Place of(Listed listed, Mark.OfFix mark) {
      return new Place(mark.fix().stem(), mark.fix().kind(), listed.frameOf(mark.momentFrame()));
    }
  }

  public PlanRow {
    marks = List.copyOf(marks);
  }

  /** The fix in its first place. */
  public Fix fix() {
    return marks.get(0).fix();
  }

  /** Whether it was taken before the plan was made. */
  public boolean isBefore() {
    return index < 0;
  }

  /** What the plan says of it; empty: another fix is in its place, or it was taken before. */
  public Optional<PlannedFix> planned(Plan plan) {
    return isBefore() || other.isPresent()
        ? Optional.empty()
        : Optional.of(plan.fixes().get(index));
  }

  /** The rows; none while there is no plan. */
  public static List<PlanRow> of(Model model) {
    if (model.plan().isEmpty() || model.planFor().isEmpty()) {
      return List.of();
    }
    List<PlanRow> rows = before(model.planFor().get());
    Listed listed = Listed.of(model);
    Map<Place, Mark.OfFix> there = made(model, listed);
    List<PlannedFix> fixes = model.plan().get().fixes();
    for (int i = 0; i < fixes.size(); i++) {
      Optional<Advice> other = Optional.ofNullable(model.planOthers().get(i));
      List<Mark.OfFix> marks = other.map(Advice::marks).orElse(fixes.get(i).marks());
      boolean taken = model.planTaken().contains(i);
      State state =
          taken ? State.TAKEN : model.planDropped().contains(i) ? State.DROPPED : State.OPEN;
      List<Mark.OfFix> now = new ArrayList<>();
      for (Mark.OfFix mark : marks) {
        now.add(taken ? there.getOrDefault(Place.of(listed, mark), mark) : mark);
      }
      rows.add(new PlanRow(i, now, state, other));
    }
    return rows;
  }

  /**
   * The moments that stay over with the plan, in rows under its fixes; none while there is no plan.
   */
  public static List<OpenMoment> open(Model model) {
    return model.planFor().isEmpty() ? List.of() : model.plan().map(Plan::open).orElse(List.of());
  }

  /** The moment that stays over in the selected row of the plan; empty: the row is a fix. */
  public static Optional<OpenMoment> selectedOpen(Model model) {
    List<OpenMoment> open = open(model);
    int at = model.selectedOn(Screen.PLAN) - of(model).size();
    return at >= 0 && at < open.size() ? Optional.of(open.get(at)) : Optional.empty();
  }

  /** The marks that were made since the plan was. */
  static Map<Place, Mark.OfFix> made(Model model, Listed listed) {
    Set<Mark> before = new HashSet<>(model.planFor().map(Deeds::sounding).orElse(List.of()));
    Map<Place, Mark.OfFix> made = new HashMap<>();
    for (Mark.OfFix mark : model.deeds().marks().fixes()) {
      if (!before.contains(mark.withNote(""))) {
        made.put(Place.of(listed, mark), mark);
      }
    }
    return made;
  }

  /** Marks that were made before, in their order; a fix in several places is one row. */
  private static List<PlanRow> before(Deeds base) {
    List<PlanRow> rows = new ArrayList<>();
    List<Mark.OfFix> together = new ArrayList<>();
    for (Mark.OfFix mark : base.marks().fixes()) {
      if (!together.isEmpty() && !isSame(together.get(0).fix(), mark.fix())) {
        rows.add(new PlanRow(-1, together, State.TAKEN, Optional.empty()));
        together.clear();
      }
      together.add(mark);
    }
    if (!together.isEmpty()) {
      rows.add(new PlanRow(-1, together, State.TAKEN, Optional.empty()));
    }
    return rows;
  }

  /** Whether two fixes are of one stem, kind and amount. */
  private static boolean isSame(Fix one, Fix other) {
    if (one.stem() != other.stem() || one.kind() != other.kind()) {
      return false;
    }
    return switch (one.kind()) {
      case NUDGE -> ((Nudge) one).frames() == ((Nudge) other).frames();
      case TRIM -> ((Trim) one).tenthsDb() == ((Trim) other).tenthsDb();
      case CLIP -> ((Clip) one).ceilingTenthsDb() == ((Clip) other).ceilingTenthsDb();
    };
  }

  /** What is to be summed to know what the rows come to; empty: the plan itself tells it. */
  static Optional<List<List<Mark.OfFix>>> toSum(Model model) {
    if (model.plan().isEmpty()) {
      return Optional.empty();
    }
    Plan plan = model.plan().get();
    List<List<Mark.OfFix>> steps = new ArrayList<>();
    boolean tells = true;
    for (PlanRow row : of(model)) {
      List<Mark.OfFix> step = row.state == State.DROPPED ? List.of() : sounding(row.marks);
      tells &= !row.isBefore() && fixes(step).equals(fixes(plan.fixes().get(row.index).marks()));
      steps.add(step);
    }
    return tells ? Optional.empty() : Optional.of(steps);
  }

  /** What the rows come to, if it had to be summed and is. */
  public static Optional<PlanSteps> summed(Model model) {
    return model.planSteps().filter(PlanSteps::isThere);
  }

  private static List<Mark.OfFix> sounding(List<Mark.OfFix> marks) {
    return marks.stream()
        .map(mark -> new Mark.OfFix(mark.momentFrame(), mark.fix(), Optional.empty()))
        .toList();
  }

  private static List<Fix> fixes(List<Mark.OfFix> marks) {
    return marks.stream().map(Mark.OfFix::fix).toList();
  }
}
