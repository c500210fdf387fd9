package cairn.tui.command;

import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.plan.PlanOptions;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** What a plan may do, and how far down it is to go. */
final class PlanChoices {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--headroom",
      paramLabel = "DB",
      description = "Win so many dB: the line lies that far under the highest peak.")
  private Double headroomDb;

  @Option(
      names = "--max-nudge",
      paramLabel = "MS",
      defaultValue = "3",
      description = "Longest nudge in ms. Default: ${DEFAULT-VALUE}.")
  private double nudgeMillis;

  @Option(
      names = "--max-trim",
      paramLabel = "DB",
      defaultValue = "3",
      description = "Deepest trim in dB, to a tenth. Default: ${DEFAULT-VALUE}.")
  private double trimDb;

  @Option(
      names = "--max-clip",
      paramLabel = "MS",
      defaultValue = "2",
      description = "Longest lobe that a clip may cut off, in ms. Default: ${DEFAULT-VALUE}.")
  private double clipMillis;

  @Option(
      names = "--max-tone",
      paramLabel = "DB",
      defaultValue = "0.5",
      description =
          "Tone cost over which a fix is dear, planned only after all others: the largest change of"
              + " an octave band, in dB. Default: ${DEFAULT-VALUE}.")
  private double toneDb;

  @Option(
      names = "--allow",
      paramLabel = "KIND",
      split = ",",
      description = "Kinds of fix that may be used: nudge,trim,clip (the default).")
  private List<Fix.Kind> allow = List.of();

  /** All of it; no stem is left alone yet. */
  PlanOptions options(SessionOptions session) {
    Set<Fix.Kind> kinds = allow.isEmpty() ? EnumSet.allOf(Fix.Kind.class) : EnumSet.copyOf(allow);
    if (!(toneDb >= 0 && toneDb <= 60)) {
      throw wrong("--max-tone must be 0 to 60 dB: --max-tone " + toneDb);
    }
    return new PlanOptions(target(session), limits(), kinds, Set.of(), toneDb);
  }

  private PlanOptions.Target target(SessionOptions options) {
    if (headroomDb == null) {
      return new PlanOptions.Target.AsHeld();
    }
    if (options.drawsLine()) {
      throw wrong("--headroom draws the line itself: leave out --margin and --line");
    }
    if (!(headroomDb > 0 && headroomDb <= 60)) {
      throw wrong("--headroom must be over 0 and at most 60 dB: --headroom " + headroomDb);
    }
    return new PlanOptions.Target.Win(headroomDb);
  }

  private FixLimits limits() {
    if (!(nudgeMillis > 0 && nudgeMillis <= 49)) {
      throw wrong("--max-nudge must be over 0 and at most 49 ms: --max-nudge " + nudgeMillis);
    }
    long tenths = Math.round(trimDb * 10);
    if (!(tenths >= 1 && tenths <= 240) || Math.abs(trimDb * 10 - tenths) > 1e-6) {
      throw wrong("--max-trim must be 0.1 to 24 dB, to a tenth: --max-trim " + trimDb);
    }
    if (!(clipMillis >= 0 && clipMillis <= 100)) {
      throw wrong("--max-clip must be 0 to 100 ms: --max-clip " + clipMillis);
    }
    return new FixLimits(nudgeMillis, (int) tenths, clipMillis);
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
