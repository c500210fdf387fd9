package cairn.tui.command;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.OptionalInt;

/** Runs the program in this process and keeps what it prints. */
public final class TestConsole {

  private TestConsole() {}

  /**
   * What a command left.
   *
   * @param status exit status
   * @param out standard output
   * @param err standard error
   */
  public record Outcome(int status, String out, String err) {

    /** The only line on standard error. */
    public String errLine() {
      if (err.strip().contains("\n")) {
        throw new AssertionError("more than one line: " + err);
      }
      return err.strip();
    }
  }

  /** Runs a command with standard output in a file or pipe. */
  public static Outcome run(String... args) {
    return run(OptionalInt.empty(), args);
  }

  static Outcome run(OptionalInt columns, String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    Console console = new Console(out, new PrintWriter(err, true), columns, false);
    int status = CommandLineProgram.run(console, args);
    return new Outcome(status, out.toString(), err.toString());
  }
}
