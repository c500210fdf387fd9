package cairn.tui.command;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.check.SoundBeforeStart;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.MomentFixes;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.Planner;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.Shift;
import cairn.collisions.plan.ShiftFinder;
import cairn.collisions.plan.StemMove;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.plan.WholeStems;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.spectrum.LeadingBands;
import cairn.collisions.time.ClockTime;
import cairn.collisions.time.TempoEstimate;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.listing.Since;
import cairn.io.session.SavedPass;
import cairn.io.stems.Note;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.tui.effect.Workers;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutorService;

/**
 * A session that is open: its stems, its threads, its progress on the terminal. A first pass over
 * stems that have not changed is taken from the cache folder; as the bus needs every stem, a change
 * of one of them makes all be read again.
 */
final class Analysing implements Closeable {

  private final Console console;
  private final SessionOptions options;
  private final StemSet set;
  private final Optional<MarkSource.Saved> saved;
  private final Session session;

  /** A setting for the whole song is offered if it clears so many moments, and a quarter. */
  private static final int LEAST_CLEARED = 3;

  private final StemFiles files;
  private final ExecutorService threads;
  private final Crew crew;
  private final ProgressBar bar;
  private final PassMemory memory;

  /** Finds and opens the stems, and says what was skipped or mended. */
  Analysing(Console console, SessionOptions options) throws IOException {
    this(console, options, set -> Optional.empty());
  }

  /**
   * The same with a saved session, whose faders and settings hold where the command line says
   * nothing.
   */
  Analysing(Console console, SessionOptions options, MarkSource.SavedFinder finder)
      throws IOException {
    this.console = console;
    this.options = options;
    options.tempo();
    if (options.tempoMapFile().isPresent() && !options.tempoMap().tellsTempo()) {
      console.warning(
          "'"
              + SafeText.of(options.tempoMapFile().get().getFileName())
              + "' tells no tempo: 120 quarter notes a minute are taken, as its format says");
    }
    set = StemFolder.scan(options.stems(), options.scan());
    set.skippedLine().ifPresent(console::note);
    for (Note note : set.notes()) {
      if (note.kind().isWarning()) {
        console.warning(note.text());
      } else {
        console.note(note.text());
      }
    }
    saved = finder.find(set);
    session =
        saved.isPresent()
            ? saved
                .get()
                .yoked(options.session(set, saved.get().faders(), saved.get().monoGainDb()))
            : options.session(set);
    int workers = options.threads();
    files = set.open();
    estimateTempo();
    memory = options.memory(console, files);
    threads = Workers.pool(workers);
    crew = new Crew(threads, workers);
    bar = new ProgressBar(console.err(), inputBytes());
  }

  private void estimateTempo() throws IOException {
    if (!options.estimatesTempo()) {
      return;
    }
    try {
      options.estimated(
          TempoEstimate.of(session, files)
              .orElseThrow(
                  () ->
                      new IOException(
                          "--tempo estimate finds no steady beat of 60 to 180 a minute in these"
                              + " stems; write the tempo in BPM, or leave it out")));
      console.note("tempo: " + TempoEstimate.words(options.tempo().orElseThrow()));
    } catch (IOException e) {
      files.close();
      throw e;
    }
  }

  private long inputBytes() throws IOException {
    long bytes = 0;
    for (Path input : set.inputs()) {
      bytes += Files.size(input);
    }
    return bytes;
  }

  /** Analyses the session. */
  Pass run() throws IOException, Unanalysable {
    return run(Metering.NONE);
  }

  /** Analyses the session and meters along at least what is asked for. */
  Pass run(Metering metering) throws IOException, Unanalysable {
    return run(settings(session, saved).withMetering(metering));
  }

  /** What is asked of an analysis, where the command line says nothing as it was saved. */
  private Settings settings(Session of, Optional<MarkSource.Saved> from) throws IOException {
    PeakMode kept = from.map(s -> s.settings().mode()).orElse(PeakMode.SAMPLE_PEAK);
    return from.isPresent() && !options.asksForSettings()
        ? from.get().settings().withMode(options.mode().orElse(kept))
        : options.settings(of, kept);
  }

  /** A pass, an earlier one, and what became of the earlier one's moments. */
  record Compared(Pass pass, Pass earlier, Since since) {}

  /**
   * Analyses the earlier stems, finds how far these are shifted against them, and analyses these at
   * the earlier line. Where the earlier stems have a session, with which this one was made, its
   * faders, settings and line hold, and what its marks tell is held against what was got.
   *
   * @param folder the folder of the earlier stems
   * @param metering what is metered along in these
   * @param earlierMetering what is metered along in the earlier ones
   */
  Compared runSince(Path folder, Metering metering, Metering earlierMetering)
      throws IOException, Unanalysable {
    StemSet earlierSet = StemFolder.scan(List.of(folder), options.scan());
    for (Note note : earlierSet.notes()) {
      if (note.kind().isWarning()) {
        console.warning(note.text());
      }
    }
    if (earlierSet.sampleRateHz() != set.sampleRateHz()) {
      throw new IOException(
          String.format(
              Locale.ROOT,
              "the earlier stems in '%s' have %d Hz, these have %d Hz; export these at %d Hz",
              SafeText.of(folder),
              earlierSet.sampleRateHz(),
              set.sampleRateHz(),
              earlierSet.sampleRateHz()));
    }
    Optional<MarkSource.Saved> earlierSaved =
        saved.map(s -> MarkSource.Saved.of(s.file(), s.session(), earlierSet));
    Session earlierSession =
        earlierSaved.isPresent()
            ? earlierSaved
                .get()
                .yoked(
                    options.earlierSession(
                        earlierSet, earlierSaved.get().faders(), earlierSaved.get().monoGainDb()))
            : options.earlierSession(earlierSet);
    try (StemFiles earlierFiles = earlierSet.open()) {
      Settings earlierSettings =
          earlierLine(settings(earlierSession, earlierSaved), folder).withMetering(earlierMetering);
      Pass earlier = runEarlier(folder, earlierSession, earlierFiles, earlierSettings);
      Shift shift = ShiftFinder.find(earlier, earlierFiles, session, files);
      if (!(shift instanceof Shift.Found found)) {
        throw new IOException(
            String.format(
                Locale.ROOT,
                "the stems in '%s' are of another song, or start more than 1 s apart: the two sums"
                    + " are alike by %.2f of 1 at best; name an earlier export of these stems",
                SafeText.of(folder),
                ((Shift.Unlike) shift).likeness()));
      }
      Settings settings = settings(session, saved);
      Pass pass = run(shifted(settings, found.frames(), earlier).withMetering(metering));
      PassComparison comparison =
          PassComparison.of(
              told(earlier, earlierFiles, earlierSaved), found.frames(), pass, files, crew);
      earlierFiles.verifyUnchanged();
      return new Compared(pass, earlier, Since.of(comparison, pass, earlier, earlierSet));
    }
  }

  /** The line of the saved pass, where no other is asked for and levels are read the same way. */
  private Settings earlierLine(Settings settings, Path folder) throws IOException {
    if (saved.isEmpty() || options.drawsLine()) {
      return settings;
    }
    List<SavedPass> passes = saved.get().session().passes();
    Settings held = settings;
    if (!passes.isEmpty() && !options.asksForSettings()) {
      SavedPass last = passes.get(passes.size() - 1);
      Optional<EarlierPass> pass =
          last.mode() == settings.mode() ? last.earlier(tempo()) : Optional.empty();
      if (pass.isPresent()) {
        held = settings.withLine(new Line.Held(pass.get().lineLevel()));
      }
    }
    if (held.baseline() == Baseline.LOCAL && held.line() instanceof Line.Margin) {
      throw new IOException(
          "the line of the session in '"
              + SafeText.of(folder)
              + "' moves along with the song, so it cannot be held; name one with --line");
    }
    return held;
  }

  /** What is kept of the earlier pass, with what the marks of its session tell. */
  private static EarlierPass told(
      Pass earlier, StemFiles earlierFiles, Optional<MarkSource.Saved> from) throws IOException {
    Marks marks = from.map(s -> s.session().marks(s.match())).orElse(Marks.NONE);
    if (marks.fixes().isEmpty()) {
      return EarlierPass.of(earlier);
    }
    try (WhatIf plain = WhatIf.of(earlier, earlierFiles)) {
      return EarlierPass.of(earlier, plain.to(marks));
    }
  }

  private Pass runEarlier(
      Path folder, Session earlierSession, StemFiles earlierFiles, Settings settings)
      throws IOException {
    try {
      return new Analysis(earlierSession, earlierFiles, crew, progress()).run(settings);
    } catch (Unanalysable e) {
      throw new IOException(
          "the earlier stems in '" + SafeText.of(folder) + "': " + e.getMessage(), e);
    } finally {
      bar.clear();
    }
  }

  /** The same part of the song, at the line that is held. */
  private static Settings shifted(Settings settings, long frames, Pass earlier) {
    return settings.withLine(new Line.Held(earlier.line().level(0))).shifted(frames);
  }

  private Pass run(Settings settings) throws IOException, Unanalysable {
    try {
      Pass pass = analysis().run(settings);
      files.verifyUnchanged();
      pass.limiter().filter(work -> work.neededGainDb() < 0).ifPresent(this::warnOfLess);
      for (SoundBeforeStart lost : SoundBeforeStart.of(session, files)) {
        console.warning(lost.words(session));
      }
      return pass;
    } catch (Unanalysable.NoLoudness e) {
      throw new IOException(noLoudness(e), e);
    } catch (Unanalysable.Outside e) {
      throw new IOException(outside(settings, e), e);
    } catch (Unanalysable.Silent e) {
      throw new IOException(
          "the bus is silent "
              + clock(e.range())
              + " (never above -70 dBFS): no average peak;"
              + " look at --mute, --only and --gain, or name other times",
          e);
    } finally {
      bar.clear();
    }
  }

  private void warnOfLess(LimiterWork work) {
    console.warning(
        String.format(
            Locale.ROOT,
            "--goal %.1f LUFS is less than there is, %.1f LUFS: it needs no gain, but %.1f dB less;"
                + " name a louder goal, or leave it out",
            work.goal().targetLufs(),
            work.measuredLufs(),
            -work.neededGainDb()));
  }

  private String noLoudness(Unanalysable.NoLoudness e) {
    String place = clock(e.range());
    return switch (e.why()) {
      case TOO_SHORT ->
          "--goal needs a loudness, and what there is "
              + place
              + " is shorter than 400 ms, the"
              + " shortest that has one; name a longer section, or leave out --goal";
      case BELOW_GATE ->
          "--goal needs a loudness, and nothing "
              + place
              + " is above the gate of -70 LUFS;"
              + " look at --gain and --mute, name another section, or leave out --goal";
      case RATE ->
          "--goal needs a loudness, which is measured at 8 to 384 kHz, and the stems have "
              + session.sampleRateHz()
              + " Hz; leave out --goal";
    };
  }

  /** The same in the terms of the command line: options and clock times. */
  private String outside(Settings settings, Unanalysable.Outside e) {
    if (settings.range().isPresent() && settings.range().get().equals(e.asked())) {
      return "--from "
          + ClockTime.of(e.asked().firstFrame(), session.sampleRateHz())
          + " is not before the end of the song, "
          + ClockTime.of(e.within().endFrame(), session.sampleRateHz())
          + "; name an earlier time";
    }
    return "the --section "
        + clock(e.asked())
        + " lies outside of what is looked at, "
        + clock(e.within())
        + "; name a section in there";
  }

  private String clock(TimeRange range) {
    int rate = session.sampleRateHz();
    return "from "
        + ClockTime.of(range.firstFrame(), rate)
        + " to "
        + ClockTime.of(range.endFrame(), rate);
  }

  /** What can be done about some moments of a pass. */
  List<MomentFixes> fixes(Pass pass, List<Moment> moments, Set<Integer> leftAlone, FixLimits limits)
      throws IOException {
    try {
      return MomentFixes.at(pass, files, moments, limits, leftAlone, crew, progress());
    } finally {
      bar.clear();
    }
  }

  /** Where the leading stems of some moments of a pass sit. */
  LeadingBands bands(Pass pass, List<Moment> moments) throws IOException {
    return LeadingBands.at(session, files, pass.range(), moments, crew);
  }

  /** Plans. */
  Plan plan(Pass pass, Marks taken, PlanOptions planOptions) throws IOException, Unanalysable {
    try {
      Plan plan = new Planner(pass, files, crew, progress()).plan(taken, planOptions);
      files.verifyUnchanged();
      return plan;
    } finally {
      bar.clear();
    }
  }

  /** The same pass, its moments found anew at another line. */
  Pass atLine(Pass pass, HeldLine line) throws IOException, Unanalysable {
    try {
      return analysis().atLine(pass, line);
    } finally {
      bar.clear();
    }
  }

  /** The setting of one stem that does most of what a plan does, if one clears so much. */
  Optional<StemMove> wholeStem(Pass pass, Plan plan, Set<Integer> leftAlone)
      throws IOException, Unanalysable {
    try {
      int least = Math.max(LEAST_CLEARED, (plan.moments() + 3) / 4);
      if (plan.moments() < least) {
        return Optional.empty();
      }
      List<Moment> listed =
          plan.line().equals(pass.line())
              ? pass.moments()
              : new MomentFinder(session, files, pass.summary(), crew, progress())
                  .find(plan.line(), Planner.MOST_MOMENTS);
      return new WholeStems(pass, plan.line(), listed, files, crew, progress())
          .mostUseful(leftAlone, least);
    } finally {
      bar.clear();
    }
  }

  /** The other stems that carry the sound of one that is to be set apart. */
  List<Integer> sameSound(Pass pass, Optional<StemMove> setting) throws IOException {
    return setting.isPresent() && setting.get().setting().setsApart()
        ? SharedSound.strong(pass, files, crew, setting.get().setting().stem())
        : List.of();
  }

  Analysis analysis() {
    return new Analysis(session, files, crew, progress()).with(memory);
  }

  Progress progress() {
    return console.errIsTerminal() ? bar : Progress.NONE;
  }

  StemSet set() {
    return set;
  }

  /** The saved session that is in use. */
  Optional<MarkSource.Saved> saved() {
    return saved;
  }

  /** The tempo that was asked for, else the one that was saved. */
  Optional<TempoMap> tempo() throws IOException {
    Optional<TempoMap> asked = options.tempo();
    return asked.isPresent() ? asked : saved.flatMap(MarkSource.Saved::tempo);
  }

  /** The open files of the stems. */
  StemFiles files() {
    return files;
  }

  Session session() {
    return session;
  }

  Crew crew() {
    return crew;
  }

  /** Wipes the progress bar. */
  void clearBar() {
    bar.clear();
  }

  /** All files that are read, which are never written over. */
  List<Path> inputs() {
    List<Path> inputs = new ArrayList<>(set.inputs());
    options.tempoMapFile().ifPresent(inputs::add);
    saved.ifPresent(s -> inputs.add(s.file()));
    return inputs;
  }

  @Override
  public void close() throws IOException {
    threads.shutdownNow();
    files.close();
  }
}
