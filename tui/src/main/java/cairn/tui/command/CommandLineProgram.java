package cairn.tui.command;

import cairn.collisions.Unanalysable;
import cairn.io.files.SafeText;
import java.io.IOException;
import java.io.PrintWriter;
import java.util.Set;
import java.util.concurrent.CancellationException;
import picocli.AutoComplete.GenerateCompletion;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.ParameterException;

/** Takes the command line apart, runs the command and turns its outcome into an exit status. */
public final class CommandLineProgram {

  private static final int FAILED = 1;
  private static final int WRONG_USAGE = 2;
  private static final int BROKEN_PIPE = 128 + 13;

  private CommandLineProgram() {}

  /** Runs on the process's own streams. */
  public static int run(String... args) {
    return run(Console.ofProcess(), args);
  }

  static int run(Console console, String... args) {
    CommandLine line = commandLine(console, args.length == 0 ? "" : args[0]);
    int status;
    try {
      status = line.execute(args);
      console.out().flush();
    } catch (IOException | StackOverflowError | OutOfMemoryError e) {
      status = stopped(console, e);
    }
    console.err().flush();
    return status;
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
    boolean all = !Set.of("list", "plan", "demo").contains(command);
    if (all || command.equals("list")) {
      line.addSubcommand(new ListCommand(console));
    }
    if (all || command.equals("plan")) {
      line.addSubcommand(new PlanCommand(console));
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
    line.setParameterExceptionHandler((e, args) -> wrongUsage(console, e));
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

  private static int wrongUsage(Console console, ParameterException e) {
    String command = e.getCommandLine().getCommandSpec().qualifiedName();
    console.err().println(SafeText.of(e.getMessage()) + "; see " + command + " --help");
    return WRONG_USAGE;
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
    if (e instanceof OutOfMemoryError) {
      return "out of memory; give it more, for example CAIRN_MEMORY=1g cairn ...";
    }
    if (e instanceof IOException && e.getMessage() != null && isFull(e.getMessage())) {
      return "no room left where the output goes";
    }
    if (e instanceof Unanalysable || e instanceof IOException) {
      return e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
    }
    // A fault of ours: say where, so that it can be mended.
    StackTraceElement[] trace = e.getStackTrace();
    return "a fault in cairn: " + e + (trace.length > 0 ? " at " + trace[0] : "");
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
        "  cairn list parade        lists what stands out in them",
        "  cairn plan parade        proposes what to do about it",
        "  cairn list --help        tells the rest",
        "",
        "Exit status: 0 done, 1 the work failed, 2 the command line is wrong.",
      })
  static final class CairnCommand implements Runnable {

    @picocli.CommandLine.Spec private picocli.CommandLine.Model.CommandSpec spec;

    @Override
    public void run() {
      PrintWriter out = spec.commandLine().getOut();
      out.println(
          "cairn finds the moments at which the stems of a song crest together, ranks them,");
      out.println("and shows which stem adds what, so that they can be dealt with in the mix.");
      out.println();
      out.println("  cairn list FOLDER   lists what stands out in a folder of stems");
      out.println("  cairn plan FOLDER   proposes the gentlest fixes for it");
      out.println("  cairn demo FOLDER   writes a folder of stems to try it on");
      out.println("  cairn --help        tells the rest");
      out.flush();
    }
  }
}
