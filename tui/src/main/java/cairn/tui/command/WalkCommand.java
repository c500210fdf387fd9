package cairn.tui.command;

import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.time.TempoMap;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import cairn.tui.effect.EffectRunner;
import cairn.tui.effect.Stems;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.Next;
import cairn.tui.model.Size;
import cairn.tui.terminal.Input;
import cairn.tui.terminal.Looks;
import cairn.tui.terminal.Loop;
import cairn.tui.terminal.Shown;
import cairn.tui.terminal.Terminal;
import cairn.tui.update.Update;
import cairn.tui.view.Pictures;
import java.io.FileDescriptor;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Callable;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.function.Consumer;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Walks the list of moments in the terminal. */
@Command(
    name = "walk",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    description = {
      "Opens the stems in the terminal: walk from moment to moment, see which stem adds what, and"
          + " put a fix on it with a key. All is saved as you go, in the stems' folder.",
      "",
      "The last row shows the keys that matter, ? shows all of them, q leaves.",
    },
    footer = {
      "",
      "Examples:",
      "  cairn walk parade                        walk the demo song",
      "  cairn parade                             the same",
      "  cairn walk parade --margin 2             only what stands out most",
      "  cairn walk parade --goal -8              what would push a limiter past 3 dB",
      "  cairn walk parade --session tuesday.json another session of the same stems",
      "  cairn walk mended --since parade         a later export against the earlier one",
      "",
      "Levels are in dBFS, sample peak; with --true-peak in dBTP. Stems are only read, never changed.",
    })
final class WalkCommand implements Callable<Integer> {

  /** A picture waits so long for what it shows to be safe on the disk. */
  private static final long MOST_SETTLE_MILLIS = 2_000;

  /** So long for the last change, where the program is told to end. */
  private static final long MOST_LEAVE_MILLIS = 10_000;

  /** A large window, in which all is drawn that is drawn anywhere. */
  private static final Size REHEARSED = new Size(200, 60);

  private final Console console;

  @Spec private CommandSpec spec;

  @Mixin private SessionOptions.Reading options = new SessionOptions.Reading();

  @Option(
      names = "--session",
      paramLabel = "FILE",
      description = "Keep the session in this file. Default: cairn-session.json with the stems.")
  private Path session;

  @Option(
      names = "--since",
      paramLabel = "OLD",
      description =
          "Hold the stems against an earlier export of them, a folder, and go on with its session."
              + " Stems exported again over the old ones are known by themselves.")
  private Path since;

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "A finished track: F shows its spectrum beside that of the bus.")
  private Path referenceFile;

  @Option(
      names = "--ascii",
      description = "Draw with ASCII alone, as is done where the locale is not UTF-8.")
  private boolean ascii;

  WalkCommand(Console console) {
    this.console = console;
  }

  /** The command on stems, without any option. */
  WalkCommand on(List<Path> stems) {
    options.setStems(stems);
    return this;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    options.tempo();
    options.refuseEstimate();
    Map<String, String> environment = System.getenv();
    if (console.outColumns().isEmpty() || !Console.inIsTerminal()) {
      throw new IOException(
          "cairn walk needs a terminal for its screen and its keys; elsewhere use cairn list");
    }
    Optional<String> refused = Looks.refused(environment);
    if (refused.isPresent()) {
      throw new IOException(refused.get());
    }
    Look look = Looks.of(environment, ascii);
    return walk(
        look,
        inputs ->
            Terminal.open(
                new FileInputStream(FileDescriptor.in),
                new FileOutputStream(FileDescriptor.out),
                look,
                environment,
                inputs),
        event -> {});
  }

  /**
   * Walks in a window that nobody sees.
   *
   * @param told is told what comes of it, from several threads
   */
  void rehearse(InputStream keys, Consumer<Event> told) throws IOException, InterruptedException {
    Look look = new Look(true, Look.Colours.TWO_HUNDRED_FIFTY_SIX);
    walk(look, inputs -> Terminal.rehearse(keys, REHEARSED, look, inputs), told);
  }

  /** Where the walk is shown. */
  @FunctionalInterface
  private interface Place {
    Terminal open(Consumer<Input> inputs) throws IOException;
  }

  private int walk(Look look, Place place, Consumer<Event> told)
      throws IOException, InterruptedException {
    BlockingQueue<Input> queue = new LinkedBlockingQueue<>();
    Outcome outcome = new Outcome();
    try (EffectRunner runner =
        new EffectRunner(
            stems(),
            event -> {
              outcome.note(event);
              told.accept(event);
              queue.add(new Input.Told(event));
            })) {
      runner.open();
      walk(runner, queue, look, place);
    }
    outcome.unsaved().ifPresent(console::warning);
    if (outcome.failed().isPresent()) {
      throw new IOException(outcome.failed().get());
    }
    return 0;
  }

  private void walk(EffectRunner runner, BlockingQueue<Input> queue, Look look, Place place)
      throws IOException, InterruptedException {
    Thread saver = new Thread(() -> runner.settle(MOST_LEAVE_MILLIS), "cairn-last-save");
    Runtime.getRuntime().addShutdownHook(saver);
    // It takes no longer than the terminal does, where the stems are known from the last time.
    runner.begin(new Effect.Analyse(List.of(), Optional.empty()));
    try (Terminal terminal = place.open(queue::add)) {
      Model start = Model.start(terminal.size(), look, runner.title());
      new Loop(
              queue,
              Update::update,
              model -> new Shown(Pictures.draw(model), look.colours()),
              terminal,
              new Running(runner, queue))
          .run(Next.of(start));
    } finally {
      removeHook(saver);
    }
  }

  /** A finished track beside the stems, looked into before the screen comes up. */
  private Optional<StemSet> reference(StemSet stems) throws IOException {
    if (referenceFile == null) {
      return Optional.empty();
    }
    StemSet found = StemFolder.scan(List.of(referenceFile), ScanOptions.DEFAULT.withPairs(false));
    if (found.stems().size() != 1) {
      throw new ParameterException(
          spec.commandLine(), "--reference takes one file: --reference " + referenceFile);
    }
    if (stems.inputs().stream().anyMatch(found.inputs()::contains)) {
      throw new ParameterException(
          spec.commandLine(),
          "--reference is one of the stems; keep finished tracks in another folder: --reference "
              + referenceFile);
    }
    return Optional.of(found);
  }

  private static void removeHook(Thread hook) {
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      // The program ends already, and the hook does its work.
    }
  }

  private Stems stems() throws IOException {
    if (since != null) {
      SinceFolder.check(spec.commandLine(), since, options);
    }
    // Before the screen comes up, so that a wrong command line is told as one.
    StemSet set = StemFolder.scan(options.stems(), options.scan());
    Optional<StemSet> reference = reference(set);
    Session plain = options.session(set);
    options.settings(plain, PeakMode.SAMPLE_PEAK);
    Optional<TempoMap> tempo = options.tempo();
    int threads = options.threads();
    return new Stems() {
      @Override
      public StemSet scan() {
        return set;
      }

      @Override
      public Survey survey() throws IOException {
        return StemFolder.survey(options.stems(), options.scan());
      }

      @Override
      public Optional<StemSet> reference() {
        return reference;
      }

      @Override
      public Session session(StemSet same) {
        return plain;
      }

      @Override
      public Settings settings(Session any, PeakMode unlessAsked) throws IOException {
        return options.settings(plain, unlessAsked);
      }

      @Override
      public Optional<PeakMode> mode() {
        return options.mode();
      }

      @Override
      public boolean asksForSettings() {
        return options.asksForSettings();
      }

      @Override
      public boolean drawsLine() {
        return options.drawsLine();
      }

      @Override
      public boolean namesGoal() {
        return options.namesGoal();
      }

      @Override
      public boolean asksForFaders() {
        return options.asksForFaders();
      }

      @Override
      public Optional<TempoMap> tempo() {
        return tempo;
      }

      @Override
      public Optional<Path> sessionFile() {
        return Optional.ofNullable(session);
      }

      @Override
      public Optional<Path> since() {
        return Optional.ofNullable(since);
      }

      @Override
      public StemSet scan(Path folder) throws IOException {
        return StemFolder.scan(List.of(folder), options.scan());
      }

      @Override
      public Session earlierSession(StemSet earlier) {
        return options.earlierSession(earlier);
      }

      @Override
      public PassMemory memory(StemFiles files) {
        return options.memory(console, files);
      }

      @Override
      public int threads() {
        return threads;
      }
    };
  }

  /** What is to be said once the screen is gone. */
  private static final class Outcome {
    private boolean read;
    private Optional<String> failed = Optional.empty();
    private Optional<String> unsaved = Optional.empty();

    synchronized void note(Event event) {
      if (event instanceof Event.SongRead) {
        read = true;
      } else if (event instanceof Event.Failed failure && !read) {
        failed = Optional.of(failure.why());
      } else if (event instanceof Event.NotSaved notSaved) {
        unsaved = Optional.of(notSaved.why());
      } else if (event instanceof Event.Saved) {
        unsaved = Optional.empty();
      }
    }

    /** Why the stems could not be read. */
    synchronized Optional<String> failed() {
      return read ? Optional.empty() : failed;
    }

    /** Why the last change is lost. */
    synchronized Optional<String> unsaved() {
      return unsaved;
    }
  }

  /** The effects of a loop, carried out. Of the loop's thread alone. */
  private static final class Running implements Loop.Effects {
    private final EffectRunner runner;
    private final BlockingQueue<Input> queue;
    private boolean saves;

    Running(EffectRunner runner, BlockingQueue<Input> queue) {
      this.runner = runner;
      this.queue = queue;
    }

    @Override
    public void begin(Effect effect) {
      saves |= effect instanceof Effect.Save save && save.decides();
      if (effect instanceof Effect.Leave) {
        Thread leaving =
            new Thread(
                () -> {
                  runner.settle(MOST_LEAVE_MILLIS);
                  queue.add(new Input.Left());
                },
                "cairn-leaving");
        leaving.setDaemon(true);
        leaving.start();
      } else {
        runner.begin(effect);
      }
    }

    @Override
    public void settle() {
      if (saves) {
        saves = false;
        runner.settle(MOST_SETTLE_MILLIS);
      }
    }
  }
}
