package cairn.tui;

import cairn.io.sound.WarmLoops;
import cairn.tui.command.CommandLineProgram;
import cairn.tui.command.Version;

/** Starts cairn. */
public final class Main {

  private Main() {}

  /** Runs one command and ends with its exit status. */
  public static void main(String[] args) {
    if (args.length == 1 && (args[0].equals("--version") || args[0].equals("-V"))) {
      // Answered without loading the command line's machinery, which takes twice as long.
      Version.print();
      return;
    }
    if (readsStems(args) && Runtime.getRuntime().availableProcessors() > 1) {
      Thread warming = new Thread(new WarmLoops(), "cairn-warming");
      warming.setDaemon(true);
      warming.start();
    }
    System.exit(CommandLineProgram.run(args));
  }

  /**
   * True unless it is known that no stem is read: options alone, and the demo, which makes them.
   * The walk is mostly opened on stems that are known from the last time, and has a screen to draw.
   */
  private static boolean readsStems(String[] args) {
    return args.length > 0
        && !args[0].startsWith("-")
        && !args[0].equals("demo")
        && !CommandLineProgram.isWalk(args);
  }
}
