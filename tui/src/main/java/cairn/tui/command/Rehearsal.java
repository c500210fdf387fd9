package cairn.tui.command;

import cairn.tui.model.Event;
import java.io.IOException;
import java.io.InputStream;
import java.util.List;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import picocli.CommandLine;

/**
 * Runs what a list and a walk run, the walk without a terminal, so that the launcher can see which
 * classes they load. No part of what its user meets.
 */
public final class Rehearsal {

  /** Most a key waits for what it is to be pressed after. */
  private static final long MOST_SECONDS = 10;

  private Rehearsal() {}

  /**
   * Lists and walks.
   *
   * @param stems files and folders with at least two moments over -20 dBFS, unlike each other
   */
  public static void main(String[] stems) throws IOException, InterruptedException {
    CommandLineProgram.run(command("list", stems));
    boolean whole = walk(Console.ofProcess(), stems);
    System.exit(whole ? 0 : 1);
  }

  /** Walks; whether it came to its last key. */
  static boolean walk(Console console, String... stems) throws IOException, InterruptedException {
    CommandLine line = CommandLineProgram.commandLine(console, "walk");
    line.parseArgs(command("walk", stems));
    WalkCommand walk = line.getSubcommands().get("walk").getCommand();
    Keys keys = new Keys();
    walk.rehearse(keys, keys::told);
    return keys.pressed.get() == Keys.PRESSED.length();
  }

  private static String[] command(String name, String[] stems) {
    String[] command = new String[stems.length + 3];
    List.of(name, "--line", "-20").toArray(command);
    System.arraycopy(stems, 0, command, 3, stems.length);
    return command;
  }

  /**
   * To the walk if something else came first and on to the next moment, once the first one has been
   * looked into; out once that one has.
   */
  private static final class Keys extends InputStream {
    private static final String PRESSED = "Wjq";

    private final Semaphore looks = new Semaphore(0);
    private final AtomicInteger pressed = new AtomicInteger();

    void told(Event event) {
      if (event instanceof Event.MomentReckoned) {
        looks.release();
      }
    }

    @Override
    public int read() throws IOException {
      if (pressed.get() == PRESSED.length()) {
        return -1;
      }
      try {
        if (pressed.get() != 1 && !looks.tryAcquire(MOST_SECONDS, TimeUnit.SECONDS)) {
          return -1;
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new IOException("interrupted", e);
      }
      return PRESSED.charAt(pressed.getAndIncrement());
    }

    @Override
    public int read(byte[] into, int from, int length) throws IOException {
      int key = read();
      if (key < 0) {
        return -1;
      }
      into[from] = (byte) key;
      return 1;
    }
  }
}
