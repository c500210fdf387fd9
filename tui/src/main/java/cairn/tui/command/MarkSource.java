package cairn.tui.command;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Unanalysable;
import cairn.collisions.Yokes;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.time.TempoMap;
import cairn.io.files.SafeText;
import cairn.io.session.SavedSession;
import cairn.io.session.SessionFile;
import cairn.io.session.SessionPlace;
import cairn.io.session.StemMatch;
import cairn.io.session.StemRef;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/**
 * What every command that carries out marks is told: the stems and how they are analysed, and where
 * the marks come from, the saved session or the plan.
 */
final class MarkSource {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Mixin private SessionOptions.Writing options;

  @Mixin private FixOptions fixes;

  @Option(
      names = "--session",
      paramLabel = "FILE",
      description = "Take the marks of this session. Default: the one that the walk has" + " kept.")
  private Path sessionFile;

  @Option(
      names = "--plan",
      description = "Take the fixes that cairn plan proposes, with its options, in place of marks.")
  private boolean plan;

  @Mixin private PlanChoices choices;

  /**
   * Marks, and which of them are carried out.
   *
   * @param marks the marks
   * @param done those that were carried out at the desk
   * @param pass the pass at the line that the marks were made for
   * @param plan what proposed them; empty: they are those of a session
   */
  record Taken(Marks marks, Set<Mark> done, Pass pass, Optional<Plan> plan) {}

  /**
   * A session that was saved, for the stems that are there.
   *
   * @param file where it is
   * @param session what is in it
   * @param match finds its stems
   * @param faders one a stem
   */
  record Saved(Path file, SavedSession session, StemMatch match, List<Fader> faders) {

    /** A session for some stems. */
    static Saved of(Path file, SavedSession session, StemSet stems) {
      StemMatch match = session.match(StemRef.of(stems));
      return new Saved(file, session, match, session.faders(match, stems.toSession().faders()));
    }

    /** The saved yokes with those of the command line. */
    Session yoked(Session asked) {
      Yokes yokes = asked.yokes();
      for (List<Integer> group : session.yokes(match)) {
        yokes = yokes.with(group);
      }
      return asked.withYokes(yokes);
    }

    double monoGainDb() {
      return session.settings().monoGainDb();
    }

    Settings settings() {
      return session.settings().asked();
    }

    Optional<TempoMap> tempo() {
      return session.settings().tempo();
    }
  }

  /** Finds the session that was saved for some stems. */
  @FunctionalInterface
  interface SavedFinder {
    Optional<Saved> find(StemSet set) throws IOException;
  }

  /** The stems and how they are analysed. */
  SessionOptions options() {
    return options;
  }

  /** Opens the stems, with the saved session where marks come from it. */
  Analysing open(Console console) throws IOException {
    if (plan && sessionFile != null) {
      throw new ParameterException(
          spec.commandLine(), "--plan and --session are both where marks come from: leave one out");
    }
    if (plan) {
      choices.options(options);
      return new Analysing(console, options);
    }
    return new Analysing(console, options, set -> find(console, set));
  }

  private Optional<Saved> find(Console console, StemSet set) throws IOException {
    SessionPlace place =
        SessionPlace.of(set.folder(), Optional.ofNullable(sessionFile), console.home().folders());
    Path file = place.source();
    if (sessionFile == null && !Files.exists(file)) {
      return Optional.empty();
    }
    SavedSession session = SessionFile.read(file);
    if (session.sampleRateHz() != set.sampleRateHz()) {
      throw new IOException(
          "'"
              + SafeText.of(file.getFileName())
              + "' was saved for stems of "
              + session.sampleRateHz()
              + " Hz, these have "
              + set.sampleRateHz()
              + " Hz: its times do not fit; name another session, or --plan");
    }
    Saved saved = Saved.of(file, session, set);
    saved.match().lines().forEach(console::note);
    return Optional.of(saved);
  }

  /** The marks; may be none. */
  Taken take(Console console, Analysing analysing, Pass pass) throws IOException, Unanalysable {
    if (plan) {
      Set<Integer> leftAlone =
          new HashSet<>(fixes.leftAlone(options.names(analysing.set()), pass.session()));
      FixOptions.suggest(console, analysing.set(), leftAlone);
      PlanOptions asked = choices.options(options).withLeftAlone(leftAlone);
      Plan proposed = analysing.plan(pass, Marks.NONE, asked);
      // With --headroom the plan has a line of its own.
      Pass held =
          asked.target() instanceof PlanOptions.Target.Win
              ? analysing.atLine(pass, proposed.line())
              : pass;
      return new Taken(Marks.NONE.addAll(proposed.marks()), Set.of(), held, Optional.of(proposed));
    }
    return analysing
        .saved()
        .map(
            s ->
                new Taken(
                    s.session().marks(s.match()),
                    s.session().done(s.match()),
                    pass,
                    Optional.<Plan>empty()))
        .orElse(new Taken(Marks.NONE, Set.of(), pass, Optional.empty()));
  }

  /** As {@link #open}; where no session holds a fix, the fixes of a plan are taken. */
  Analysing openOrPlan(Console console) throws IOException {
    choices.options(options);
    return open(console);
  }

  /** As {@link #take}; where no session holds a fix, those of a plan. */
  Taken takeOrPlan(Console console, Analysing analysing, Pass pass)
      throws IOException, Unanalysable {
    Taken taken = take(console, analysing, pass);
    if (plan || !taken.marks().fixes().isEmpty()) {
      return taken;
    }
    plan = true;
    return take(console, analysing, pass);
  }

  /**
   * Says that there is nothing to do, and what would give something.
   *
   * @param alsoAll whether every listed moment can be had
   */
  IOException nothing(Analysing analysing, boolean alsoAll) {
    String why =
        plan
            ? "the plan has no fix: nothing is over the line, or nothing clears it; lower the line"
                + " with --margin or --headroom"
            : (analysing.saved().isPresent()
                    ? "'"
                        + SafeText.of(analysing.saved().get().file().getFileName())
                        + "' holds no fix"
                    : "no session is saved in '" + SafeText.of(analysing.set().folder()) + "'")
                + ": add --plan for the fixes that the planner proposes";
    return new IOException(why + (alsoAll ? ", or --all for every listed moment" : ""));
  }
}
