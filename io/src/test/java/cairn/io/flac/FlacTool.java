package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * A program from outside that a test compares with. Where it is not installed the test is skipped
 * and says so; with {@code CAIRN_ALL_TOOLS=1} in the environment it fails instead.
 */
final class FlacTool {

  private FlacTool() {}

  /** Skips the test, or fails it, where the program is not installed. */
  static void need(String program, String debianPackage) {
    for (String folder : System.getenv().getOrDefault("PATH", "").split(File.pathSeparator, -1)) {
      if (Files.isExecutable(Path.of(folder, program))) {
        return;
      }
    }
    String what = program + " is not installed: install the package " + debianPackage;
    if ("1".equals(System.getenv("CAIRN_ALL_TOOLS"))) {
      fail(what);
    }
    assumeTrue(false, what);
  }

  /** Runs a command in {@code folder}; fails the test if it does not end well. */
  static void run(Path folder, List<String> command) throws IOException, InterruptedException {
    Path said = Files.createTempFile(folder, "said", ".txt");
    Process process =
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectInput(ProcessBuilder.Redirect.from(new File("/dev/null")))
            .redirectErrorStream(true)
            .redirectOutput(said.toFile())
            .start();
    assertEquals(0, process.waitFor(), () -> command + ": " + text(said));
    Files.delete(said);
  }

  /** The reference encoder on {@code in.raw} beside {@code out}. */
  static void encode(Path out, int sampleRateHz, int channels, int bits, List<String> options)
      throws IOException, InterruptedException {
    need("flac", "flac");
    List<String> command = new ArrayList<>(List.of("flac", "-s", "-f", "--force-raw-format"));
    command.addAll(
        List.of(
            "--endian=little",
            "--sign=signed",
            "--channels=" + channels,
            "--bps=" + bits,
            "--sample-rate=" + sampleRateHz));
    command.addAll(options);
    command.addAll(List.of("-o", out.getFileName().toString(), "in.raw"));
    run(out.getParent(), command);
  }

  private static String text(Path path) {
    try {
      return Files.readString(path);
    } catch (IOException e) {
      return e.toString();
    }
  }
}
