package cairn.tui.command;

import cairn.collisions.Unanalysable;
import cairn.io.files.SafeText;
import cairn.io.files.WholeFile;
import java.io.File;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.InvalidPathException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import picocli.AutoComplete.GenerateCompletion;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.MaxValuesExceededException;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;

/** Takes the command line apart, runs the command and turns its outcome into an exit status. */
public final class CommandLineProgram {

  private static final Set<String> COMMANDS =
      Set.of(
          "walk",
          "check",
          "compare",
          "list",
          "plan",
          "stems",
          "cues",
          "render",
          "snippets",
          "report",
          "demo",
          "completion");

  private static final int FAILED = 1;
  private static final int WRONG_USAGE = 2;
  private static final int BROKEN_PIPE = 128 + 13;

  private CommandLineProgram() {}

  /** Runs on the process's own streams. */
  public static int run(String... args) {
    return run(Console.ofProcess(), args);
  }

  static int run(Console console, String... typed) {
    String[] args = withCommand(typed);
    int status;
    try {
      Optional<Callable<Integer>> plain = plain(console, args);
      status =
          plain.isPresent()
              ? call(console, plain.get())
              : commandLine(console, args.length == 0 ? "" : args[0]).execute(args);
      console.out().flush();
    } catch (IOException | StackOverflowError | OutOfMemoryError e) {
      status = stopped(console, e);
    }
    console.err().flush();
    return status;
  }

  /** Whether it is the walk that is asked for: by its name, or by stems alone. */
  public static boolean isWalk(String[] typed) {
    return typed.length > 0 && withCommand(typed)[0].equals("walk");
  }

  /** {@code cairn FOLDER} is {@code cairn walk FOLDER}. */
  private static String[] withCommand(String[] typed) {
    if (typed.length == 0
        || typed[0].startsWith("-")
        || COMMANDS.contains(typed[0])
        || !new File(typed[0]).exists()) {
      return typed;
    }
    String[] args = new String[typed.length + 1];
    args[0] = "walk";
    System.arraycopy(typed, 0, args, 1, typed.length);
    return args;
  }

  /**
   * The two commands that are typed most, on stems alone. Without an option there is nothing to
   * take apart, and what takes options apart needs 0.2 s to set itself up, a sixth of a whole list.
   */
  private static Optional<Callable<Integer>> plain(Console console, String[] args) {
    List<Path> stems = new ArrayList<>();
    try {
      for (int i = 1; i < args.length; i++) {
        if (args[i].isEmpty() || args[i].startsWith("-")) {
          return Optional.empty();
        }
        stems.add(Path.of(args[i]));
      }
    } catch (InvalidPathException e) {
      return Optional.empty();
    }
    if (stems.isEmpty()) {
      return Optional.empty();
    }
    return switch (args[0]) {
      case "list" -> Optional.of(new ListCommand(console).on(stems));
      case "walk" -> Optional.of(new WalkCommand(console).on(stems));
      default -> Optional.empty();
    };
  }

  private static int call(Console console, Callable<Integer> command) {
    try {
      return command.call();
    } catch (Exception e) {
      return stopped(console, e);
    }
  }

  /**
   * The command line.
   *
   * @param command the first word that was typed
   */
  static CommandLine commandLine(Console console, String command) {
    CommandLine line = new CommandLine(new CairnCommand());
    // Taking one command's options apart costs 30 to 50 ms at every start, so only the one that is
    // asked for is; help and completion need them all.
    boolean all = !COMMANDS.contains(command) || command.equals("completion");
    if (all || command.equals("walk")) {
      line.addSubcommand(new WalkCommand(console));
    }
    if (all || command.equals("check")) {
      line.addSubcommand(new CheckCommand(console));
    }
    if (all || command.equals("compare")) {
      line.addSubcommand(new CompareCommand(console));
    }
    if (all || command.equals("list")) {
      line.addSubcommand(new ListCommand(console));
    }
    if (all || command.equals("plan")) {
      line.addSubcommand(new PlanCommand(console));
    }
    if (all || command.equals("stems")) {
      line.addSubcommand(new StemsCommand(console));
    }
    if (all || command.equals("cues")) {
      line.addSubcommand(new CuesCommand(console));
    }
    if (all || command.equals("render")) {
      line.addSubcommand(new RenderCommand(console));
    }
    if (all || command.equals("snippets")) {
      line.addSubcommand(new SnippetsCommand(console));
    }
    if (all || command.equals("report")) {
      line.addSubcommand(new ReportCommand(console));
    }
    if (all || command.equals("demo")) {
      line.addSubcommand(new DemoCommand(console));
    }
    if (all) {
      line.addSubcommand("completion", completion());
    }
    line.setOut(new PrintWriter(console.out()));
    line.setErr(console.err());
    line.setUsageHelpAutoWidth(false);
    line.setUsageHelpWidth(80);
    line.setCaseInsensitiveEnumValuesAllowed(true);
    line.setAbbreviatedOptionsAllowed(false);
    // A folder may be called @stems: it is one, not a file of arguments.
    line.setExpandAtFiles(false);
    line.setParameterExceptionHandler((e, args) -> wrongUsage(console, e, args));
    line.setExecutionExceptionHandler((e, failed, parsed) -> stopped(console, e));
    return line;
  }

  private static CommandLine completion() {
    CommandLine completion = new CommandLine(new GenerateCompletion());
    completion
        .getCommandSpec()
        .usageMessage()
        .description("Prints a completion script for bash and zsh: source <(cairn completion)");
    return completion;
  }

  private static int wrongUsage(Console console, ParameterException e, String[] args) {
    CommandSpec command = e.getCommandLine().getCommandSpec();
    console.err().println(wrong(e, command, args) + "; see " + command.qualifiedName() + " --help");
    return WRONG_USAGE;
  }

  /** What is wrong with the command line, safe to show. */
  private static String wrong(ParameterException e, CommandSpec command, String[] args) {
    if (e instanceof StemNames.NoSuchStem) {
      return e.getMessage();
    }
    if (e instanceof MaxValuesExceededException) {
      // Its own message lists the whole group that the option is in.
      Optional<String> twice = typedTwice(command, args);
      if (twice.isPresent()) {
        return twice.get() + " is given twice: leave one out";
      }
    }
    if (e instanceof UnmatchedArgumentException unmatched
        && command.parent() == null
        && !unmatched.isUnknownOption()) {
      return "there is no command '" + SafeText.of(unmatched.getUnmatched().get(0)) + "'";
    }
    return SafeText.of(e.getMessage());
  }

  /** The first option that takes one value and is there again. */
  private static Optional<String> typedTwice(CommandSpec command, String[] args) {
    Set<OptionSpec> seen = new HashSet<>();
    for (String arg : args) {
      int equals = arg.indexOf('=');
      String name = equals < 0 ? arg : arg.substring(0, equals);
      OptionSpec option = command.findOption(name);
      if (name.startsWith("-") && option != null && !option.isMultiValue() && !seen.add(option)) {
        return Optional.of(name);
      }
    }
    return Optional.empty();
  }

  private static int stopped(Console console, Throwable e) {
    if (e instanceof IOException && "Broken pipe".equals(e.getMessage())) {
      // Whoever read our output has seen enough: end as the signal would have ended us.
      return BROKEN_PIPE;
    }
    console.err().println("stopped: " + message(e));
    return FAILED;
  }

  private static String message(Throwable e) {
    if (e instanceof CancellationException) {
      return "cancelled";
    }
    if (e instanceof UncheckedIOException) {
      return message(e.getCause());
    }
    if (e instanceof OutOfMemoryError) {
      return "out of memory; give it more, for example CAIRN_MEMORY=1g cairn ...";
    }
    if (e instanceof WholeFile.NotWritten) {
      return e.getMessage();
    }
    if (e instanceof IOException && e.getMessage() != null && isFull(e.getMessage())) {
      return "no room left where the output goes; free some space or name another place";
    }
    if (e instanceof FileSystemException file && file.getFile() != null) {
      return "'" + SafeText.of(file.getFile()) + "' " + reason(file);
    }
    if (e instanceof Unanalysable || e instanceof IOException) {
      return e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
    }
    // A fault of ours: say where, so that it can be mended.
    StackTraceElement[] trace = e.getStackTrace();
    return "a fault in cairn: " + SafeText.of(e) + (trace.length > 0 ? " at " + trace[0] : "");
  }

  /** The system's own message is the bare path, which says nothing. */
  private static String reason(FileSystemException e) {
    if (e instanceof NoSuchFileException) {
      return "is not there; check the path";
    }
    if (e instanceof AccessDeniedException) {
      return "may not be read or written (no permission); allow it, or name another";
    }
    String reason = e.getReason() == null ? e.getClass().getSimpleName() : e.getReason();
    return "cannot be read or written: "
        + SafeText.of(reason)
        + "; name another, or check the disk";
  }

  private static boolean isFull(String message) {
    return message.contains("No space left on device");
  }

  /** Without a command: what it is for and how to start, in six lines. */
  @Command(
      name = "cairn",
      mixinStandardHelpOptions = true,
      versionProvider = Version.class,
      description = {
        "Finds the moments at which the stems of a song crest together, ranks them, and shows"
            + " which stem adds what.",
      },
      footer = {
        "",
        "Start with:",
        "  cairn demo parade        writes the stems of a carnival parade band",
        "  cairn check parade       says whether they are fit for it",
        "  cairn walk parade        walks through what stands out in them, fix by fix",
        "  cairn list parade        prints it as a table",
        "  cairn plan parade        proposes what to do about it",
        "  cairn cues parade --plan --to cues.mid   writes it as markers",
        "  cairn render parade --plan --to fixed    writes the stems with the fixes",
        "  cairn walk --help        tells the rest",
        "",
        "Exit status: 0 done, 1 the work failed, 2 the command line is wrong.",
      })
  static final class CairnCommand implements Runnable {

    @picocli.CommandLine.Spec private CommandSpec spec;

    @Override
    public void run() {
      PrintWriter out = spec.commandLine().getOut();
      out.println(
          "cairn finds the moments at which the stems of a song crest together, ranks them,");
      out.println("and shows which stem adds what, so that they can be dealt with in the mix.");
      out.println();
      out.println("  cairn FOLDER        walks through those of a folder of stems, fix by fix");
      out.println("  cairn list FOLDER   prints them as a table");
      out.println("  cairn demo FOLDER   writes a folder of stems to try it on");
      out.println("  cairn --help        tells the rest");
      out.flush();
    }
  }
}
