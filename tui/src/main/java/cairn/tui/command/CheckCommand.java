package cairn.tui.command;

import cairn.collisions.Analysis;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.check.Finding;
import cairn.collisions.check.Likeness;
import cairn.collisions.check.MomentInPrint;
import cairn.collisions.check.PlacedPrint;
import cairn.collisions.check.PrintComparison;
import cairn.collisions.check.PrintFindings;
import cairn.collisions.check.StemAudit;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.spectrum.Alignment;
import cairn.io.files.SafeText;
import cairn.io.listing.CheckJson;
import cairn.io.listing.CheckReport;
import cairn.io.listing.CheckText;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import cairn.tui.effect.StemCheck;
import cairn.tui.effect.Workers;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Checks whether stems are fit to be analysed. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Looks at the stems before the hunt: rates, lengths, time references, bit depths, clipped"
          + " and silent stems, constant offsets, doubles, a full mix among them, names that other"
          + " systems confuse. What list and plan would refuse is reported here instead.",
      "",
      "With the bounced mix beside (--print) also: where it lies, its gain and polarity, what the"
          + " null test leaves, which stem is most likely missing or at another level, whether"
          + " something worked on the mix bus, and which moments can be seen in the mix too.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn check parade                     what is wrong, and what to do",
      "  cairn check parade --print mix.wav     held against the mix",
      "  cairn check parade --letter            a text for whoever sent the stems",
      "",
      "Exit status 0 says that the check was done, whatever it found. Stems are only read,"
          + " never changed.",
    })
final class CheckCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Parameters(
      arity = "1..*",
      paramLabel = "STEMS",
      description = "A folder of stems, or the stem files themselves: WAVE, AIFF, FLAC.")
  private List<Path> stems;

  @Option(
      names = "--print",
      paramLabel = "FILE",
      description = "The bounced mix of the same song, to hold the sum against.")
  private Path print;

  @Option(names = "--letter", description = "Print a letter to whoever sent the stems.")
  private boolean letter;

  @Option(names = "--json", description = "Print JSON (schema cairn-check/1).")
  private boolean json;

  @Option(names = "--no-pairs", description = "Keep two mono files named ... L and ... R apart.")
  private boolean noPairs;

  @Option(
      names = "--place",
      paramLabel = "WHERE",
      defaultValue = "START",
      description = "Where stems start: start (all together, the default) or timeref.")
  private ScanOptions.Place place;

  @Option(
      names = "--threads",
      paramLabel = "N",
      description = "Threads to work with. Default: one for each processor, at most 16.")
  private Integer threads;

  CheckCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if (letter && json) {
      throw new ParameterException(spec.commandLine(), "--letter and --json: leave one out");
    }
    if (threads != null && (threads < 1 || threads > 256)) {
      throw new ParameterException(
          spec.commandLine(), "--threads must be 1 to 256: --threads " + threads);
    }
    int workers =
        threads == null ? Math.min(16, Runtime.getRuntime().availableProcessors()) : threads;
    ExecutorService pool = Workers.pool(workers);
    try {
      CheckReport report = check(new Crew(pool, workers));
      if (json) {
        console.print(out -> CheckJson.write(report, out));
      } else {
        console.print(letter ? CheckText.letter(report) : CheckText.lines(report));
      }
    } finally {
      pool.shutdownNow();
    }
    return 0;
  }

  private CheckReport check(Crew crew) throws IOException {
    Survey survey = StemFolder.survey(stems, new ScanOptions(!noPairs, place));
    StemCheck found = StemCheck.of(survey, crew, Progress.NONE);
    String folder = SafeText.of(survey.folder());
    Optional<StemSet> readable = survey.set(found.sound());
    if (readable.isEmpty()) {
      return new CheckReport(
          folder, List.of(), 0, 0, found.findings(), Optional.empty(), List.of());
    }
    CheckReport report =
        new CheckReport(
            folder,
            found.sound().stream().map(StemFile::name).toList(),
            readable.get().sampleRateHz(),
            readable.get().toSession().frames(),
            found.findings(),
            Optional.empty(),
            List.of());
    return print == null
        ? report
        : withPrint(
            report, survey, found.sound(), found.audits(), found.likeness().orElseThrow(), crew);
  }

  /** Mixes among the stems are no part of the sum that the mix is held against. */
  private CheckReport withPrint(
      CheckReport report,
      Survey survey,
      List<StemFile> sound,
      List<StemAudit> audits,
      Likeness likeness,
      Crew crew)
      throws IOException {
    Set<Integer> mixes =
        likeness.fullMixes().stream().map(Likeness.FullMix::stem).collect(Collectors.toSet());
    List<Integer> kept =
        IntStream.range(0, sound.size()).filter(k -> !mixes.contains(k)).boxed().toList();
    StemSet set = survey.set(kept.stream().map(sound::get).toList()).orElseThrow();
    Session session = set.toSession();
    StemSet printSet = StemFolder.scan(List.of(print), ScanOptions.DEFAULT.withPairs(false));
    String name = SafeText.of(print.getFileName());
    List<Finding> findings = new ArrayList<>(report.findings());
    Optional<PrintComparison> comparison = Optional.empty();
    List<MomentInPrint> moments = List.of();
    if (printSet.stems().size() != 1) {
      throw new ParameterException(spec.commandLine(), "--print takes one file: --print " + name);
    }
    if (printSet.sampleRateHz() != set.sampleRateHz()) {
      findings.add(PrintFindings.otherRate(name, printSet.sampleRateHz(), set.sampleRateHz()));
    } else {
      try (StemFiles files = set.open();
          StemFiles printFiles = printSet.open()) {
        Session printSession = printSet.toSession();
        Optional<Alignment> found =
            PrintComparison.align(
                session,
                files,
                powers(kept.stream().map(audits::get).toList()),
                audits.get(0).stretchFrames(),
                printSession,
                printFiles);
        if (found.isPresent() && !found.get().isSameSong()) {
          findings.add(PrintFindings.otherSong(name, found.get()));
        } else {
          if (found.isPresent()) {
            PlacedPrint placed = new PlacedPrint(printSession, printFiles, found.get().lagFrames());
            comparison =
                PrintComparison.of(session, files, placed, found.get(), crew, Progress.NONE);
            if (comparison.isPresent()) {
              findings.addAll(
                  PrintFindings.of(session, name, printSession.frames(), comparison.get()));
              moments = moments(session, files, placed, comparison.get(), crew);
            }
          }
          if (comparison.isEmpty()) {
            findings.add(PrintFindings.silent(name));
          }
        }
      }
    }
    return new CheckReport(
        report.folder(),
        set.stems().stream().map(StemFile::name).toList(),
        report.sampleRateHz(),
        report.frames(),
        findings,
        comparison,
        moments);
  }

  private static List<MomentInPrint> moments(
      Session session, StemFiles files, PlacedPrint print, PrintComparison comparison, Crew crew)
      throws IOException {
    try {
      return MomentInPrint.of(
          new Analysis(session, files, crew, Progress.NONE).run(Settings.DEFAULT),
          print,
          comparison);
    } catch (Unanalysable e) {
      return List.of(); // no moment can be told: the findings say why
    }
  }

  private static double[] powers(List<StemAudit> audits) {
    double[] powers = new double[audits.stream().mapToInt(StemAudit::stretches).max().orElse(0)];
    audits.forEach(audit -> audit.addPowersTo(powers));
    return powers;
  }
}
