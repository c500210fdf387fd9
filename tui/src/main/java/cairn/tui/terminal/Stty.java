package cairn.tui.terminal;

import cairn.tui.model.Size;
import java.io.File;
import java.io.FileInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** Asks for and changes the settings of the terminal with {@code stty} (POSIX.1-2017, XCU). */
public final class Stty {

  private static final File TERMINAL = new File("/dev/tty");

  /** Under {@code su -c} there is no controlling terminal: standard input is what there is. */
  private static final boolean IS_CONTROLLED = opens(TERMINAL);

  /**
   * Keys one by one, not shown, none of them a signal; Ctrl-S and Ctrl-Q are keys, and Return is a
   * line feed as ever.
   */
  private static final String KEYS =
      "-icanon -echo -isig -iexten -ixon icrnl -inlcr -igncr -istrip min 1 time 0";

  private static final String NOTHING = ":";

  /** How the terminal was found; empty: there is none. */
  private final String found;

  private Size first;

  private Stty(String found, Size first) {
    this.found = found;
    this.first = first;
  }

  /**
   * Notes how the terminal is set, and sets it for keys. One process for all three, since starting
   * one takes tens of milliseconds.
   *
   * @throws IOException if there is no terminal, or none that can be set
   */
  static Stty open() throws IOException {
    List<String> lines = run("stty -g && stty size && stty " + KEYS).lines().toList();
    if (lines.size() < 2 || !lines.get(0).matches("[0-9a-fA-F:=a-z]+")) {
      throw new IOException("stty does not say how the terminal is set: " + lines);
    }
    return new Stty(lines.get(0), size(lines.get(1)).orElse(Size.LEAST));
  }

  /** One that is set by doing nothing; as large as is said. */
  static Stty rehearse(Size size) throws IOException {
    run(NOTHING);
    return new Stty("", size);
  }

  private static boolean opens(File file) {
    try (FileInputStream in = new FileInputStream(file)) {
      return in.getFD().valid();
    } catch (IOException e) {
      return false;
    }
  }

  /** Whether the terminal tells of its changes with signals. */
  static boolean isControlled() {
    return IS_CONTROLLED;
  }

  /** What a program must have as its standard input to ask for the terminal's settings. */
  public static ProcessBuilder.Redirect input() {
    return IS_CONTROLLED ? ProcessBuilder.Redirect.from(TERMINAL) : ProcessBuilder.Redirect.INHERIT;
  }

  /** The size that the terminal had when it was opened. */
  Size firstSize() {
    return first;
  }

  /** The size that it has; empty: it does not say. */
  static Optional<Size> size() throws IOException {
    return size(run("stty size").strip());
  }

  private static Optional<Size> size(String line) {
    String[] words = line.split(" ", -1);
    try {
      Size size = new Size(Integer.parseInt(words[1]), Integer.parseInt(words[0]));
      return size.columns() > 0 && size.rows() > 0 ? Optional.of(size) : Optional.empty();
    } catch (NumberFormatException | ArrayIndexOutOfBoundsException e) {
      return Optional.empty();
    }
  }

  /** Sets it for keys again. */
  void keys() throws IOException {
    run(found.isEmpty() ? NOTHING : "stty " + KEYS);
  }

  /** Sets it as it was found. */
  void restore() throws IOException {
    run(found.isEmpty() ? NOTHING : "stty " + found);
  }

  private static String run(String script) throws IOException {
    Process process =
        new ProcessBuilder("/bin/sh", "-c", script)
            .redirectInput(input())
            .redirectErrorStream(true)
            .start();
    String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    try {
      if (!process.waitFor(5, TimeUnit.SECONDS) || process.exitValue() != 0) {
        throw new IOException("the terminal cannot be set: " + text.strip());
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted while the terminal was set", e);
    }
    return text;
  }
}
