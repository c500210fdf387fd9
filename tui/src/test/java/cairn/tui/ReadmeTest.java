package cairn.tui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.command.TestConsole;
import java.io.IOException;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What README.md shows is what the program prints; {@code -Dcairn.rewrite=true} mends it. */
class ReadmeTest {

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
    Readme.check("render", outcome.out().replace(written + "/", ""));
  }

  @Test
  void theTestCommandIsMavens() throws IOException {
    assertTrue(Readme.block("test command").startsWith("mvn "));
  }

  @Test
  void everyCommandThatItShowsWorks() throws IOException {
    String commands = Readme.block("commands");
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
    Readme.check(marker, outcome.out());
  }
}
