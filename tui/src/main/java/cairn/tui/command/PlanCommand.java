package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.StemMove;
import cairn.io.listing.PlanJson;
import cairn.io.listing.PlanTable;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

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
      "  cairn plan parade --goal -8 --limiter 2  until a limiter need take only 2 dB",
      "  cairn plan parade --keep 'lead*'         and leave the lead voice alone",
      "  cairn plan parade --allow nudge,trim     without clips",
      "  cairn plan parade --tempo 104 --json     for a program",
    })
final class PlanCommand implements Callable<Integer> {

  private final Console console;

  @Mixin private SessionOptions.Reading options;

  @Mixin private FixOptions fixes;

  @Mixin private PlanChoices choices;

  @Option(names = "--json", description = "Print JSON (schema cairn-plan/1).")
  private boolean json;

  PlanCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    PlanOptions asked = choices.options(options);
    try (Analysing analysing = new Analysing(console, options)) {
      Set<Integer> leftAlone = fixes.leftAlone(options.names(analysing.set()), analysing.session());
      FixOptions.suggest(console, analysing.set(), leftAlone);
      Pass pass = analysing.run();
      Plan plan = analysing.plan(pass, Marks.NONE, asked.withLeftAlone(leftAlone));
      Optional<StemMove> setting = analysing.wholeStem(pass, plan, leftAlone);
      if (json) {
        console.print(out -> PlanJson.write(plan, pass, analysing.set(), setting, out));
      } else {
        List<Integer> sameSound = analysing.sameSound(pass, setting);
        console.print(
            PlanTable.lines(plan, pass, analysing.set(), analysing.tempo(), setting, sameSound));
      }
    }
    return 0;
  }
}
