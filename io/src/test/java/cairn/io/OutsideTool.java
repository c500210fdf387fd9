package cairn.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A program of others that a test checks against. Where it is missing the test is skipped and says
 * what to install; where the environment has {@code CAIRN_ALL_TOOLS=1} the test fails instead.
 */
public final class OutsideTool {

  private static final String ALL_TOOLS = "CAIRN_ALL_TOOLS";

  private final Path program;

  private OutsideTool(Path program) {
    this.program = program;
  }

  /**
   * The program of that name on the search path; without it the calling test ends here.
   *
   * @param install what to install to have it, a package name
   */
  public static OutsideTool named(String name, String install) {
    String path = System.getenv().getOrDefault("PATH", "");
    for (String folder : path.split(File.pathSeparator, -1)) {
      Path program = Path.of(folder, name);
      if (!folder.isEmpty() && Files.isExecutable(program)) {
        return new OutsideTool(program);
      }
    }
    String missing = "'" + name + "' is not installed; install the package " + install;
    if ("1".equals(System.getenv(ALL_TOOLS))) {
      fail(missing + " (" + ALL_TOOLS + "=1 asks for all tools)");
    }
    assumeTrue(false, missing);
    throw new AssertionError("not reached");
  }

  /** Runs it; the test fails unless it ends with status 0. Gives what it wrote to standard out. */
  public byte[] run(Object... arguments) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of(program.toString()));
    Arrays.stream(arguments).map(Object::toString).forEach(command::add);
    Path complaints = Files.createTempFile("outside-tool", ".txt");
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectInput(ProcessBuilder.Redirect.from(new File("/dev/null")))
              .redirectError(complaints.toFile())
              .start();
      byte[] output = process.getInputStream().readAllBytes();
      int status = process.waitFor();
      assertEquals(0, status, () -> command + ": " + textOf(complaints));
      return output;
    } finally {
      Files.delete(complaints);
    }
  }

  private static String textOf(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      return e.toString();
    }
  }
}
