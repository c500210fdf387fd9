package cairn.io.report;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.WhatIf;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.OptionalDouble;

/**
 * The fixes, and the bus with them.
 *
 * @param isPlan whether they are a proposal; else the marks of a session
 * @param fixes the fixes in the order in which they apply
 * @param whatIf the bus with them
 */
public record Marked(boolean isPlan, List<FixRow> fixes, WhatIf whatIf) {
  public Marked {
    Objects.requireNonNull(whatIf, "whatIf");
    fixes = List.copyOf(fixes);
  }

  /** What a plan proposes. */
  public static Marked of(Plan plan, WhatIf whatIf) {
    return new Marked(
        true,
        plan.fixes().stream()
            .map(
                fix ->
                    new FixRow(
                        fix.fix(),
                        fix.marks().stream().map(Mark.OfFix::momentFrame).toList(),
                        OptionalDouble.of(fix.peakAfter()),
                        fix.why()))
            .toList(),
        whatIf);
  }

  /** The marks of a session: the same stem, kind and amount in several places are one fix. */
  public static Marked of(WhatIf whatIf) {
    record Deed(int stem, Fix.Kind kind, double amount) {}
    Map<Deed, List<Mark.OfFix>> deeds = new LinkedHashMap<>();
    for (Mark.OfFix mark : whatIf.marks().fixes()) {
      Fix fix = mark.fix();
      deeds
          .computeIfAbsent(new Deed(fix.stem(), fix.kind(), amount(fix)), deed -> new ArrayList<>())
          .add(mark);
    }
    return new Marked(
        false,
        deeds.values().stream()
            .map(
                marks ->
                    new FixRow(
                        marks.get(0).fix(),
                        marks.stream().map(Mark.OfFix::momentFrame).toList(),
                        OptionalDouble.empty(),
                        marks.get(0).note().orElse("")))
            .toList(),
        whatIf);
  }

  private static double amount(Fix fix) {
    if (fix instanceof Nudge nudge) {
      return nudge.frames();
    }
    return fix instanceof Trim trim ? trim.db() : ((Clip) fix).ceilingDb();
  }

  /** In how many places something is done. */
  int places() {
    return fixes.stream().mapToInt(fix -> fix.places().size()).sum();
  }

  /** In how many places something of a kind is done. */
  int places(Fix.Kind kind) {
    return fixes.stream()
        .filter(fix -> fix.fix().kind() == kind)
        .mapToInt(fix -> fix.places().size())
        .sum();
  }

  /** Whether nothing near the moment is over the line any more. */
  boolean clears(Moment moment) {
    return whatIf.highestAt(moment.peakFrame()).isEmpty();
  }
}
