package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.io.listing.PlanJson;
import cairn.io.listing.PlanTable;
import java.io.IOException;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Proposes the gentlest fixes that bring the bus down to a line. */
@Command(
    name = "plan",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Proposes the gentlest set of fixes that brings every moment under the line: nudges (a hit"
          + " moved by up to 3 ms), trims (a hit turned down by up to 3 dB) and clips (lobes of up"
          + " to 2 ms cut off), each on a single stem at a single moment, or on all moments alike.",
      "",
      "It goes from the highest moment down, and says what each fix wins. Nothing is changed: the"
          + " plan is a list of things to do at the desk.",
      "",
      "A louder master is louder in every room: turn the monitors down before you compare.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn plan parade                        down to 1 dB above the average peak",
      "  cairn plan parade --headroom 2           win 2 dB of headroom",
      "  cairn plan parade --keep 'lead*'         and leave the lead voice alone",
      "  cairn plan parade --allow nudge,trim     without clips",
      "  cairn plan parade --tempo 104 --json     for a program",
    })
final class PlanCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private SessionOptions options;

  @Mixin private FixOptions fixes;

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
      names = "--allow",
      paramLabel = "KIND",
      split = ",",
      description = "Kinds of fix that may be used: nudge,trim,clip (the default).")
  private List<Fix.Kind> allow = List.of();

  @Option(names = "--json", description = "Print JSON (schema cairn-plan/1).")
  private boolean json;

  PlanCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    FixLimits limits = limits();
    PlanOptions.Target target = target();
    Set<Fix.Kind> kinds = allow.isEmpty() ? EnumSet.allOf(Fix.Kind.class) : EnumSet.copyOf(allow);
    try (Analysing analysing = new Analysing(console, options)) {
      Set<Integer> leftAlone = fixes.leftAlone(options.names(analysing.set()));
      FixOptions.suggest(console, analysing.set(), leftAlone);
      Pass pass = analysing.run();
      Plan plan =
          analysing.plan(pass, Marks.NONE, new PlanOptions(target, limits, kinds, leftAlone));
      if (json) {
        console.print(out -> PlanJson.write(plan, analysing.set(), out));
      } else {
        console.print(PlanTable.lines(plan, pass, analysing.set(), options.tempo()));
      }
    }
    return 0;
  }

  private PlanOptions.Target target() {
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
