package cairn.tui.command;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Metering;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.Planner;
import cairn.io.listing.Listing;
import cairn.io.listing.ListingCsv;
import cairn.io.listing.ListingJson;
import cairn.io.listing.ListingTable;
import cairn.io.listing.PlanTable;
import cairn.io.listing.Since;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Lists the moments above the line. */
@Command(
    name = "list",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Sums the stems and lists the moments that stand above the song's average peak, highest"
          + " first, with the stems that make each of them.",
      "",
      "A moment counts as one where samples over the line lie within 35 ms of each other. A"
          + " collision takes several stems, a lone peak is one stem's doing. The average peak is"
          + " the mean of the peaks of half-second windows; the line stands 1 dB above it unless"
          + " you say otherwise.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn list parade                        what stands out, as a table",
      "  cairn list parade --margin 2 --top 20    only what stands out most",
      "  cairn list parade --tempo 104            with bar, beat and tick",
      "  cairn list parade --stem 'surdo*'        only where a surdo leads",
      "  cairn list parade --fixes                with the gentlest fix of each moment",
      "  cairn list parade --goal -8              what would push a limiter past 3 dB",
      "  cairn list parade --mute choir --json    without the choir, for a program",
      "  cairn list parade-2 --since parade       what became of it in a second export",
      "",
      "Levels are in dBFS, sample peak; with --true-peak in dBTP. Stems are only read, never"
          + " changed.",
    })
final class ListCommand implements Callable<Integer> {

  /** A list with more rows is hard to work through. */
  private static final int TOO_LONG = 200;

  /** As many as can be decided in some minutes. */
  private static final int USEFUL = 40;

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private SessionOptions.Reading options = new SessionOptions.Reading();

  @Mixin private FixOptions fixOptions = new FixOptions();

  @Option(
      names = "--since",
      paramLabel = "OLD",
      description =
          "Hold the stems against an earlier export of them, a folder, at its line: each of its"
              + " moments is gone, lower or still there, others are new. Faders, line and marks are"
              + " those of its session, where the walk has kept one.")
  private Path since;

  @ArgGroup(exclusive = false, heading = "%nWhat is shown:%n")
  private ShowOptions show = new ShowOptions();

  /** What is shown. */
  static final class ShowOptions {
    @Option(names = "--json", description = "Print JSON (schema cairn-list/1).")
    private boolean json;

    @Option(names = "--csv", description = "Print CSV, a row a moment.")
    private boolean csv;

    @Option(
        names = "--kind",
        paramLabel = "KIND",
        defaultValue = "ALL",
        description = "Show collisions, lone peaks, or all (the default): collisions, lone, all.")
    private Listing.Kinds kind = Listing.Kinds.ALL;

    @Option(
        names = "--stem",
        paramLabel = "NAME",
        description = "Show only moments that this stem leads. May be a pattern.")
    private List<String> stem = List.of();

    @Option(
        names = "--no-fold",
        description = "A row for each moment, also where moments are alike.")
    private boolean noFold;

    @Option(
        names = "--no-plan",
        description = "With a goal: do not work out, below the table, what a plan would leave.")
    private boolean noPlan;

    @Option(
        names = "--fixes",
        description = "Add the gentlest fix of each moment; JSON: all of them.")
    private boolean fixes;

    @Option(
        names = "--bands",
        description =
            "Add the third-octave band in which each leading stem is strongest at the moment; JSON:"
                + " its power in all bands.")
    private boolean bands;

    @Option(
        names = "--loudness",
        description = "Add loudness, true peak and crest factor of bus and stems (in JSON always).")
    private boolean loudness;

    @Option(names = "--top", paramLabel = "N", description = "Show only the first N.")
    private Long top;
  }

  ListCommand(Console console) {
    this.console = console;
  }

  /** The command on stems, without any option. */
  ListCommand on(List<Path> stems) {
    options.setStems(stems);
    return this;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    if (show.json && show.csv) {
      throw new ParameterException(spec.commandLine(), "--json and --csv: leave one out");
    }
    if (show.top != null && show.top < 1) {
      throw new ParameterException(
          spec.commandLine(), "--top must be 1 or more: --top " + show.top);
    }
    if (since != null) {
      SinceFolder.check(spec.commandLine(), since, options);
    }
    try (Analysing analysing =
        new Analysing(
            console,
            options,
            set -> since == null ? Optional.empty() : EarlierSession.in(since, console, set))) {
      List<Integer> ledBy = new ArrayList<>();
      for (String typed : show.stem) {
        ledBy.addAll(options.names(analysing.set()).find("--stem", typed));
      }
      Pass pass;
      Optional<Since> compared = Optional.empty();
      try {
        if (since == null) {
          pass = analysing.run(metering());
        } else {
          Analysing.Compared both = analysing.runSince(since, metering(), Metering.NONE);
          pass = both.pass();
          compared = Optional.of(both.since());
        }
      } catch (Unanalysable.TooManyMoments e) {
        throw new IOException(e.getMessage() + advice(e.peaks()), e);
      }
      long top = show.top == null ? Long.MAX_VALUE : show.top;
      Set<Integer> leftAlone = fixOptions.leftAlone(options.names(analysing.set()), pass.session());
      Listing listing =
          Listing.of(analysing.set(), pass, show.kind, ledBy, top, analysing.tempo(), leftAlone);
      if (show.fixes) {
        FixLimits limits = show.json ? FixLimits.DEFAULT : PlanOptions.DEFAULT.limits();
        listing = listing.withFixes(analysing.fixes(pass, listing.moments(), leftAlone, limits));
      }
      if (show.bands) {
        listing = listing.withBands(analysing.bands(pass, listing.moments()));
      }
      if (compared.isPresent()) {
        listing = listing.withSince(compared.get());
        if (show.json || show.csv) {
          compared.get().stemLines((what, text) -> what + ": " + text).forEach(console::note);
        }
      }
      print(listing);
      if (pass.settings().goalDrawsLine() && !show.json && !show.csv && !show.noPlan) {
        sayWhatAPlanLeaves(analysing, pass, leftAlone);
      }
      if (pass.moments().size() > TOO_LONG) {
        console.warning(tooLong(analysing, pass));
      }
    }
    return 0;
  }

  /** The list is there already: a plan takes its time. */
  private void sayWhatAPlanLeaves(Analysing analysing, Pass pass, Set<Integer> leftAlone)
      throws IOException, Unanalysable {
    if (!pass.moments().isEmpty() && pass.moments().size() <= Planner.MOST_MOMENTS) {
      Plan plan = analysing.plan(pass, Marks.NONE, PlanOptions.DEFAULT.withLeftAlone(leftAlone));
      console.print(List.of("", PlanTable.afterLine(plan, pass) + " (cairn plan)"));
    }
  }

  /** A table without it prints none of it, so it need not wait for it. */
  private Metering metering() {
    return show.json || show.loudness ? Metering.STEMS : Metering.NONE;
  }

  private void print(Listing listing) throws IOException {
    if (show.json) {
      console.print(out -> ListingJson.write(listing, out));
    } else if (show.csv) {
      console.print(out -> ListingCsv.write(listing, out));
    } else {
      console.print(ListingTable.lines(listing, !show.noFold));
    }
  }

  /** Says at which line a list of useful length would remain; counted, not guessed. */
  private String tooLong(Analysing analysing, Pass pass) throws IOException {
    String text =
        "the line lies inside the music: " + pass.moments().size() + " moments are over it";
    double lineDb = lineOfRank(pass.moments().stream().map(m -> m.peak()).toList());
    int remain = analysing.analysis().count(pass, new Line.Level(lineDb));
    return text + String.format(Locale.ROOT, "; at --line %.1f, %d would remain", lineDb, remain);
  }

  private static String advice(List<Double> peaks) {
    return String.format(Locale.ROOT, "; raise it, to --line %.1f or so", lineOfRank(peaks));
  }

  /** The line in whole tenths of a dB that the 41st highest peak does not pass. */
  private static double lineOfRank(List<Double> peaks) {
    double peak =
        peaks.stream().sorted(Comparator.reverseOrder()).skip(USEFUL).findFirst().orElse(0.0);
    return Math.ceil(Decibels.ofAmplitude(peak) * 10) / 10;
  }
}
