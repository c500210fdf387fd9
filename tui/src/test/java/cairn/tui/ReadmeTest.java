package cairn.tui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.command.TestConsole;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What README.md shows is what the program prints; {@code -Dcairn.rewrite=true} mends it. */
class ReadmeTest {

  private static final Path README = Path.of("..", "README.md");

  @TempDir Path written;

  @Test
  void theListingIsTheRealOneOfTheDemoStems() throws IOException {
    checkCommand("listing", "list", Demo.folder().toString(), "--tempo", "104");
  }

  @Test
  void thePlanIsTheRealOneOfTheDemoStems() throws IOException {
    checkCommand("plan", "plan", Demo.folder().toString(), "--tempo", "104");
  }

  @Test
  void whatRenderingSaysIsReal() throws IOException {
    TestConsole.Outcome outcome =
        TestConsole.run(
            "render",
            Demo.folder().toString(),
            "--plan",
            "--to",
            written.resolve("fixed").toString());
    assertEquals(0, outcome.status(), outcome.err());
    check("render", outcome.out().replace(written + "/", ""));
  }

  @Test
  void theTestCommandIsMavens() throws IOException {
    assertTrue(block("test command").startsWith("mvn "));
  }

  @Test
  void everyCommandThatItShowsWorks() throws IOException {
    String commands = block("commands");
    assertTrue(commands.lines().count() >= 5, commands);
    for (String line : commands.lines().toList()) {
      assertTrue(line.startsWith("cairn "), line);
      Matcher words = Pattern.compile("'([^']*)'|(\\S+)").matcher(line.substring(6));
      String[] args =
          words
              .results()
              .map(word -> word.group(1) == null ? word.group(2) : word.group(1))
              .toArray(String[]::new);
      for (int i = 0; i < args.length; i++) {
        args[i] = args[i].equals("parade") ? Demo.folder().toString() : args[i].replace("'", "");
        if (i > 0 && args[i - 1].equals("--to")) {
          args[i] = written.resolve(args[i]).toString();
        }
      }
      TestConsole.Outcome outcome = TestConsole.run(args);
      if (args[0].equals("walk")) {
        // There is no terminal here: the command line is taken, and nothing else is wrong with it.
        assertEquals(
            "stopped: cairn walk needs a terminal for its screen and its keys; elsewhere use cairn"
                + " list",
            outcome.errLine(),
            line);
      } else {
        assertEquals(0, outcome.status(), line + ": " + outcome.err());
      }
    }
  }

  private static void checkCommand(String marker, String... args) throws IOException {
    TestConsole.Outcome outcome = TestConsole.run(args);
    assertEquals(0, outcome.status(), outcome.err());
    check(marker, outcome.out());
  }

  private static void check(String marker, String printed) throws IOException {
    Matcher shown = find(marker);
    if (Boolean.getBoolean("cairn.rewrite")) {
      StringBuilder readme = new StringBuilder(Files.readString(README));
      readme.replace(shown.start(1), shown.end(1), printed);
      Files.writeString(README, readme);
      return;
    }
    assertEquals(printed, shown.group(1));
  }

  /** The lines of the fenced block behind a marker. */
  private static String block(String marker) throws IOException {
    return find(marker).group(1);
  }

  private static Matcher find(String marker) throws IOException {
    Matcher block =
        Pattern.compile("<!-- " + marker + " -->\n```\\w*\n(.*?)```", Pattern.DOTALL)
            .matcher(Files.readString(README));
    assertTrue(block.find(), "README.md must have a block marked " + marker);
    return block;
  }
}
