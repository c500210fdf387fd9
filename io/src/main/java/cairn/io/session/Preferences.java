package cairn.io.session;

import cairn.collisions.fix.FixLimits;
import cairn.collisions.plan.PlanOptions;
import java.io.IOException;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What an engineer keeps from song to song: goal, limits and notation. What was set last becomes
 * the next session's default ({@link DefaultsFile}).
 *
 * @param goalLufs target loudness in LUFS; empty: no goal
 * @param ceilingDb limiter ceiling in dB
 * @param ceilingUnit what the ceiling is measured in; empty: of the kind that peaks are measured in
 * @param allowanceDb how hard the limiter may work, in dB, at least 0
 * @param limits how far fixes may go
 * @param dearDb tone cost over which a fix is dear, in dB, at least 0
 * @param notation how times are shown
 * @param unknown fields of a later version
 */
public record Preferences(
    OptionalDouble goalLufs,
    double ceilingDb,
    Optional<CeilingUnit> ceilingUnit,
    double allowanceDb,
    FixLimits limits,
    double dearDb,
    String notation,
    Unknown unknown) {

  /** Times as m:ss.mmm. */
  public static final String CLOCK = "clock";

  /** No goal, ceiling −1, allowance 3 dB (definitions.md, 6); limits of a plan; clock times. */
  public static final Preferences DEFAULT =
      new Preferences(
          OptionalDouble.empty(),
          -1,
          Optional.empty(),
          3,
          PlanOptions.DEFAULT.limits(),
          0.5,
          CLOCK,
          Unknown.NONE);

  /** What a ceiling is measured in: sample peak or true peak. */
  public enum CeilingUnit {
    DBFS,
    DBTP
  }

  public Preferences {
    Objects.requireNonNull(goalLufs, "goalLufs");
    Objects.requireNonNull(ceilingUnit, "ceilingUnit");
    Objects.requireNonNull(limits, "limits");
    Objects.requireNonNull(notation, "notation");
    Objects.requireNonNull(unknown, "unknown");
    if (goalLufs.isPresent() && !Double.isFinite(goalLufs.getAsDouble())) {
      throw new IllegalArgumentException("goalLufs must be finite: " + goalLufs.getAsDouble());
    }
    if (!Double.isFinite(ceilingDb)) {
      throw new IllegalArgumentException("ceilingDb must be finite: ceilingDb=" + ceilingDb);
    }
    if (!(allowanceDb >= 0)) {
      throw new IllegalArgumentException("allowanceDb must be >= 0: allowanceDb=" + allowanceDb);
    }
    if (!(dearDb >= 0)) {
      throw new IllegalArgumentException("dearDb must be >= 0: dearDb=" + dearDb);
    }
  }

  /** The same with another goal in LUFS, or with none. */
  public Preferences withGoal(OptionalDouble newGoalLufs) {
    return new Preferences(
        newGoalLufs, ceilingDb, ceilingUnit, allowanceDb, limits, dearDb, notation, unknown);
  }

  /** The same with another ceiling. */
  public Preferences withCeiling(double newCeilingDb, Optional<CeilingUnit> newUnit) {
    return new Preferences(
        goalLufs, newCeilingDb, newUnit, allowanceDb, limits, dearDb, notation, unknown);
  }

  /** The same with another limiter allowance in dB. */
  public Preferences withAllowance(double newAllowanceDb) {
    return new Preferences(
        goalLufs, ceilingDb, ceilingUnit, newAllowanceDb, limits, dearDb, notation, unknown);
  }

  /** The same with other limits. */
  public Preferences withLimits(FixLimits newLimits) {
    return new Preferences(
        goalLufs, ceilingDb, ceilingUnit, allowanceDb, newLimits, dearDb, notation, unknown);
  }

  /** The same with times shown in another way. */
  public Preferences withNotation(String newNotation) {
    return new Preferences(
        goalLufs, ceilingDb, ceilingUnit, allowanceDb, limits, dearDb, newNotation, unknown);
  }

  static Preferences read(Fields fields) throws IOException {
    FixLimits usual = DEFAULT.limits();
    return new Preferences(
        fields.number("goalLufs"),
        fields.number("ceilingDb").orElse(DEFAULT.ceilingDb()),
        fields.word("ceilingUnit", CeilingUnit.class),
        fields.number("allowanceDb").orElse(DEFAULT.allowanceDb()),
        new FixLimits(
            fields.number("nudgeMs").orElse(usual.nudgeMillis()),
            fields.tenths("trimDb").orElse(usual.trimTenthsDb()),
            fields.flag("clipAnyLength")
                ? Double.POSITIVE_INFINITY
                : fields.number("clipMs").orElse(usual.lobeMillis())),
        fields.number("dearDb").orElse(DEFAULT.dearDb()),
        fields.text("notation").orElse(DEFAULT.notation()),
        fields.unknown());
  }

  JsonTree.Obj write() {
    ObjectBuilder object = new ObjectBuilder().number("goalLufs", goalLufs);
    object.number("ceilingDb", ceilingDb);
    ceilingUnit.ifPresent(unit -> object.word("ceilingUnit", unit));
    object
        .number("allowanceDb", allowanceDb)
        .number("nudgeMs", limits.nudgeMillis())
        .number("trimDb", limits.trimTenthsDb() / 10.0);
    if (Double.isInfinite(limits.lobeMillis())) {
      object.flag("clipAnyLength", true);
    } else {
      object.number("clipMs", limits.lobeMillis());
    }
    return object.number("dearDb", dearDb).text("notation", notation).with(unknown);
  }
}
