package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * Programs that we are held against. A missing one skips the check and says what to install; with
 * {@code CAIRN_ALL_TOOLS=1} it fails.
 */
final class OutsideTool {

  private static String python;

  private OutsideTool() {}

  /**
   * What a program did.
   *
   * @param status exit status
   * @param text what it printed, on both streams
   */
  record Outcome(int status, String text) {}

  static Outcome run(Path folder, List<String> command) throws IOException, InterruptedException {
    Path log = Files.createTempFile("cairn-outside", ".log");
    try {
      Process process =
          new ProcessBuilder(command)
              .directory(folder.toFile())
              .redirectErrorStream(true)
              .redirectOutput(log.toFile())
              .redirectInput(ProcessBuilder.Redirect.from(Path.of("/dev/null").toFile()))
              .start();
      int status = process.waitFor();
      return new Outcome(status, Files.readString(log, StandardCharsets.UTF_8));
    } finally {
      Files.delete(log);
    }
  }

  /** A python3 that has numpy. */
  static synchronized String python() throws IOException, InterruptedException {
    if (python != null) {
      return python;
    }
    for (String candidate : List.of("/usr/bin/python3", "python3")) {
      if (works(List.of(candidate, "-c", "import numpy"))) {
        python = candidate;
        return candidate;
      }
    }
    missing("python3 with numpy", "python3-numpy");
    return "";
  }

  /** A program on the path. */
  static String program(String name) throws IOException, InterruptedException {
    if (!works(List.of(name, name.equals("ffmpeg") ? "-version" : "--version"))) {
      missing(name, name);
    }
    return name;
  }

  /** The terminal multiplexer tmux, which is a real terminal to whatever runs in it. */
  static String tmux() throws IOException, InterruptedException {
    if (!works(List.of("tmux", "-V"))) {
      missing("tmux", "tmux");
    }
    return "tmux";
  }

  /** The SSH server, by its path, since it asks for that. */
  static String sshd() throws IOException, InterruptedException {
    for (String candidate : List.of("/usr/sbin/sshd", "/usr/bin/sshd", "/usr/local/sbin/sshd")) {
      if (Files.isExecutable(Path.of(candidate)) && works(List.of("ssh", "-V"))) {
        return candidate;
      }
    }
    missing("sshd, or ssh,", "openssh-server openssh-client");
    return "";
  }

  private static boolean works(List<String> command) throws IOException, InterruptedException {
    try {
      return run(Path.of("."), new ArrayList<>(command)).status() == 0;
    } catch (IOException e) {
      return false;
    }
  }

  private static void missing(String what, String debianPackage) {
    unusable(what + " is not there", "apt install " + debianPackage);
  }

  /** Skips or fails a check that cannot be made here. */
  static void unusable(String what, String wayOut) {
    String message = what + ": " + wayOut;
    if ("1".equals(System.getenv("CAIRN_ALL_TOOLS"))) {
      fail(message);
    }
    abort(message);
  }
}
