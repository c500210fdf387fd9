package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.WhatIf;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFile;
import cairn.io.listing.CompareReport;
import cairn.io.report.CloseUp;
import cairn.io.report.Marked;
import cairn.io.report.Report;
import cairn.io.report.ReportPage;
import cairn.io.report.SecondPass;
import cairn.io.report.Section;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Writes a report to look at. */
@Command(
    name = "report",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Writes one page of HTML that needs nothing but itself, for a phone, a screen or paper: first"
          + " in plain words, then in figures, what stands out in the song, which stems make it,"
          + " what the fixes do about it, and the highest moments from near.",
      "",
      "The fixes are the marks of the session; where it has none, those that cairn plan proposes."
          + " With --since the page tells what became of an earlier export instead.",
      "",
      "Louder is louder in every room: turn the monitors down before you compare.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn report parade --to report.html",
      "  cairn report parade --goal -14 --reference track.wav --to report.html",
      "  cairn report parade-2 --since parade --to second.html",
    })
final class ReportCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private MarkSource source;

  @Option(
      names = "--since",
      paramLabel = "OLD",
      description =
          "Hold the stems against an earlier export of them, a folder, at its line, and tell what"
              + " became of each of its moments.")
  private Path since;

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "Show the spectrum beside that of a finished track.")
  private Path reference;

  @Option(
      names = "--top",
      paramLabel = "N",
      defaultValue = "6",
      description = "Show the highest N moments from near. Default: ${DEFAULT-VALUE}.")
  private int top;

  @Option(
      names = "--to",
      required = true,
      paramLabel = "FILE",
      description = "The page to write, such as report.html.")
  private Path target;

  @Option(names = "--force", description = "Replace the file if it is there.")
  private boolean force;

  /** More pictures than this make a page that no phone likes. */
  private static final int MOST_CLOSE_UPS = 50;

  ReportCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    if (top < 0 || top > MOST_CLOSE_UPS) {
      throw new ParameterException(
          spec.commandLine(), "--top must be 0 to " + MOST_CLOSE_UPS + ": --top " + top);
    }
    if (!target.toString().toLowerCase(Locale.ROOT).matches(".*\\.x?html?")) {
      // Under another name it might be taken for a stem.
      OutputPlace.refuseAmongStems(source.options().stems(), target);
    }
    OutputPlace.refuseTaken(target, force);
    if (since != null) {
      SinceFolder.check(spec.commandLine(), since, source.options());
    }
    try (Analysing analysing =
        since == null
            ? source.openOrPlan(console)
            : new Analysing(
                console, source.options(), set -> EarlierSession.in(since, console, set))) {
      Optional<CompareReport> spectrum = Optional.empty();
      if (reference != null) {
        spectrum =
            Optional.of(
                CompareCommand.withReference(
                    analysing.session(),
                    analysing.files(),
                    SafeText.of(analysing.set().folder().getFileName()),
                    reference));
      }
      if (since == null) {
        first(analysing, spectrum);
      } else {
        second(analysing, spectrum);
      }
    }
    return 0;
  }

  private void first(Analysing analysing, Optional<CompareReport> spectrum)
      throws IOException, Unanalysable {
    Pass pass = analysing.run(Metering.STEMS);
    MarkSource.Taken taken = source.takeOrPlan(console, analysing, pass);
    Pass held = taken.pass();
    try (WhatIf whatIf = WhatIf.of(held, analysing.files()).to(taken.marks())) {
      Marked marked = taken.plan().map(plan -> Marked.of(plan, whatIf)).orElse(Marked.of(whatIf));
      write(
          analysing,
          new Report(
              title(analysing),
              analysing.set(),
              held,
              analysing.tempo(),
              sections(analysing),
              Optional.of(marked),
              Optional.empty(),
              spectrum,
              closeUps(whatIf, held)));
    }
  }

  private void second(Analysing analysing, Optional<CompareReport> spectrum)
      throws IOException, Unanalysable {
    Analysing.Compared both = analysing.runSince(since, Metering.STEMS, Metering.BUS);
    try (WhatIf whatIf = WhatIf.of(both.pass(), analysing.files())) {
      write(
          analysing,
          new Report(
              title(analysing),
              analysing.set(),
              both.pass(),
              analysing.tempo(),
              sections(analysing),
              Optional.empty(),
              Optional.of(new SecondPass(both.earlier(), both.since())),
              spectrum,
              closeUps(whatIf, both.pass())));
    }
  }

  private static String title(Analysing analysing) {
    return SafeText.of(analysing.set().folder().getFileName());
  }

  private static List<Section> sections(Analysing analysing) {
    return analysing
        .saved()
        .map(
            saved ->
                saved.session().sections().stream()
                    .map(section -> new Section(SafeText.of(section.name()), section.range()))
                    .toList())
        .orElse(List.of());
  }

  private List<CloseUp> closeUps(WhatIf whatIf, Pass pass) throws IOException {
    List<CloseUp> closeUps = new ArrayList<>();
    // One of each kind: those alike look alike.
    for (Moment moment : pass.moments().stream().filter(Moment::isHead).limit(top).toList()) {
      closeUps.add(CloseUp.of(whatIf, moment, pass.session().sampleRateHz()));
    }
    return closeUps;
  }

  private void write(Analysing analysing, Report report) throws IOException {
    List<Path> inputs = new ArrayList<>(analysing.inputs());
    if (reference != null) {
      inputs.add(reference);
    }
    WholeFile.write(target, force, inputs, out -> ReportPage.write(report, out));
    analysing.files().verifyUnchanged();
    console.note("written to " + SafeText.of(target) + ": " + Files.size(target) / 1024 + " KiB");
  }
}
