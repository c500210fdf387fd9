package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.StemMove;
import cairn.collisions.plan.StemSetting;
import cairn.collisions.plan.WholeStems;
import cairn.io.listing.StemMoves;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Says what one setting for the whole song would do. */
@Command(
    name = "stems",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Says for each stem which single setting for the whole song leaves the fewest moments over"
          + " the line: an offset within 5 ms, polarity, a ceiling no lower than the stem's own"
          + " average peak, a fader step of up to 3 dB.",
      "",
      "Each is tried about the moments and the best is then summed through the whole song. Nothing"
          + " is changed.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn stems parade                          what helps, the most useful first",
      "  cairn stems parade --try-ceiling caixa=-12  what a ceiling of your own would do",
      "  cairn stems parade --json                   all of it, for a program",
    })
final class StemsCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private SessionOptions.Reading options;

  @Mixin private FixOptions fixes;

  @Option(
      names = "--try-ceiling",
      paramLabel = "NAME=DBFS",
      description = "Say what this ceiling on a stem would do, in place of the best settings.")
  private List<String> ceilings = List.of();

  @Option(names = "--json", description = "Print JSON (schema cairn-stems/1).")
  private boolean json;

  @Option(names = "--csv", description = "Print CSV, a row a setting.")
  private boolean csv;

  StemsCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    if (json && csv) {
      throw new ParameterException(spec.commandLine(), "--json and --csv: leave one out");
    }
    try (Analysing analysing = new Analysing(console, options)) {
      StemNames names = options.names(analysing.set());
      Set<Integer> leftAlone = fixes.leftAlone(names, analysing.session());
      List<StemSetting> asked = asked(names);
      Pass pass = analysing.run();
      WholeStems whole =
          new WholeStems(pass, analysing.files(), analysing.crew(), analysing.progress());
      List<StemMove> moves;
      List<SharedSound> shared;
      try {
        moves = asked.isEmpty() ? whole.best(leftAlone) : whole.check(asked);
        shared =
            asked.isEmpty()
                ? SharedSound.strong(pass, analysing.files(), analysing.crew())
                : List.of();
        analysing.files().verifyUnchanged();
      } finally {
        analysing.clearBar();
      }
      StemMoves found = new StemMoves(analysing.set(), pass, moves, shared);
      if (json) {
        console.print(found::writeJson);
      } else if (csv) {
        console.print(found::writeCsv);
      } else {
        console.print(found.lines());
      }
      for (StemSetting setting : asked) {
        if (StemMoves.isUnderAverage(pass, setting)) {
          console.warning(
              String.format(
                  Locale.ROOT,
                  "a ceiling of %.1f dBFS lies under the average peak of '%s': it would cut most of"
                      + " its strokes; a fader step is the cleaner way",
                  setting.amount() / 10.0,
                  analysing.set().stems().get(setting.stem()).name()));
        }
      }
    }
    return 0;
  }

  private List<StemSetting> asked(StemNames names) {
    List<StemSetting> asked = new ArrayList<>();
    for (String typed : ceilings) {
      int at = typed.lastIndexOf('=');
      double levelDb;
      try {
        levelDb = at < 1 ? Double.NaN : Double.parseDouble(typed.substring(at + 1).strip());
      } catch (NumberFormatException e) {
        levelDb = Double.NaN;
      }
      long tenths = Math.round(levelDb * 10);
      if (!(Math.abs(levelDb) <= 144) || Math.abs(levelDb * 10 - tenths) > 1e-6) {
        throw new ParameterException(
            spec.commandLine(),
            "--try-ceiling takes a stem and a level in dBFS, to a tenth, such as caixa=-12.5:"
                + " --try-ceiling "
                + typed);
      }
      for (int k : names.find("--try-ceiling", typed.substring(0, at))) {
        asked.add(new StemSetting(k, StemSetting.Kind.CEILING, (int) tenths));
      }
    }
    return asked;
  }
}
