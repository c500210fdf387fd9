package cairn.tui.command;

import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.cue.CueList;
import cairn.collisions.signal.MixDown;
import cairn.collisions.time.TempoMap;
import cairn.collisions.time.TimeNotation;
import cairn.collisions.time.Timecode;
import cairn.io.cue.CueFile;
import cairn.io.cue.CueFormat;
import cairn.io.cue.CueSheet;
import cairn.io.cue.CueWave;
import cairn.io.files.FileNames;
import cairn.io.files.SafeText;
import cairn.io.midi.MarkerGrid;
import cairn.io.stems.StemFile;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
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

/** Writes the cue list for the desk. */
@Command(
    name = "cues",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Writes the marks as a cue list for the desk: one cue a mark and place, on the sample of the"
          + " moment's peak, with the stem, what to do, and the stretch to cut.",
      "",
      "The file's ending says the format: .csv, .json, .txt (for paper), .mid (markers of a Standard"
          + " MIDI File) or .wav (cue points and regions, in silence as long as the song). Samples"
          + " count from the common start of the stems.",
      "",
      "MIDI markers are on their samples, in a tempo that is not the song's; with a tempo or a tempo"
          + " map they follow the song's, and it is said how far beside their samples they lie.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn cues parade --to cues.csv                      the marks of the session",
      "  cairn cues parade --plan --to cues.mid               what the planner proposes",
      "  cairn cues parade --all --top 20 --to cues.txt       the 20 highest moments",
      "  cairn cues parade --plan --to cues.wav               markers in a WAVE file",
      "  cairn cues parade --to cues.csv --start 01:00:00:00 --rate 25",
      "  cairn cues parade --to sheets --per-stem --format text",
    })
final class CuesCommand implements Callable<Integer> {

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private MarkSource source;

  @Option(
      names = "--to",
      required = true,
      paramLabel = "FILE",
      description = "The file to write; with --per-stem the folder.")
  private Path target;

  @Option(names = "--force", description = "Replace the file if it is there.")
  private boolean force;

  @ArgGroup(exclusive = false, heading = "%nWhat is written:%n")
  private WhatOptions what = new WhatOptions();

  /** Which cues. */
  static final class WhatOptions {
    @Option(
        names = "--all",
        description = "A cue for every listed moment too, not for marked ones alone.")
    private boolean all;

    @Option(
        names = "--stem",
        paramLabel = "NAME",
        description = "Only cues of this stem. May be a pattern.")
    private List<String> stem = List.of();

    @Option(
        names = "--top",
        paramLabel = "N",
        description = "Only the N moments that stand out most.")
    private Long top;

    @Option(names = "--skip-done", description = "Leave out what was carried out.")
    private boolean skipDone;

    @Option(names = "--per-stem", description = "One file a stem, in the folder --to.")
    private boolean perStem;
  }

  @ArgGroup(exclusive = false, heading = "%nHow it is written:%n")
  private HowOptions how = new HowOptions();

  /** Format and times. */
  static final class HowOptions {
    @Option(
        names = "--format",
        paramLabel = "FORMAT",
        description = "csv, json, text, midi or wave. Default: by the file's ending.")
    private CueFormat format;

    @Option(
        names = "--notation",
        paramLabel = "HOW",
        description =
            "Times as clock (m:ss.mmm), samples, bars or timecode. Default: timecode with --rate,"
                + " bars with a tempo, else clock.")
    private Notation notation;

    @Option(
        names = "--start",
        paramLabel = "WHERE",
        description =
            "What the start of the stems is called: a time code such as 01:00:00:00, or timeref"
                + " for the time reference in their bext chunks.")
    private String start;

    @Option(
        names = "--rate",
        paramLabel = "FPS",
        description = "Time code of 23.976, 24, 25, 29.97, 29.97drop or 30.")
    private String rate;

    @Option(
        names = "--midi",
        paramLabel = "WHAT",
        description =
            "MIDI markers: exact (on their samples) or tempo (in the song's tempo). Default: tempo"
                + " where it is known.")
    private Midi midi;

    @Option(
        names = "--sound",
        paramLabel = "WHAT",
        defaultValue = "SILENCE",
        description =
            "What a WAVE file sounds like: silence (the default), or bus, the sum of the stems at"
                + " its full level (turn your speakers down before you listen).")
    private Sound sound = Sound.SILENCE;
  }

  /** How times are written. */
  enum Notation {
    CLOCK,
    SAMPLES,
    BARS,
    TIMECODE
  }

  /** Which grid MIDI markers are on. */
  enum Midi {
    EXACT,
    TEMPO
  }

  /** What a WAVE file sounds like. */
  enum Sound {
    SILENCE,
    BUS
  }

  private static final String TIME_REFERENCE = "timeref";

  CuesCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException, Unanalysable {
    CueFormat format = format();
    Optional<Timecode> rate = checkedRate();
    if (what.top != null && what.top < 1) {
      throw wrong("--top must be 1 or more: --top " + what.top);
    }
    if (format == CueFormat.WAVE) {
      OutputPlace.refuseAmongStems(source.options().stems(), target);
    }
    if (!what.perStem) {
      OutputPlace.refuseTaken(target, force);
    }
    try (Analysing analysing = source.open(console)) {
      Set<Integer> stems = new HashSet<>();
      for (String typed : what.stem) {
        stems.addAll(source.options().names(analysing.set()).find("--stem", typed));
      }
      TimeNotation notation = notation(analysing, rate);
      if (how.midi == Midi.TEMPO && analysing.tempo().isEmpty()) {
        throw wrong("--midi tempo needs a tempo: add --tempo BPM or --tempo-map FILE");
      }
      MarkSource.Taken taken = source.take(console, analysing, analysing.run());
      Pass pass = taken.pass();
      CueList list =
          what.all
              ? CueList.ofAll(pass, taken.marks(), notation, taken.done())
              : CueList.of(pass, taken.marks(), notation, taken.done());
      if (list.isEmpty()) {
        throw what.all
            ? new IOException("nothing is over the line; lower it with --margin or --line")
            : source.nothing(analysing, true);
      }
      list = narrowed(list, stems);
      write(analysing, list, format);
    }
    return 0;
  }

  private CueList narrowed(CueList list, Set<Integer> stems) throws IOException {
    CueList narrowed = what.skipDone ? list.withoutDone() : list;
    if (narrowed.isEmpty()) {
      throw new IOException("all is done; leave out --skip-done to have it all the same");
    }
    narrowed = stems.isEmpty() ? narrowed : narrowed.ofStems(stems);
    if (narrowed.isEmpty()) {
      throw new IOException(
          "no cue is on "
              + String.join(", ", what.stem.stream().map(SafeText::of).toList())
              + "; cues are on "
              + String.join(
                  ", ",
                  list.stems().stream().map(k -> list.session().stems().get(k).name()).toList()));
    }
    return what.top == null ? narrowed : narrowed.top(what.top);
  }

  private void write(Analysing analysing, CueList list, CueFormat format) throws IOException {
    Optional<TempoMap> tempo = analysing.tempo();
    String name = String.valueOf(analysing.set().folder().getFileName());
    Map<Path, CueSheet> files = new LinkedHashMap<>();
    if (what.perStem) {
      Files.createDirectories(target);
      Set<String> used = new HashSet<>();
      for (int k : list.stems()) {
        String stem = list.session().stems().get(k).name();
        files.put(
            target.resolve(FileNames.unique(stem, format.ending(), used)),
            new CueSheet(SafeText.of(name) + ", " + stem, list.ofStems(Set.of(k)), tempo));
      }
    } else {
      files.put(target, new CueSheet(SafeText.of(name), list, tempo));
    }
    try (MixDown bus = new MixDown(analysing.session(), analysing.files().openReader())) {
      Optional<CueWave.Sound> sound =
          how.sound == Sound.BUS ? Optional.of(bus::sum) : Optional.empty();
      CueFile.How written = new CueFile.How(format, how.midi == Midi.EXACT, sound);
      for (Map.Entry<Path, CueSheet> file : files.entrySet()) {
        CueFile.write(file.getValue(), written, file.getKey(), force, analysing.inputs());
      }
      console.note(
          "written to "
              + SafeText.of(target)
              + ": "
              + count(list.cues().size(), "cue")
              + " on "
              + count(list.stems().size(), "stem"));
      if (format == CueFormat.MIDI) {
        console.note(midiWords(new CueSheet(name, list, tempo), written));
      }
      if (format == CueFormat.WAVE) {
        noteMany(files);
      }
    }
  }

  private void noteMany(Map<Path, CueSheet> files) {
    int most = files.values().stream().mapToInt(CueWave::points).max().orElse(0);
    if (most > CueWave.MANY_POINTS) {
      console.warning(
          most
              + " cue points in one WAVE file: some programs read no more than "
              + CueWave.MANY_POINTS
              + "; use --top, --stem or --per-stem");
    }
  }

  private static String midiWords(CueSheet sheet, CueFile.How written) throws IOException {
    MarkerGrid grid = CueFile.grid(sheet, written);
    int rate = sheet.list().session().sampleRateHz();
    if (sheet.tempo().isEmpty() || written.exactMidi()) {
      return String.format(
          Locale.ROOT,
          "every marker is on its sample at %d Hz; the tempo in the file is not the song's",
          rate);
    }
    double worst = CueFile.worstErrorFrames(sheet, written);
    String start =
        Math.abs(grid.startSeconds()) < 0.5 / rate
            ? ""
            : String.format(
                Locale.ROOT,
                "; the file begins %.6f s %s the stems do",
                Math.abs(grid.startSeconds()),
                grid.startSeconds() < 0 ? "before" : "after");
    return String.format(
        Locale.ROOT,
        "markers follow the song's tempo, %d ticks a quarter note: here up to %.1f samples"
            + " (%.2f ms) beside their samples, at most %.1f; --midi exact puts them on their"
            + " samples%s",
        grid.ticksPerQuarter(),
        worst,
        1000 * worst / rate,
        grid.worstErrorFrames(),
        start);
  }

  private static String count(int number, String one) {
    return number + " " + one + (number == 1 ? "" : "s");
  }

  private CueFormat format() {
    if (how.format != null) {
      return how.format;
    }
    if (what.perStem) {
      throw wrong("--per-stem writes into a folder: say --format csv, json, text, midi or wave");
    }
    return CueFormat.of(target)
        .orElseThrow(
            () ->
                wrong(
                    "the ending of '"
                        + target
                        + "' tells no format: use .csv, .json, .txt, .mid or .wav, or --format"));
  }

  /** The rate, after the ways in which times are asked for were checked against each other. */
  private Optional<Timecode> checkedRate() {
    boolean code = how.notation == Notation.TIMECODE || (how.notation == null && how.rate != null);
    boolean label = how.start != null && !how.start.equalsIgnoreCase(TIME_REFERENCE);
    if (how.notation == Notation.TIMECODE && how.rate == null) {
      throw wrong("--notation timecode needs a rate: add --rate " + Timecode.FPS_25.text());
    }
    if (how.rate != null && !code) {
      throw wrong("--rate is for time code: add --notation timecode, or leave it out");
    }
    if (label && !code) {
      throw wrong("--start " + how.start + " is a time code: add --rate " + Timecode.FPS_25.text());
    }
    if (how.start != null && how.notation == Notation.BARS) {
      throw wrong("--start goes with clock, samples and timecode; bars start with --bar-one");
    }
    if (how.rate == null) {
      return Optional.empty();
    }
    Timecode rate =
        Timecode.named(how.rate)
            .orElseThrow(
                () -> wrong("--rate must be one of " + Timecode.names() + ": --rate " + how.rate));
    if (label) {
      firstPicture(rate);
    }
    return Optional.of(rate);
  }

  private long firstPicture(Timecode rate) {
    try {
      return rate.picture(how.start);
    } catch (IllegalArgumentException e) {
      throw wrong("--start: " + e.getMessage());
    }
  }

  private TimeNotation notation(Analysing analysing, Optional<Timecode> rate) throws IOException {
    boolean timeReference = TIME_REFERENCE.equalsIgnoreCase(how.start);
    long origin = timeReference ? timeReference(analysing) : 0;
    Optional<TempoMap> tempo = analysing.tempo();
    Notation chosen = how.notation;
    if (chosen == null) {
      chosen =
          rate.isPresent()
              ? Notation.TIMECODE
              : tempo.isPresent() && !timeReference ? Notation.BARS : Notation.CLOCK;
    }
    return switch (chosen) {
      case CLOCK -> new TimeNotation.Clock(origin);
      case SAMPLES -> new TimeNotation.Samples(origin);
      case BARS ->
          new TimeNotation.BarsBeats(
              tempo.orElseThrow(
                  () ->
                      wrong("--notation bars needs a tempo: add --tempo BPM or --tempo-map FILE")));
      case TIMECODE -> {
        Timecode code = rate.orElseThrow();
        boolean label = how.start != null && !timeReference;
        yield new TimeNotation.Code(code, label ? firstPicture(code) : 0, origin);
      }
    };
  }

  /** The time reference of sample 0 of the session. */
  private static long timeReference(Analysing analysing) throws IOException {
    List<StemFile> told =
        analysing.set().stems().stream().filter(stem -> stem.broadcast().isPresent()).toList();
    if (told.isEmpty()) {
      throw new IOException(
          "no stem has a time reference; write what the start is called, such as --start"
              + " 01:00:00:00 --rate 25");
    }
    // Where stems are placed by their references, each is its offset later than sample 0.
    Set<Long> origins = new HashSet<>();
    for (StemFile stem : told) {
      origins.add(stem.broadcast().orElseThrow().timeReference() - stem.offset());
    }
    if (origins.size() > 1) {
      throw new IOException(
          "the time references of the stems differ, so their common start has no one name; use"
              + " --place timeref, or write what it is called, such as --start 01:00:00:00 --rate"
              + " 25");
    }
    return origins.iterator().next();
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
