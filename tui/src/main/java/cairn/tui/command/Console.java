package cairn.tui.command;

import cairn.io.files.SafeText;
import cairn.io.files.XdgFolders;
import cairn.tui.terminal.Stty;
import java.io.BufferedWriter;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.List;
import java.util.OptionalInt;
import java.util.concurrent.TimeUnit;

/**
 * Where a command writes: standard output for data, standard error for everything else. Always
 * UTF-8.
 *
 * @param out standard output
 * @param err standard error
 * @param outColumns columns of the terminal that standard output is, if it is one
 * @param errIsTerminal whether standard error is a terminal
 * @param home where the program keeps files of its own
 */
record Console(
    Writer out, PrintWriter err, OptionalInt outColumns, boolean errIsTerminal, Home home) {

  /**
   * Where the program keeps files of its own, and by which clock it tells old from new.
   *
   * @param folders the user's folders
   * @param clock the time of now
   */
  record Home(XdgFolders folders, InstantSource clock) {
    /** Nothing is kept. */
    static final Home NONE = new Home(XdgFolders.NONE, InstantSource.system());
  }

  /** One without files of its own. */
  Console(Writer out, PrintWriter err, OptionalInt outColumns, boolean errIsTerminal) {
    this(out, err, outColumns, errIsTerminal, Home.NONE);
  }

  /** The process's own streams. */
  static Console ofProcess() {
    return new Console(
        new OutputStreamWriter(new FileOutputStream(FileDescriptor.out), StandardCharsets.UTF_8),
        new PrintWriter(
            new OutputStreamWriter(
                new FileOutputStream(FileDescriptor.err), StandardCharsets.UTF_8),
            true),
        isTerminal(1) ? columns() : OptionalInt.empty(),
        isTerminal(2),
        new Home(XdgFolders.ofProcess(), InstantSource.system()));
  }

  /** Whether standard input is a terminal. */
  static boolean inIsTerminal() {
    return isTerminal(0);
  }

  private static boolean isTerminal(int descriptor) {
    try {
      Path target = Files.readSymbolicLink(Path.of("/proc/self/fd/" + descriptor));
      return target.startsWith("/dev/pts") || target.startsWith("/dev/tty");
    } catch (IOException | RuntimeException e) {
      return false;
    }
  }

  private static OptionalInt columns() {
    try {
      Process stty =
          new ProcessBuilder("stty", "size")
              .redirectInput(Stty.input())
              .redirectError(ProcessBuilder.Redirect.DISCARD)
              .start();
      String size = new String(stty.getInputStream().readAllBytes(), StandardCharsets.US_ASCII);
      stty.waitFor(1, TimeUnit.SECONDS);
      int columns = Integer.parseInt(size.strip().split(" ", -1)[1]);
      return columns > 0 ? OptionalInt.of(columns) : OptionalInt.empty();
    } catch (IOException | RuntimeException e) {
      return OptionalInt.empty();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return OptionalInt.empty();
    }
  }

  void warning(String text) {
    err.println("warning: " + text);
  }

  void note(String text) {
    err.println(text);
  }

  /** Writes something to standard output. */
  @FunctionalInterface
  interface Content {
    void writeTo(Writer out) throws IOException;
  }

  /** Prints data as it is. */
  void print(Content content) throws IOException {
    Writer buffered = new BufferedWriter(out, 1 << 16);
    content.writeTo(buffered);
    buffered.flush();
  }

  /** Prints lines for people, cut to the width of the terminal if it is one. */
  void print(List<String> lines) throws IOException {
    print(
        buffered -> {
          for (String line : lines) {
            buffered.write(
                outColumns.isPresent() ? SafeText.cutEnd(line, outColumns.getAsInt()) : line);
            buffered.write('\n');
          }
        });
  }
}
