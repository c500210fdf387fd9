package cairn.collisions.plan;

import cairn.collisions.Yokes;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.ToneCost;
import cairn.collisions.line.Line;
import java.util.EnumSet;
import java.util.Objects;
import java.util.Set;

/**
 * What a plan may do, and how far down it is to go; definitions.md, 5.
 *
 * @param target the line to meet
 * @param limits largest nudge, deepest trim and longest lobe of a clip
 * @param kinds the kinds of fix that are allowed
 * @param leftAlone indices of the stems that no fix may touch
 * @param dearOverDb over which tone cost, in dB, a fix is dear: planned only after all others
 */
public record PlanOptions(
    Target target,
    FixLimits limits,
    Set<Fix.Kind> kinds,
    Set<Integer> leftAlone,
    double dearOverDb) {

  /** The line of the pass, nudges to 3 ms, trims to 3 dB, lobes to 2 ms, on any stem. */
  public static final PlanOptions DEFAULT =
      new PlanOptions(
          new Target.AsHeld(),
          new FixLimits(3, 30, 2),
          EnumSet.allOf(Fix.Kind.class),
          Set.of(),
          ToneCost.DEAR_OVER_DB);

  /** The line that a plan is to meet. */
  public sealed interface Target {
    /** The line of the pass. */
    record AsHeld() implements Target {}

    /**
     * Another line over the average peak of the pass.
     *
     * @param line how it is asked for
     */
    record At(Line line) implements Target {
      public At {
        Objects.requireNonNull(line, "line");
      }
    }

    /**
     * The line that lies {@code headroomDb} under the highest peak of the bus without marks.
     *
     * @param headroomDb dB to win, over 0
     */
    record Win(double headroomDb) implements Target {
      public Win {
        if (!(headroomDb > 0) || Double.isInfinite(headroomDb)) {
          throw new IllegalArgumentException(
              "the dB to win must be over 0: headroomDb=" + headroomDb);
        }
      }
    }
  }

  public PlanOptions {
    Objects.requireNonNull(target, "target");
    Objects.requireNonNull(limits, "limits");
    kinds = Set.copyOf(kinds);
    leftAlone = Set.copyOf(leftAlone);
    if (!(dearOverDb >= 0)) {
      throw new IllegalArgumentException("dearOverDb must be >= 0: dearOverDb=" + dearOverDb);
    }
  }

  /** Whether a fix of a kind on a stem touches none that is left alone. */
  boolean mayTouch(int stem, Fix.Kind kind, Yokes yokes) {
    return kind == Fix.Kind.CLIP
        ? !leftAlone.contains(stem)
        : yokes.groupOf(stem).stream().noneMatch(leftAlone::contains);
  }

  /** The same for another line. */
  public PlanOptions withTarget(Target newTarget) {
    return new PlanOptions(newTarget, limits, kinds, leftAlone, dearOverDb);
  }

  /** The same with other limits. */
  public PlanOptions withLimits(FixLimits newLimits) {
    return new PlanOptions(target, newLimits, kinds, leftAlone, dearOverDb);
  }

  /** The same with only these kinds allowed. */
  public PlanOptions withKinds(Set<Fix.Kind> newKinds) {
    return new PlanOptions(target, limits, newKinds, leftAlone, dearOverDb);
  }

  /** The same with these stems left alone. */
  public PlanOptions withLeftAlone(Set<Integer> newLeftAlone) {
    return new PlanOptions(target, limits, kinds, newLeftAlone, dearOverDb);
  }

  /** The same with another limit of tone cost, in dB. */
  public PlanOptions withDearOver(double newDearOverDb) {
    return new PlanOptions(target, limits, kinds, leftAlone, newDearOverDb);
  }
}
