package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.Demo;
import java.io.IOException;
import org.junit.jupiter.api.Test;

/** What is said where there is no terminal; the rest is tried in real ones. */
class WalkCommandTest {

  private static final String NO_TERMINAL =
      "stopped: cairn walk needs a terminal for its screen and its keys; elsewhere use cairn list";

  @Test
  void withoutATerminalOneLineSaysWhatToUse() throws IOException {
    TestConsole.Outcome outcome = TestConsole.run("walk", Demo.folder().toString());
    assertEquals(1, outcome.status());
    assertEquals(NO_TERMINAL, outcome.errLine());
    assertEquals("", outcome.out());
  }

  @Test
  void aFolderWithoutACommandIsWalked() throws IOException {
    TestConsole.Outcome outcome = TestConsole.run(Demo.folder().toString(), "--margin", "2");
    assertEquals(1, outcome.status());
    assertEquals(NO_TERMINAL, outcome.errLine());
  }

  @Test
  void whatIsNeitherACommandNorThereIsSaidToBeNoCommand() {
    TestConsole.Outcome outcome = TestConsole.run("wlak");
    assertEquals(2, outcome.status());
    assertEquals("there is no command 'wlak'; see cairn --help", outcome.errLine());
  }

  @Test
  void aloneItSaysInSixLinesWhatItIsForAndHowToStart() {
    TestConsole.Outcome outcome = TestConsole.run();
    assertEquals(0, outcome.status());
    assertEquals(6, outcome.out().lines().filter(line -> !line.isBlank()).count());
    assertTrue(outcome.out().contains("  cairn FOLDER  "), outcome.out());
  }
}
