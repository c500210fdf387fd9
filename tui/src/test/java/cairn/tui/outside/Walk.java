package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.fail;

import cairn.io.session.SessionFile;
import java.io.Closeable;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A window of tmux with something in it: a real terminal, seen from outside. */
final class Walk implements Closeable {

  /** A loaded machine takes its time; nothing waits so long but what is wrong. */
  private static final long MOST_SECONDS = 120;

  /** A row of the list: cursor, state and time. */
  private static final Pattern ROW = Pattern.compile("^[›> ](.) +\\d+:\\d\\d\\.\\d{3}[ +-]");

  private final String tmux;
  private final String socket = "cairn-" + UUID.randomUUID();
  private final Path folder;

  /**
   * Opens a window.
   *
   * @param folder for the window's own files
   * @param term what the program is told that the terminal is
   * @param command for a shell
   */
  Walk(Path folder, int columns, int rows, String term, String command)
      throws IOException, InterruptedException {
    tmux = OutsideTool.tmux();
    this.folder = folder;
    Path settings = folder.resolve("tmux.conf");
    Files.writeString(
        settings,
        "set -g default-terminal \"" + term + "\"\nset -s escape-time 0\nset -g status off\n");
    // A file, since tmux takes no command that is as long as a class path may be.
    Path script = folder.resolve("window.sh");
    Files.writeString(script, command + "\n");
    List<String> start =
        new ArrayList<>(
            List.of("env", "-u", "TMUX", "-u", "NO_COLOR", "-u", "LC_ALL", "LANG=C.UTF-8"));
    start.addAll(List.of(tmux, "-u", "-L", socket, "-f", settings.toString(), "new-session", "-d"));
    start.addAll(List.of("-x", "" + columns, "-y", "" + rows, "sh", script.toString()));
    OutsideTool.Outcome outcome = OutsideTool.run(folder, start);
    if (outcome.status() != 0) {
      fail("tmux: " + outcome.text());
    }
  }

  /** The shell command that walks some stems in this build, with the user's folders beside them. */
  static String command(Path stems) {
    return "env XDG_CACHE_HOME='"
        + stems.resolveSibling("xdg/cache")
        + "' XDG_CONFIG_HOME='"
        + stems.resolveSibling("xdg/config")
        + "' XDG_STATE_HOME='"
        + stems.resolveSibling("xdg/state")
        + "' '"
        + Path.of(System.getProperty("java.home"), "bin", "java")
        + "' -Xmx192m -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -Xshare:auto -cp '"
        + System.getProperty("surefire.test.class.path", System.getProperty("java.class.path"))
        + "' cairn.tui.Main walk '"
        + stems
        + "'";
  }

  /**
   * The same, between two notes of how the terminal is set; its status goes to a file {@code
   * status}, what it says in the end to {@code err}.
   */
  static String commandBetweenNotes(Path stems) {
    return "stty -a >before; "
        + command(stems)
        + " 2>err; echo $? >status.tmp; stty -a >after; mv status.tmp status; exec cat";
  }

  private String run(String... words) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of(tmux, "-L", socket));
    command.addAll(List.of(words));
    OutsideTool.Outcome outcome = OutsideTool.run(folder, command);
    if (outcome.status() != 0) {
      fail("tmux " + String.join(" ", words) + ": " + outcome.text());
    }
    return outcome.text();
  }

  /** What is to be seen. */
  String screen() throws IOException, InterruptedException {
    return run("capture-pane", "-p");
  }

  /** One of tmux's own facts: {@code alternate_on}, {@code pane_pid}. */
  String fact(String name) throws IOException, InterruptedException {
    return run("display-message", "-p", "#{" + name + "}").strip();
  }

  /** Presses keys by tmux's names: {@code Enter}, {@code j}, {@code C-c}. */
  void press(String... keys) throws IOException, InterruptedException {
    List<String> words = new ArrayList<>(List.of("send-keys"));
    words.addAll(List.of(keys));
    run(words.toArray(new String[0]));
  }

  /** Pastes text as the terminal does it. */
  void paste(String text) throws IOException, InterruptedException {
    run("set-buffer", text);
    run("paste-buffer", "-p", "-r");
  }

  void resize(int columns, int rows) throws IOException, InterruptedException {
    run("resize-window", "-x", "" + columns, "-y", "" + rows);
  }

  /** Waits until the screen is as it should be. */
  String await(String what, Predicate<String> seen) throws IOException, InterruptedException {
    long deadline = System.nanoTime() + MOST_SECONDS * 1_000_000_000;
    String screen = screen();
    while (!seen.test(screen)) {
      if (System.nanoTime() > deadline) {
        fail(what + " was not seen:\n" + screen + errors());
      }
      screen = screen();
    }
    return screen;
  }

  private String errors() throws IOException {
    Path err = folder.resolve("err");
    return Files.exists(err) ? Files.readString(err) : "";
  }

  /** Waits until the list is there and its first moment was looked into. */
  String awaitList() throws IOException, InterruptedException {
    return await("the list", screen -> !states(screen).isEmpty() && screen.contains(" sum "));
  }

  /** Waits until the program has ended. */
  int awaitStatus() throws IOException {
    Path status = folder.resolve("status");
    long deadline = System.nanoTime() + MOST_SECONDS * 1_000_000_000;
    while (!Files.exists(status)) {
      if (System.nanoTime() > deadline) {
        fail("it has not ended" + errors());
      }
      Thread.onSpinWait();
    }
    return Integer.parseInt(Files.readString(status).strip());
  }

  String note(String name) throws IOException {
    return Files.readString(folder.resolve(name), StandardCharsets.UTF_8);
  }

  /** The state letters of the rows of the list, from the top. */
  static String states(String screen) {
    StringBuilder states = new StringBuilder();
    screen.lines().forEach(line -> state(line, states));
    return states.toString();
  }

  private static void state(String line, StringBuilder states) {
    Matcher row = ROW.matcher(line);
    if (row.find()) {
      states.append(row.group(1));
    }
  }

  /** How many marks of each state letter a session file holds. */
  static long saved(Path stems, char letter) throws IOException {
    Path file = stems.resolve(SessionFile.NAME);
    if (!Files.exists(file)) {
      return 0;
    }
    return SessionFile.read(file).marks().stream()
        .filter(mark -> letter == letter(mark.mark()))
        .count();
  }

  private static char letter(cairn.collisions.plan.Mark mark) {
    return mark instanceof cairn.collisions.plan.Mark.OfFix fix
        ? Character.toLowerCase(fix.fix().kind().name().charAt(0))
        : 'f';
  }

  /** Ends whatever runs in the window, as a terminal that is closed does. */
  @Override
  public void close() throws IOException {
    try {
      OutsideTool.run(folder, List.of(tmux, "-L", socket, "kill-server"));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
