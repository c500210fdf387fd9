package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The walk in a real terminal, tmux, from start to end. */
class WalkInTerminalTest {

  @TempDir private Path folder;
  private Path stems;

  @BeforeEach
  void writeStems() throws IOException {
    stems = SmallSong.write(folder.resolve("parade"));
  }

  private Walk open(int columns, int rows) throws IOException, InterruptedException {
    return new Walk(folder, columns, rows, "tmux-256color", Walk.commandBetweenNotes(stems));
  }

  private void assertLeftAsFound(Walk walk) throws IOException, InterruptedException {
    assertEquals(walk.note("before"), walk.note("after"), "settings of the terminal");
    assertEquals("0", walk.fact("alternate_on"), "the other screen");
    assertEquals("1", walk.fact("cursor_flag"), "the cursor is shown");
  }

  private void walk(int columns, int rows) throws IOException, InterruptedException {
    try (Walk walk = open(columns, rows)) {
      String first = walk.awaitList();
      assertEquals(rows, first.lines().count());
      assertTrue(first.contains("parade"), first);
      walk.press("Enter");
      String marked = walk.await("a mark", screen -> Walk.states(screen).matches("[ntc].*"));
      walk.press("q");
      assertEquals(0, walk.awaitStatus(), walk.note("err"));
      assertEquals("", walk.note("err"));
      assertLeftAsFound(walk);
      assertEquals(1, Walk.saved(stems, Walk.states(marked).charAt(0)));
    }
  }

  @Test
  void atTheSmallestSizeAMarkIsMadeSavedAndTheTerminalLeftAsFound() throws Exception {
    walk(80, 24);
  }

  @Test
  void inALargeWindowAMarkIsMadeSavedAndTheTerminalLeftAsFound() throws Exception {
    walk(200, 60);
  }

  @Test
  void marksAreThereTheNextTime() throws Exception {
    try (Walk walk = open(80, 24)) {
      walk.awaitList();
      walk.press("f", "j", "f");
      walk.await("two moments called fine", screen -> Walk.states(screen).startsWith("ff"));
      walk.press("q");
      assertEquals(0, walk.awaitStatus());
    }
    Files.delete(folder.resolve("status"));
    try (Walk again = open(80, 24)) {
      String screen = again.awaitList();
      assertTrue(Walk.states(screen).startsWith("ff!"), screen);
      again.press("u");
      again.press("q");
      assertEquals(0, again.awaitStatus());
    }
  }

  @Test
  void theWindowMayBeMadeLargerTooSmallAndLargeAgain() throws Exception {
    try (Walk walk = open(80, 24)) {
      walk.awaitList();
      walk.resize(140, 40);
      walk.await(
          "a larger picture",
          screen ->
              screen.lines().count() == 40
                  && screen.lines().skip(39).findFirst().orElse("").endsWith("? keys"));
      walk.resize(60, 20);
      walk.await(
          "what is needed",
          screen ->
              screen
                  .replace("\n", " ")
                  .contains("cairn needs 80 columns and 24 rows, this window has 60 and 20"));
      walk.resize(80, 24);
      walk.awaitList();
      walk.press("q");
      assertEquals(0, walk.awaitStatus());
      assertLeftAsFound(walk);
    }
  }

  @Test
  void aPasteIsNeverKeys() throws Exception {
    try (Walk walk = open(80, 24)) {
      walk.awaitList();
      walk.paste("ffff\nq\nff");
      // The key after the paste shows that it was taken in.
      walk.press("j", "f");
      String screen = walk.await("the mark", s -> Walk.states(s).contains("f"));
      assertTrue(Walk.states(screen).startsWith("!f!"), screen);
      assertEquals(1, Walk.saved(stems, 'f'));
    }
  }

  @Test
  void toldToEndItSavesAndLeavesTheTerminalAsFound() throws Exception {
    try (Walk walk = open(80, 24)) {
      walk.awaitList();
      walk.press("f");
      walk.await("the mark", screen -> Walk.states(screen).startsWith("f"));
      long shell = Long.parseLong(walk.fact("pane_pid"));
      ProcessHandle program =
          ProcessHandle.of(shell).orElseThrow().children().findFirst().orElseThrow();
      program.destroy(); // SIGTERM
      // 128 + 15, as for any program that this signal ends.
      assertEquals(143, walk.awaitStatus());
      assertLeftAsFound(walk);
      assertEquals(1, Walk.saved(stems, 'f'));
    }
  }

  @Test
  void suspendedItGivesTheTerminalBackAndTakesItAgain() throws Exception {
    String shell = "PS1='ready: ' exec sh -i";
    try (Walk walk = new Walk(folder, 80, 24, "tmux-256color", shell)) {
      walk.await("the prompt", screen -> screen.contains("ready:"));
      // A line of its own, since it is longer than the window.
      Path script = folder.resolve("walk.sh");
      Files.writeString(script, "exec " + Walk.command(stems) + "\n");
      walk.press("sh " + script, "Enter");
      walk.awaitList();
      walk.press("f");
      walk.await("the mark", screen -> Walk.states(screen).startsWith("f"));
      walk.press("C-z");
      // The line that started it stands there too, before the shell has its terminal back.
      String outside = walk.await("the prompt", screen -> screen.strip().endsWith("ready:"));
      assertEquals("0", walk.fact("alternate_on"), outside);
      walk.press("fg", "Enter");
      String screen = walk.awaitList();
      assertTrue(Walk.states(screen).startsWith("f"), screen);
      walk.press("q");
      walk.await("the prompt", s -> s.strip().endsWith("ready:"));
    }
  }

  @Test
  void aTerminalThatCannotPlaceTextIsRefusedWithOneLine() throws Exception {
    String command = Walk.commandBetweenNotes(stems);
    try (Walk walk = new Walk(folder, 80, 24, "tmux-256color", "export TERM=dumb; " + command)) {
      assertEquals(1, walk.awaitStatus());
      assertEquals(
          "stopped: this terminal cannot place text (TERM is dumb); use another one, or cairn"
              + " list\n",
          walk.note("err"));
      assertLeftAsFound(walk);
    }
  }

  @Test
  void otherKindsOfTerminalShowTheSameList() throws Exception {
    for (String term : new String[] {"xterm-256color", "screen", "linux", "vt100"}) {
      Files.deleteIfExists(folder.resolve("status"));
      String command = "export TERM=" + term + "; " + Walk.commandBetweenNotes(stems);
      try (Walk walk = new Walk(folder, 80, 24, "tmux-256color", command)) {
        String screen = walk.awaitList();
        assertTrue(screen.contains("? keys"), term + "\n" + screen);
        if (term.equals("linux") || term.equals("vt100")) {
          assertTrue(screen.chars().allMatch(c -> c < 128), term + "\n" + screen);
        }
        walk.press("q");
        assertEquals(0, walk.awaitStatus(), term);
        assertLeftAsFound(walk);
      }
    }
  }
}
