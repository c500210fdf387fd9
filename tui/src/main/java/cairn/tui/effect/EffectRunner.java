package cairn.tui.effect;

import cairn.collisions.Analysis;
import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.Yokes;
import cairn.collisions.check.Finding;
import cairn.collisions.check.SoundBeforeStart;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.KWeighting;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.Planner;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.StemMove;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.plan.WholeStems;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.spectrum.Portrait;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.io.session.OpenSession;
import cairn.io.session.Preferences;
import cairn.io.session.SavedSession;
import cairn.io.session.SessionPlace;
import cairn.io.stems.Note;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemSet;
import cairn.tui.model.BusNow;
import cairn.tui.model.Earlier;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.Song;
import cairn.tui.model.Spectra;
import cairn.tui.model.StemLoudness;
import cairn.tui.model.StemSettings;
import cairn.tui.model.Work;
import java.io.Closeable;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.ScheduledFuture;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;

/** Carries out effects; see the package. */
public final class EffectRunner implements Closeable {

  private static final long REST_MILLIS = 60;

  /** So many moments can be decided in some minutes. */
  private static final int BEARABLE = 40;

  /** Progress is told ten times a second. */
  private static final long TELL_NANOS = 100_000_000;

  private static final double NANOS_PER_SECOND = 1e9;

  private final Stems stems;
  private final Consumer<Event> post;
  private final ExecutorService longWork = single("cairn-work");
  private final ExecutorService quickWork = single("cairn-look");
  private final ExecutorService aside =
      Executors.newCachedThreadPool(task -> Workers.daemon(task, "cairn-aside"));
  private final ExecutorService saving = single("cairn-save");
  private final ScheduledExecutorService timer =
      Executors.newSingleThreadScheduledExecutor(task -> Workers.daemon(task, "cairn-timer"));
  private final ExecutorService readers;
  private final Crew crew;

  private final AtomicLong lookAsked = new AtomicLong();
  private final AtomicLong busAsked = new AtomicLong();
  private final AtomicLong planAsked = new AtomicLong();
  private final AtomicLong settingsAsked = new AtomicLong();
  private final AtomicLong saveAsked = new AtomicLong();
  private volatile boolean cancelled;
  private volatile boolean closed;
  private ScheduledFuture<?> rest;

  // Set once, before any effect is begun.
  private StemSet set;
  private StemFiles files;
  private PassMemory memory;
  private long bytes;
  private List<String> stemNotes = List.of();
  private volatile Opened opened;
  private volatile Keeping keeping;
  private Passes passes;
  private Usual usual;

  /**
   * @param stems what to open
   * @param post takes the answers, from any thread
   */
  public EffectRunner(Stems stems, Consumer<Event> post) {
    this.stems = stems;
    this.post = post;
    int workers = stems.threads();
    readers = Workers.pool(workers);
    crew = new Crew(readers, workers);
  }

  private static ExecutorService single(String name) {
    return Executors.newSingleThreadExecutor(task -> Workers.daemon(task, name));
  }

  /** Begins an effect; the terminal's own are not for here. */
  public void begin(Effect effect) {
    if (effect instanceof Effect.Analyse analyse) {
      work(effect, () -> analyse(analyse));
    } else if (effect instanceof Effect.ReckonBus reckon) {
      long ticket = busAsked.incrementAndGet();
      look(effect, () -> reckonBus(reckon, ticket));
    } else if (effect instanceof Effect.ReckonMoment reckon) {
      long ticket = lookAsked.incrementAndGet();
      look(effect, () -> reckonMoment(reckon, ticket));
    } else if (effect instanceof Effect.MakePlan plan) {
      work(effect, () -> plan(plan));
    } else if (effect instanceof Effect.Count count) {
      work(effect, () -> count(count.line()));
    } else if (effect instanceof Effect.ReckonBands bands) {
      look(effect, () -> reckonBands(bands));
    } else if (effect instanceof Effect.SumPlan sum) {
      long ticket = planAsked.incrementAndGet();
      look(effect, () -> sumPlan(sum, ticket));
    } else if (effect instanceof Effect.CheckStems) {
      aside.execute(this::check);
    } else if (effect instanceof Effect.TrySettings asked) {
      long ticket = settingsAsked.incrementAndGet();
      aside.execute(() -> trySettings(asked, ticket));
    } else if (effect instanceof Effect.MeterStems) {
      aside.execute(this::meterStems);
    } else if (effect instanceof Effect.MeasureSpectra) {
      aside.execute(this::measure);
    } else if (effect instanceof Effect.Save save) {
      long ticket = saveAsked.incrementAndGet();
      saving.execute(() -> save(save, ticket));
    } else if (effect instanceof Effect.WriteCues write) {
      work(effect, () -> writeCues(write));
    } else if (effect instanceof Effect.AwaitRest await) {
      awaitRest(await);
    } else if (effect instanceof Effect.Cancel) {
      cancelled = true;
    }
  }

  /** What long and quick work does. */
  @FunctionalInterface
  private interface Task {
    void run() throws IOException, Unanalysable;
  }

  private void work(Effect effect, Task task) {
    longWork.execute(
        () -> {
          cancelled = false;
          attempt(effect, task);
        });
  }

  private void look(Effect effect, Task task) {
    quickWork.execute(() -> attempt(effect, task));
  }

  private void attempt(Effect effect, Task task) {
    try {
      task.run();
    } catch (CancellationException e) {
      post.accept(new Event.Failed(effect, "cancelled"));
    } catch (Unanalysable.TooManyMoments e) {
      post.accept(new Event.Failed(effect, e.getMessage() + higherLine(e)));
    } catch (Unanalysable | IOException e) {
      post.accept(new Event.Failed(effect, e.getMessage() == null ? e.toString() : e.getMessage()));
    } catch (UncheckedIOException e) {
      post.accept(new Event.Failed(effect, e.getCause().getMessage()));
    } catch (OutOfMemoryError e) {
      post.accept(new Event.Failed(effect, "out of memory; start with CAIRN_MEMORY=1g cairn ..."));
    } catch (RuntimeException e) {
      post.accept(new Event.Failed(effect, "a fault in cairn: " + SafeText.of(e)));
    }
  }

  /** Where a line would leave a list of useful length, and how it is drawn. */
  private String higherLine(Unanalysable.TooManyMoments e) {
    double peak =
        e.peaks().stream().sorted(Comparator.reverseOrder()).skip(BEARABLE).findFirst().orElse(1.0);
    String line = Figures.fixed(Math.ceil(Decibels.ofAmplitude(peak) * 10) / 10, 1);
    return opened == null
        ? "; start it again with --line " + line
        : "; at " + line + " some " + BEARABLE + " would remain: L, then e and line " + line;
  }

  private synchronized void awaitRest(Effect.AwaitRest await) {
    if (rest != null) {
      rest.cancel(false);
    }
    rest =
        timer.schedule(
            () -> post.accept(new Event.Rested(await.keys())), REST_MILLIS, TimeUnit.MILLISECONDS);
  }

  private void analyse(Effect.Analyse asked) throws IOException, Unanalysable {
    boolean first = opened == null;
    boolean saved = !keeping.isNew();
    Session plain = stems.session(set);
    List<Fader> faders =
        !asked.faders().isEmpty()
            ? asked.faders()
            : saved && !stems.asksForFaders() ? keeping.faders(plain) : plain.faders();
    double monoGainDb =
        saved && !stems.asksForFaders() ? keeping.settings().monoGainDb() : plain.monoGainDb();
    Session session =
        new Session(
            plain.sampleRateHz(),
            monoGainDb,
            plain.stems(),
            faders,
            keeping.yokes(asked.yokes(), first ? plain.yokes() : Yokes.NONE));
    PeakMode kept = saved ? keeping.settings().asked().mode() : PeakMode.SAMPLE_PEAK;
    Settings settings =
        asked.settings().isPresent()
            ? asked.settings().get()
            : saved && !stems.asksForSettings()
                ? keeping.settings().asked().withMode(stems.mode().orElse(kept))
                : stems.settings(session, kept);
    boolean isUsual = first && !saved && settings.goal().isEmpty();
    if (isUsual) {
      settings = usual.goal(settings, !stems.drawsLine());
    }
    Optional<TempoMap> tempo =
        stems.tempo().or(() -> saved ? keeping.settings().tempo() : Optional.empty());
    Analysis analysis =
        new Analysis(session, files, crew, new Teller(new SumsSoFar(session))).with(memory);
    Pass pass = run(analysis, settings.withMetering(Metering.BUS), isUsual);
    if (first) {
      passes = new Passes(stems, set, files, crew, keeping);
      passes.begin(pass, new Teller());
      boolean ownLine =
          stems.asksForSettings()
              && (settings.goalDrawsLine() || !settings.line().equals(Line.DEFAULT));
      boolean isOpen = passes.hasBegun() || stems.asksForSettings();
      Settings held = pass.settings();
      if (passes.hasBegun() && saved && !stems.asksForSettings()) {
        // What was asked of the earlier stems is asked of the same part of these.
        held = held.shifted(passes.shiftFrames());
      }
      if (passes.held().isPresent() && isOpen && !ownLine) {
        held = held.withLine(passes.held().get());
      }
      if (!held.equals(pass.settings())) {
        pass = analysis.run(held);
      }
    }
    passes.again(pass);
    files.verifyUnchanged();
    keeping.asks(pass.settings(), settings.beatWindows().or(() -> tempo), monoGainDb);
    Opened old = opened;
    boolean setsGoal =
        old == null
            ? stems.namesGoal()
            : !old.pass.settings().goal().equals(pass.settings().goal());
    if (setsGoal) {
      keepGoal(pass.settings().goal());
    } else if (isUsual && pass.settings().goal().isPresent()) {
      post.accept(new Event.Noted(List.of(usual.taken(pass.settings().goal().get()))));
    }
    opened = new Opened(pass, files);
    if (old != null) {
      old.close();
    }
    Optional<Earlier> earlier = passes.compare(pass, opened);
    if (first) {
      List<String> lines = new ArrayList<>(passes.lines());
      Pass found = pass;
      earlier.ifPresent(e -> lines.addAll(passes.told(e, found)));
      if (!lines.isEmpty()) {
        post.accept(new Event.Noted(lines));
      }
    }
    post.accept(
        new Event.SongRead(
            song(pass, tempo, earlier),
            first ? Optional.of(keeping.kept(session)) : Optional.empty(),
            keeping.open().isReadOnly() ? Optional.of(readOnlyWhy()) : Optional.empty()));
    List<String> lost =
        SoundBeforeStart.of(session, files).stream()
            .map(sound -> "warning: " + sound.words(session))
            .toList();
    if (!lost.isEmpty()) {
      post.accept(new Event.Noted(lost));
    }
  }

  /**
   * Analyses the stems; a song whose loudness cannot be measured goes without a goal that was not
   * set for it.
   */
  private Pass run(Analysis analysis, Settings settings, boolean isUsual)
      throws IOException, Unanalysable {
    try {
      return analysis.run(settings);
    } catch (Unanalysable.NoLoudness e) {
      if (!isUsual || settings.goal().isEmpty()) {
        throw e;
      }
      post.accept(new Event.Noted(List.of("no goal here: " + e.getMessage())));
      return analysis.run(settings.withoutGoal());
    }
  }

  /** A goal that was set becomes the next session's default, which Check says. */
  private void keepGoal(Optional<Goal> goal) {
    Preferences preferences = Usual.with(keeping.preferences(), goal);
    keeping.prefers(preferences);
    if (!preferences.equals(usual.preferences())) {
      post.accept(new Event.Noted(List.of(usual.write(preferences, goal))));
    }
  }

  private String readOnlyWhy() {
    List<String> lines = keeping.open().lines();
    return lines.isEmpty() ? "read-only: nothing is saved" : lines.get(lines.size() - 1);
  }

  /**
   * Looks into the folder and opens stems and session, before anything is shown; to be called once.
   *
   * @throws IOException if one of them cannot be used; one line
   */
  public void open() throws IOException {
    StemSet found = stems.scan();
    List<String> notes = new ArrayList<>();
    found.skippedLine().ifPresent(notes::add);
    for (Note note : found.notes()) {
      notes.add((note.kind().isWarning() ? "warning: " : "") + note.text());
    }
    stemNotes = List.copyOf(notes);
    // Meanwhile the session is read: both take as long where there are many stems and moments.
    Future<PassMemory> opening = readers.submit(() -> openFiles(found));
    OpenSession session =
        OpenSession.open(
            SessionPlace.of(found.folder(), stems.sessionFile(), stems.folders()), found.inputs());
    memory = new Remembered(await(opening, session));
    int savedHz = session.found().map(SavedSession::sampleRateHz).orElse(found.sampleRateHz());
    if (savedHz != found.sampleRateHz()) {
      session.close();
      throw new IOException(
          "'"
              + SafeText.of(session.place().file().getFileName())
              + "' was saved for stems of "
              + savedHz
              + " Hz, these have "
              + found.sampleRateHz()
              + " Hz: its times do not fit; name another file with --session");
    }
    usual = Usual.read(stems.folders());
    keeping =
        new Keeping(
            session,
            found,
            stems.session(found),
            Passes.sessionIn(stems.since()),
            usual.preferences());
    notes.addAll(usual.lines());
    notes.addAll(session.lines());
    notes.addAll(keeping.lines());
    set = found;
    if (!notes.isEmpty()) {
      post.accept(new Event.Noted(notes));
    }
  }

  private PassMemory openFiles(StemSet found) throws IOException {
    files = found.open();
    for (Path input : found.inputs()) {
      bytes += Files.size(input);
    }
    return stems.memory(files);
  }

  /** What another thread opens; the session is closed if it could not be opened. */
  private static <T> T await(Future<T> opening, OpenSession session) throws IOException {
    try {
      return opening.get();
    } catch (ExecutionException e) {
      session.close();
      if (e.getCause() instanceof IOException failure) {
        throw failure;
      }
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      session.close();
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    }
  }

  private Song song(Pass pass, Optional<TempoMap> tempo, Optional<Earlier> earlier) {
    List<String> names = set.stems().stream().map(StemFile::name).toList();
    List<String> paths = set.stems().stream().map(StemFile::relativePath).toList();
    List<String> groups =
        paths.stream()
            .map(path -> path.indexOf('/') < 0 ? "" : path.substring(0, path.indexOf('/')))
            .toList();
    return new Song(
        title(), passes.number(), pass, names, paths, groups, List.of(), tempo, earlier);
  }

  private void reckonBus(Effect.ReckonBus asked, long ticket) throws IOException {
    Opened now = opened;
    if (now == null || ticket != busAsked.get()) {
      return;
    }
    WhatIf whatIf = now.with(asked.marks());
    List<OverRun> fresh =
        whatIf.runs().stream().filter(run -> whatIf.listed(run).isEmpty()).toList();
    post.accept(
        new Event.BusReckoned(
            new BusNow(
                asked.marks(),
                whatIf.peak(),
                whatIf.runs(),
                fresh,
                whatIf.ladder(now.pass.moments()),
                whatIf::blockPeak)));
    look(asked, () -> tell(asked.marks(), ticket));
  }

  /** Keeps what the marks tell of each moment, so that the next pass can be held against it. */
  private void tell(Marks marks, long ticket) throws IOException {
    Opened now = opened;
    if (now == null || ticket != busAsked.get() || !now.pass.line().isLevel()) {
      return;
    }
    keeping.tells(EarlierPass.of(now.pass, now.with(marks)));
    saving.execute(
        () -> {
          try {
            keeping.saveTold();
          } catch (IOException e) {
            post.accept(new Event.NotSaved(e.getMessage()));
          }
        });
  }

  private void reckonMoment(Effect.ReckonMoment asked, long ticket) throws IOException {
    Opened now = opened;
    if (now == null || ticket != lookAsked.get()) {
      return;
    }
    try {
      new Lookout(now, asked, () -> ticket != lookAsked.get())
          .look()
          .ifPresent(moment -> post.accept(new Event.MomentReckoned(moment)));
    } finally {
      now.letGo();
    }
  }

  private void sumPlan(Effect.SumPlan asked, long ticket) throws IOException {
    Opened now = opened;
    if (now == null || ticket != planAsked.get()) {
      return;
    }
    StepPeaks.of(
            now.with(asked.marks()), now.byHand, asked.steps(), () -> ticket != planAsked.get())
        .ifPresent(steps -> post.accept(new Event.PlanSummed(steps)));
  }

  private void reckonBands(Effect.ReckonBands asked) throws IOException {
    Opened now = opened;
    if (now == null) {
      return;
    }
    post.accept(
        new Event.BandsReckoned(
            StemBands.of(now.with(asked.marks()), now.pass, asked.peakFrame(), asked.stems())));
  }

  /** Checks the stems on a thread of its own, so that nothing waits for it. */
  private void check() {
    try {
      List<Finding> findings =
          new ArrayList<>(
              StemCheck.of(stems.survey(), Crew.ALONE, (step, done, total) -> !closed).findings());
      findings.sort(Finding.ORDER);
      post.accept(new Event.Checked(findings, stemNotes));
    } catch (CancellationException e) {
      // The program ends.
      return;
    } catch (IOException | RuntimeException | OutOfMemoryError e) {
      post.accept(new Event.Noted(List.of("the stems could not be checked: " + SafeText.of(e))));
      post.accept(new Event.Checked(List.of(), List.of()));
    }
  }

  /** Tries settings of whole stems on a thread of its own; a later wish ends an earlier one. */
  private void trySettings(Effect.TrySettings asked, long ticket) {
    Opened now = opened;
    if (now == null) {
      return;
    }
    Progress progress = (step, done, total) -> !closed && ticket == settingsAsked.get();
    try {
      List<StemMove> moves =
          new WholeStems(now.pass, files, Crew.ALONE, progress).best(asked.leftAlone());
      List<SharedSound> shared = SharedSound.strong(now.pass, files, Crew.ALONE);
      post.accept(
          new Event.SettingsTried(
              now.pass, new StemSettings(asked.leftAlone(), true, moves, shared, "")));
    } catch (CancellationException e) {
      // Another one is asked for, or the program ends.
      return;
    } catch (IOException | RuntimeException e) {
      post.accept(
          new Event.SettingsTried(
              now.pass,
              new StemSettings(
                  asked.leftAlone(),
                  true,
                  List.of(),
                  List.of(),
                  "not worked out: " + SafeText.of(e))));
    }
  }

  /** Meters each stem; the walk itself meters the bus alone, which takes half as long. */
  private void meterStems() {
    Opened now = opened;
    if (now == null) {
      return;
    }
    Pass pass = now.pass;
    Progress progress = (step, done, total) -> !closed && now == opened;
    StemLoudness found = new StemLoudness(true, Optional.empty());
    try {
      if (KWeighting.covers(pass.session().sampleRateHz())) {
        Analysis analysis =
            new Analysis(pass.session(), files, Crew.ALONE, progress).with(stems.memory(files));
        found = new StemLoudness(true, Optional.of(analysis.stemLoudness(pass)));
      }
    } catch (CancellationException e) {
      // The stems are summed anew, or the program ends.
      return;
    } catch (IOException | RuntimeException e) {
      post.accept(
          new Event.Noted(List.of("the stems' loudness was not measured: " + SafeText.of(e))));
    }
    post.accept(new Event.StemsMetered(pass, found));
  }

  private void measure() {
    Opened now = opened;
    if (now == null) {
      return;
    }
    Optional<StemSet> reference = stems.reference();
    String name =
        reference.map(found -> SafeText.of(found.inputs().get(0).getFileName())).orElse("");
    try {
      Portrait bus = Portrait.ofBus(now.pass.session(), files);
      post.accept(
          new Event.SpectraMeasured(new Spectra(Optional.of(bus), Optional.empty(), name, "")));
      if (reference.isPresent()) {
        post.accept(new Event.SpectraMeasured(withReference(bus, reference.get(), name)));
      }
    } catch (IOException | RuntimeException e) {
      post.accept(
          new Event.SpectraMeasured(
              new Spectra(Optional.empty(), Optional.empty(), name, SafeText.of(e))));
    }
  }

  private static Spectra withReference(Portrait bus, StemSet reference, String name) {
    try (StemFiles opened = reference.open()) {
      return new Spectra(
          Optional.of(bus), Optional.of(Portrait.ofBus(reference.toSession(), opened)), name, "");
    } catch (IOException e) {
      return new Spectra(Optional.of(bus), Optional.empty(), name, SafeText.of(e.getMessage()));
    }
  }

  private void plan(Effect.MakePlan asked) throws IOException, Unanalysable {
    Opened now = opened;
    if (now == null) {
      throw new IOException("the stems are not read yet");
    }
    Plan plan =
        new Planner(now.pass, files, crew, new Teller()).plan(asked.taken(), asked.options());
    post.accept(new Event.Planned(asked.taken(), plan));
  }

  private void count(Line line) throws IOException {
    Opened now = opened;
    if (now != null) {
      Analysis analysis = new Analysis(now.pass.session(), files, crew, Progress.NONE);
      post.accept(new Event.Counted(line, analysis.count(now.pass, line)));
    }
  }

  private void save(Effect.Save asked, long ticket) {
    if (ticket != saveAsked.get()) {
      return;
    }
    try {
      post.accept(new Event.Saved(asked.change(), keeping.save(asked.state())));
    } catch (IOException e) {
      post.accept(new Event.NotSaved(e.getMessage()));
    } catch (RuntimeException e) {
      post.accept(new Event.NotSaved("a fault in cairn: " + SafeText.of(e)));
    }
  }

  private void writeCues(Effect.WriteCues asked) throws IOException {
    Opened now = opened;
    if (now == null) {
      throw new IOException("the stems are not read yet");
    }
    Kept state = asked.state();
    post.accept(
        new Event.Written(
            Cues.write(
                now.pass,
                set,
                keeping.tempo(),
                state,
                asked.format(),
                set.folder().resolve(asked.target()).normalize(),
                asked.force())));
  }

  /**
   * Waits until what was asked to be saved is saved, or could not be.
   *
   * @param millis at most so long
   */
  public void settle(long millis) {
    try {
      saving.submit(() -> {}).get(millis, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (ExecutionException | TimeoutException e) {
      // It is told as not saved, or will be saved later: nothing to be done here.
      return;
    }
  }

  /** Name of the stems' folder, safe to show. */
  public String title() {
    Path name = set.folder().getFileName();
    return SafeText.of(name == null ? set.folder() : name);
  }

  /** Ends all work once what was asked to be saved is saved. */
  @Override
  public void close() throws IOException {
    cancelled = true;
    closed = true;
    lookAsked.incrementAndGet();
    settle(10_000);
    timer.shutdownNow();
    longWork.shutdown();
    quickWork.shutdown();
    aside.shutdownNow();
    saving.shutdown();
    readers.shutdown();
    Keeping kept = keeping;
    if (kept != null) {
      kept.open().close();
    }
  }

  /** Thins progress out, works out throughput and time left, and cancels. */
  private final class Teller implements Progress {
    private long began;
    private long told;
    private Step step;
    private boolean sums;
    private final Optional<SumsSoFar> soFar;

    Teller() {
      soFar = Optional.empty();
    }

    /** Tells the bus along while it is summed. */
    Teller(SumsSoFar soFar) {
      this.soFar = Optional.of(soFar);
    }

    @Override
    public synchronized void summed(
        long firstFrame, int blockFrames, double[] peaks, int from, int end) {
      sums = true;
      soFar.ifPresent(sums -> sums.add(firstFrame, blockFrames, peaks, from, end));
    }

    @Override
    public synchronized boolean told(Step now, long done, long total) {
      long time = System.nanoTime();
      if (now != step) {
        step = now;
        began = time;
        told = time - TELL_NANOS;
      }
      if (time - told >= TELL_NANOS) {
        told = time;
        double seconds = (time - began) / NANOS_PER_SECOND;
        boolean known = seconds > 0.2 && done > 0;
        double share = (double) done / total;
        post.accept(
            new Event.Progressed(
                new Work(
                    now,
                    done,
                    total,
                    known && now == Step.SUM ? bytes * share / seconds : 0,
                    known ? seconds * (1 - share) / share : -1,
                    sums ? soFar.map(SumsSoFar::now) : Optional.empty())));
      }
      return !cancelled;
    }
  }
}
