package cairn.tui.command;

import cairn.collisions.Fader;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Yokes;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.time.TempoEstimate;
import cairn.collisions.time.TempoMap;
import cairn.io.cache.FirstPassFolder;
import cairn.io.files.SafeText;
import cairn.io.midi.TempoMapFile;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/**
 * What every command that analyses stems is told: the stems, their faders, the line, the time. The
 * end of the stretch to look at is {@code --to}, but {@code --until} where {@code --to} names what
 * is written.
 */
abstract sealed class SessionOptions {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Parameters(
      arity = "1..*",
      paramLabel = "STEMS",
      description = "A folder of stems, or the stem files themselves: WAVE, AIFF, FLAC.")
  private List<Path> stems;

  @Option(names = "--no-pairs", description = "Keep two mono files named ... L and ... R apart.")
  private boolean noPairs;

  @Option(
      names = "--place",
      paramLabel = "WHERE",
      defaultValue = "START",
      description =
          "Where stems start: start (all together, the default) or timeref (at the time"
              + " reference in their bext chunk).")
  private ScanOptions.Place place = ScanOptions.Place.START;

  @ArgGroup(exclusive = false, heading = "%nThe line:%n")
  private LineOptions line = new LineOptions();

  /** How the line is drawn. */
  static final class LineOptions {
    @Option(
        names = "--margin",
        paramLabel = "DB",
        description = "The line stands so far above the average peak. Default: 1.0 dB.")
    private Double marginDb;

    @Option(
        names = "--line",
        paramLabel = "DBFS",
        description = "The line at a level in dBFS; with --true-peak in dBTP.")
    private Double levelDb;

    @Option(
        names = "--baseline",
        paramLabel = "WHAT",
        defaultValue = "LOUD",
        description =
            "What the average peak is the mean of: loud (the loudest 30 s, the default), song,"
                + " or local (the 33 windows about each place).")
    private Baseline baseline = Baseline.LOUD;

    @Option(
        names = "--section",
        paramLabel = "FROM-TO",
        converter = Clock.Span.Converter.class,
        description = "Take this section for the loud part: 1:54-2:48.")
    private Clock.Span section;

    @Option(
        names = "--window",
        paramLabel = "WHAT",
        defaultValue = "HALF",
        description = "Windows of the average peak: half (half a second, the default) or beat.")
    private Window window = Window.HALF;

    @Option(
        names = "--true-peak",
        negatable = true,
        description =
            "Read all levels, and what fixes leave, from true peaks (dBTP): moments between samples"
                + " are found too. The default is samples (dBFS), or what the session was kept"
                + " in.")
    private Boolean truePeak;
  }

  /** How long the windows of the average peak are. */
  enum Window {
    HALF,
    BEAT
  }

  @ArgGroup(exclusive = false, heading = "%nA loudness goal:%n")
  private GoalOptions goal = new GoalOptions();

  /** What the master is to come to. */
  static final class GoalOptions {
    @Option(
        names = "--goal",
        paramLabel = "LUFS",
        description =
            "The loudness to reach, such as -8. The line is then the level above which a limiter"
                + " would have to take more than it may, unless --margin or --line draws"
                + " another. Louder is louder in every room: turn the monitors down before you"
                + " compare.")
    private String lufs;

    @Option(
        names = "--ceiling",
        paramLabel = "DB",
        description = "Where the limiter stands: -1 (the default), -1dBFS, -1dBTP.")
    private String ceiling;

    @Option(
        names = "--limiter",
        paramLabel = "DB",
        description =
            "How much the limiter may take. Default: 3 dB; 2 to 3 stays clean, 5 to 6 and more"
                + " is heard (common practice).")
    private Double allowanceDb;

    @Option(
        names = "--goal-part",
        paramLabel = "WHAT",
        description =
            "What the goal is for: loud (the loud part or --section, the default) or song (all"
                + " of it).")
    private Goal.Part part;
  }

  /** Which part of the song, and its bars and beats. */
  private static class TimeOptions {
    @Option(
        names = "--from",
        order = 1,
        paramLabel = "TIME",
        converter = Clock.Converter.class,
        description = "Look at the song from here on: 1:54, 1:54.250, or seconds.")
    private Clock from;

    @Option(
        names = "--tempo",
        order = 3,
        paramLabel = "BPM",
        description =
            "Quarter notes a minute; shows bar|beat|tick (960 ticks a beat). Or estimate: a"
                + " constant tempo is worked out from the stems, 60 to 180, and shown as an"
                + " estimate.")
    private String tempo;

    @Option(names = "--meter", order = 4, paramLabel = "N/N", description = "Meter. Default: 4/4.")
    private String meter;

    @Option(
        names = "--tempo-map",
        order = 5,
        paramLabel = "FILE",
        description = "Tempo and meter, also where they change, from a Standard MIDI File.")
    private Path tempoMap;

    @Option(
        names = "--bar-one",
        order = 6,
        paramLabel = "SECONDS",
        description = "Time of bar 1, beat 1. Default: 0.")
    private Double barOne;
  }

  @ArgGroup(exclusive = false, heading = "%nFaders (NAME may be a pattern: 'surdo*'):%n")
  private FaderOptions fader = new FaderOptions();

  /** How stems go into the bus. */
  static final class FaderOptions {
    @Option(names = "--gain", paramLabel = "NAME=DB", description = "Turn a stem up or down.")
    private List<String> gain = List.of();

    @Option(names = "--mute", paramLabel = "NAME", description = "Leave a stem out.")
    private List<String> mute = List.of();

    @Option(names = "--only", paramLabel = "NAME", description = "Leave all others out (solo).")
    private List<String> only = List.of();

    @Option(
        names = "--yoke",
        paramLabel = "NAME,NAME",
        description =
            "Stems that move together, such as a drum and its low layer: a nudge or trim of one"
                + " acts on all of them. May be patterns, and given more than once.")
    private List<String> yoke = List.of();

    @Option(names = "--polarity", paramLabel = "NAME", description = "Reverse a stem's polarity.")
    private List<String> polarity = List.of();

    @Option(
        names = "--offset",
        paramLabel = "NAME=SHIFT",
        description =
            "Move a stem by samples or milliseconds, later or, with a minus, earlier: bass=24,"
                + " bass=-0.5ms.")
    private List<String> offset = List.of();

    @Option(
        names = "--mono-gain",
        paramLabel = "DB",
        description =
            "Gain of mono stems on their way into both channels. Default: 0; -3 where the"
                + " desk's centre takes 3 dB off.")
    private double monoGainDb;
  }

  @Option(
      names = "--threads",
      paramLabel = "N",
      description = "Threads to work with. Default: one for each processor, at most 16.")
  private Integer threads;

  @Option(
      names = "--no-cache",
      description = "Read all stems again, and keep nothing of them in the cache folder.")
  private boolean noCache;

  private TempoMapFile.Found readTempoMap;
  private TempoEstimate estimate;

  private static final String ESTIMATE = "estimate";

  private static final Pattern SHIFT =
      Pattern.compile("([+-]?\\d+(?:\\.\\d+)?) *(ms|samples?)?", Pattern.CASE_INSENSITIVE);
  private static final Pattern METER = Pattern.compile("(\\d{1,2})/(\\d{1,2})");

  private CommandLine commandLine() {
    return spec.commandLine();
  }

  private ParameterException wrong(String message) {
    return new ParameterException(commandLine(), message);
  }

  /** All options at their defaults, where no command line has been taken apart. */
  void setStems(List<Path> paths) {
    stems = paths;
  }

  List<Path> stems() {
    if (stems.stream().anyMatch(path -> path.toString().isEmpty())) {
      // The system takes the empty name for the current folder, which nobody meant.
      throw wrong("STEMS must have a name, not ''; the folder that you are in is called .");
    }
    return stems;
  }

  ScanOptions scan() {
    return new ScanOptions(!noPairs, place);
  }

  /** Where passes over the open stems are kept. */
  PassMemory memory(Console console, StemFiles files) {
    return noCache
        ? PassMemory.NONE
        : FirstPassFolder.of(console.home().folders(), files, console.home().clock());
  }

  int threads() {
    if (threads == null) {
      return Math.min(16, Runtime.getRuntime().availableProcessors());
    }
    if (threads < 1 || threads > 256) {
      throw wrong("--threads must be 1 to 256: --threads " + threads);
    }
    return threads;
  }

  StemNames names(StemSet set) {
    return new StemNames(this::commandLine, set.stems());
  }

  /** The stems with the faders as asked. */
  Session session(StemSet set) {
    return session(set, set.toSession().faders(), 0);
  }

  /**
   * The stems with the faders as asked, where nothing was asked as they were saved.
   *
   * @param saved one fader a stem
   * @param savedMonoGainDb gain of mono stems in dB
   */
  Session session(StemSet set, List<Fader> saved, double savedMonoGainDb) {
    StemNames names = names(set);
    return session(set, saved, savedMonoGainDb, names::find);
  }

  /** The same of earlier stems, where a stem that was named need not be there yet. */
  Session earlierSession(StemSet set) {
    return earlierSession(set, set.toSession().faders(), 0);
  }

  /**
   * The same, where nothing was asked as they were saved.
   *
   * @param saved one fader a stem
   * @param savedMonoGainDb gain of mono stems in dB
   */
  Session earlierSession(StemSet set, List<Fader> saved, double savedMonoGainDb) {
    StemNames names = names(set);
    return session(
        set,
        saved,
        savedMonoGainDb,
        (option, typed) -> {
          try {
            return names.find(option, typed);
          } catch (StemNames.NoSuchStem e) {
            return List.of();
          }
        });
  }

  /** Finds the stems that an option names. */
  @FunctionalInterface
  private interface Finder {
    List<Integer> find(String option, String typed);
  }

  private Session session(StemSet set, List<Fader> saved, double savedMonoGainDb, Finder names) {
    Session plain = set.toSession();
    List<Fader> faders = new ArrayList<>(saved);
    for (String typed : fader.gain) {
      String[] parts = nameAndAmount("--gain", typed, "surdo=-1.5");
      double gainDb = decibels("--gain", typed, parts[1]);
      change(names.find("--gain", parts[0]), faders, f -> f.withGainDb(gainDb));
    }
    for (String typed : fader.offset) {
      String[] parts = nameAndAmount("--offset", typed, "bass=24 or bass=-0.5ms");
      long shift = shift(typed, parts[1], set.sampleRateHz());
      change(names.find("--offset", parts[0]), faders, f -> f.withOffset(f.offset() + shift));
    }
    for (String typed : fader.polarity) {
      change(names.find("--polarity", typed), faders, f -> f.withReversed(true));
    }
    for (String typed : fader.mute) {
      change(names.find("--mute", typed), faders, f -> f.withMuted(true));
    }
    for (String typed : fader.only) {
      change(names.find("--only", typed), faders, f -> f.withSoloed(true));
    }
    if (!(Math.abs(fader.monoGainDb) <= 144)) {
      throw wrong("--mono-gain must be -144 to 144 dB: --mono-gain " + fader.monoGainDb);
    }
    double monoGainDb = fader.monoGainDb == 0 ? savedMonoGainDb : fader.monoGainDb;
    Yokes yokes = Yokes.NONE;
    for (String typed : fader.yoke) {
      yokes = yokes.with(yoked(typed, names));
    }
    return new Session(set.sampleRateHz(), monoGainDb, plain.stems(), faders, yokes);
  }

  /** The stems that one {@code --yoke} names. */
  private List<Integer> yoked(String typed, Finder names) {
    Set<Integer> found = new TreeSet<>();
    for (String name : typed.split(",", -1)) {
      found.addAll(names.find("--yoke", name));
    }
    if (found.size() < 2) {
      throw wrong(
          "--yoke must name two stems or more, as in --yoke 'surdo low,surdo two': --yoke '"
              + SafeText.of(typed)
              + "'");
    }
    return List.copyOf(found);
  }

  private static void change(List<Integer> found, List<Fader> faders, UnaryOperator<Fader> change) {
    for (int k : found) {
      faders.set(k, change.apply(faders.get(k)));
    }
  }

  private String[] nameAndAmount(String option, String typed, String example) {
    // A name may hold an equals sign, an amount never does.
    int at = typed.lastIndexOf('=');
    if (at < 1 || at == typed.length() - 1) {
      throw wrong(option + " takes NAME=AMOUNT, such as " + example + ": " + option + " " + typed);
    }
    return new String[] {typed.substring(0, at), typed.substring(at + 1)};
  }

  private double decibels(String option, String typed, String amount) {
    String number = amount.strip().replaceFirst("(?i) *dB$", "");
    try {
      double db = Double.parseDouble(number);
      if (Math.abs(db) <= 144) {
        return db;
      }
    } catch (NumberFormatException e) {
      // Said below.
    }
    throw wrong(option + " takes a gain of -144 to 144 dB: " + option + " " + typed);
  }

  private long shift(String typed, String amount, int sampleRateHz) {
    Matcher form = SHIFT.matcher(amount.strip());
    if (!form.matches()) {
      throw wrong("--offset takes samples or milliseconds, such as bass=24: --offset " + typed);
    }
    String unit = form.group(2) == null ? "samples" : form.group(2).toLowerCase(Locale.ROOT);
    double number = Double.parseDouble(form.group(1));
    double shift = unit.equals("ms") ? Math.floor(number * sampleRateHz / 1000 + 0.5) : number;
    if (shift != Math.rint(shift) || Math.abs(shift) > 3600.0 * sampleRateHz) {
      throw wrong("--offset takes whole samples, and at most an hour: --offset " + typed);
    }
    return (long) shift;
  }

  /** The file that tempo and meter come from. */
  Optional<Path> tempoMapFile() {
    return Optional.ofNullable(time().tempoMap);
  }

  Optional<TempoMap> tempo() throws IOException {
    if (time().tempoMap != null) {
      return Optional.of(tempoMap().map());
    }
    if (time().tempo == null) {
      if (time().meter != null || time().barOne != null || line.window == Window.BEAT) {
        String option =
            time().meter != null
                ? "--meter"
                : time().barOne != null ? "--bar-one" : "--window beat";
        throw wrong(option + " needs a tempo: add --tempo BPM or --tempo-map FILE");
      }
      return Optional.empty();
    }
    TempoMap.Meter meter = meter();
    double barOne = barOne();
    if (!estimatesTempo()) {
      return Optional.of(new TempoMap(bpm(), meter.beatsPerBar(), meter.beatUnit(), barOne));
    }
    return Optional.ofNullable(estimate)
        .map(
            found ->
                new TempoMap(
                        found.quartersPerMinute(), meter.beatsPerBar(), meter.beatUnit(), barOne)
                    .asEstimate());
  }

  private TempoMap.Meter meter() {
    String typed = time().meter == null ? "4/4" : time().meter;
    Matcher form = METER.matcher(typed);
    if (form.matches()) {
      int beats = Integer.parseInt(form.group(1));
      int unit = Integer.parseInt(form.group(2));
      if (beats >= 1 && unit >= 1 && unit <= 64 && Integer.bitCount(unit) == 1) {
        return new TempoMap.Meter(0, beats, unit);
      }
    }
    throw wrong(
        "--meter takes a meter such as 4/4 or 6/8, its lower figure 1, 2, 4, 8, 16, 32 or 64:"
            + " --meter "
            + typed);
  }

  private double bpm() {
    try {
      double bpm = Double.parseDouble(time().tempo.strip());
      if (bpm > 0 && bpm <= 1000) {
        return bpm;
      }
    } catch (NumberFormatException e) {
      // Said below.
    }
    throw wrong(
        "--tempo takes quarter notes a minute, over 0 and at most 1000, or the word estimate:"
            + " --tempo "
            + time().tempo);
  }

  private double barOne() {
    if (time().barOne == null) {
      return 0;
    }
    if (!(Math.abs(time().barOne) <= 1e6)) {
      throw wrong("--bar-one must be within 1000000 s of the start: --bar-one " + time().barOne);
    }
    return time().barOne;
  }

  /** Whether the tempo is to be estimated from the stems. */
  boolean estimatesTempo() {
    return time().tempo != null && time().tempo.strip().equalsIgnoreCase(ESTIMATE);
  }

  /** Tells what was estimated; from then on it is the tempo. */
  void estimated(TempoEstimate found) {
    estimate = found;
  }

  /** Refuses an estimate where it could not be shown as one. */
  void refuseEstimate() {
    if (estimatesTempo()) {
      throw wrong("--tempo estimate is for list, plan, cues and report; here write it in BPM");
    }
  }

  /** What the file with the tempo map tells; read once. */
  TempoMapFile.Found tempoMap() throws IOException {
    if (time().tempo != null || time().meter != null) {
      throw wrong(
          "--tempo-map tells tempo and meter: leave out "
              + (time().tempo != null ? "--tempo" : "--meter"));
    }
    if (readTempoMap == null) {
      readTempoMap = TempoMapFile.read(time().tempoMap, barOne());
    }
    return readTempoMap;
  }

  /** Whether anything was asked for that settles line, goal, windows or range. */
  boolean asksForSettings() {
    return drawsLine()
        || goal.lufs != null
        || goal.ceiling != null
        || goal.allowanceDb != null
        || goal.part != null
        || line.baseline != Baseline.LOUD
        || line.section != null
        || line.window != Window.HALF
        || time().from != null
        || to().isPresent();
  }

  /** Whether a loudness goal is named. */
  boolean namesGoal() {
    return goal.lufs != null;
  }

  /** Whether the line moves with the song. */
  boolean movesLine() {
    return line.baseline == Baseline.LOCAL && line.levelDb == null;
  }

  /** Whether anything was asked for that settles how stems go into the bus. */
  boolean asksForFaders() {
    return !fader.gain.isEmpty()
        || !fader.mute.isEmpty()
        || !fader.only.isEmpty()
        || !fader.polarity.isEmpty()
        || !fader.offset.isEmpty()
        || fader.monoGainDb != 0;
  }

  /** Whether a line was asked for. */
  boolean drawsLine() {
    return line.marginDb != null || line.levelDb != null;
  }

  /** What levels are to be read from; empty: nothing was said of it. */
  Optional<PeakMode> mode() {
    return Optional.ofNullable(line.truePeak)
        .map(yes -> yes ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK);
  }

  /**
   * What is asked of the analysis.
   *
   * @param unlessAsked what levels are read from where nothing is said of it; a ceiling without a
   *     unit is of the kind that is read
   */
  Settings settings(Session session, PeakMode unlessAsked) throws IOException {
    PeakMode mode = mode().orElse(unlessAsked);
    int rate = session.sampleRateHz();
    if (line.marginDb != null && line.levelDb != null) {
      throw wrong("--margin and --line both draw the line: leave one out");
    }
    Line drawn = Line.DEFAULT;
    if (line.marginDb != null) {
      drawn = new Line.Margin(within("--margin", line.marginDb, -60, 60));
    } else if (line.levelDb != null) {
      drawn = new Line.Level(within("--line", line.levelDb, -144, 60));
    }
    Optional<TimeRange> section = Optional.empty();
    if (line.section != null) {
      if (line.baseline != Baseline.LOUD) {
        throw wrong("--section names the loud part: it goes with --baseline loud alone");
      }
      section = Optional.of(section(line.section, rate));
    }
    Settings settings =
        new Settings(
            timeRange(session),
            line.window == Window.BEAT ? tempo() : Optional.empty(),
            line.baseline,
            section,
            drawn);
    return goal(mode)
        .map(asked -> settings.withGoal(asked, !drawsLine()))
        .orElse(settings)
        .withMode(mode);
  }

  private Optional<Goal> goal(PeakMode mode) {
    if (goal.lufs == null) {
      if (goal.ceiling != null || goal.allowanceDb != null || goal.part != null) {
        String option =
            goal.ceiling != null
                ? "--ceiling"
                : goal.allowanceDb != null ? "--limiter" : "--goal-part";
        throw wrong(option + " needs a goal: add --goal LUFS");
      }
      return Optional.empty();
    }
    Matcher ceiling = level("--ceiling", goal.ceiling == null ? "-1" : goal.ceiling, "dB(FS|TP)?");
    String unit = ceiling.group(2);
    return Optional.of(
        new Goal(
            within("--goal", number(level("--goal", goal.lufs, "(LUFS|LKFS)")), -70, 0),
            within("--ceiling", number(ceiling), -60, 0),
            unit == null
                ? mode
                : unit.equalsIgnoreCase("TP") ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK,
            goal.allowanceDb == null
                ? Goal.DEFAULT_ALLOWANCE_DB
                : within("--limiter", goal.allowanceDb, 0, 60),
            goal.part == null ? Goal.Part.LOUD : goal.part));
  }

  private Matcher level(String option, String typed, String unit) {
    Matcher form =
        Pattern.compile("([+-]?\\d+(?:\\.\\d+)?) *(?:" + unit + ")?", Pattern.CASE_INSENSITIVE)
            .matcher(typed.strip());
    if (!form.matches()) {
      throw wrong(
          option
              + " takes a level such as "
              + (option.equals("--goal") ? "-8" : "-1 or -1dBTP")
              + ": "
              + option
              + " "
              + typed);
    }
    return form;
  }

  private static double number(Matcher level) {
    return Double.parseDouble(level.group(1));
  }

  private Optional<TimeRange> timeRange(Session session) {
    if (time().from == null && to().isEmpty()) {
      return Optional.empty();
    }
    long from = time().from == null ? 0 : time().from.frame(session.sampleRateHz());
    long to = to().isEmpty() ? session.frames() : to().get().frame(session.sampleRateHz());
    if (to().isEmpty() && from >= to) {
      // Past the end: the analysis says so with the song's length.
      to = from + 1;
    }
    if (to <= from) {
      throw wrong(
          toOption()
              + " must be at least a sample after "
              + (time().from == null ? "the start" : "--from: --from " + seconds(time().from))
              + ": "
              + toOption()
              + " "
              + seconds(to().get()));
    }
    return Optional.of(new TimeRange(from, to));
  }

  private TimeRange section(Clock.Span typed, int rate) {
    long from = typed.from().frame(rate);
    long to = typed.to().frame(rate);
    if (to <= from) {
      throw wrong(
          "--section must be at least a sample long: --section "
              + seconds(typed.from())
              + "-"
              + seconds(typed.to()));
    }
    return new TimeRange(from, to);
  }

  private static String seconds(Clock clock) {
    return clock.seconds().toPlainString();
  }

  private double within(String option, double number, double least, double most) {
    if (!(number >= least && number <= most)) {
      throw wrong(
          String.format(
              Locale.ROOT,
              "%s must be %.0f to %.0f %s: %s %s",
              option,
              least,
              most,
              option.equals("--goal") ? "LUFS" : "dB",
              option,
              number));
    }
    return number;
  }

  /** The time options. */
  abstract TimeOptions time();

  /** End of the stretch to look at, and the option that it is told by. */
  abstract Optional<Clock> to();

  abstract String toOption();

  /** For commands that print what they find. */
  static final class Reading extends SessionOptions {
    @ArgGroup(exclusive = false, heading = "%nTime:%n")
    private ReadingTime time = new ReadingTime();

    /** The time with its end. */
    static final class ReadingTime extends TimeOptions {
      @Option(
          names = "--to",
          order = 2,
          paramLabel = "TIME",
          converter = Clock.Converter.class,
          description = "Look at the song up to here.")
      private Clock to;
    }

    @Override
    TimeOptions time() {
      return time;
    }

    @Override
    Optional<Clock> to() {
      return Optional.ofNullable(time.to);
    }

    @Override
    String toOption() {
      return "--to";
    }
  }

  /** For commands that write files. */
  static final class Writing extends SessionOptions {
    @ArgGroup(exclusive = false, heading = "%nTime:%n")
    private WritingTime time = new WritingTime();

    /** The time with its end. */
    static final class WritingTime extends TimeOptions {
      @Option(
          names = "--until",
          order = 2,
          paramLabel = "TIME",
          converter = Clock.Converter.class,
          description = "Look at the song up to here.")
      private Clock to;
    }

    @Override
    TimeOptions time() {
      return time;
    }

    @Override
    Optional<Clock> to() {
      return Optional.ofNullable(time.to);
    }

    @Override
    String toOption() {
      return "--until";
    }
  }
}
