package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.session.SessionFile;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The walk, killed while keys are played: the session file always parses, and holds every change
 * that was shown. {@code -Dcairn.kills=200} kills it more often, {@code -Dcairn.seed=12} at other
 * instants.
 */
class WalkKilledTest {

  private static final int KILLS = Integer.getInteger("cairn.kills", 6);
  private static final long SEED = Long.getLong("cairn.seed", 11);

  @TempDir private Path folder;

  @Test
  void everyChangeThatWasShownIsInTheFile() throws IOException, InterruptedException {
    Path stems = SmallSong.write(folder.resolve("parade"));
    Random random = new Random(SEED);
    long shownInAll = 0;
    for (int kill = 0; kill < KILLS; kill++) {
      Files.deleteIfExists(stems.resolve(SessionFile.NAME));
      try (Walk walk =
          new Walk(folder, 80, 40, "tmux-256color", "exec " + Walk.command(stems) + " 2>err")) {
        String screen = walk.awaitList();
        assertFalse(screen.contains("read-only"), screen);
        // Else a slow disk might have none of them shown.
        walk.press("f", "j");
        walk.await("a change", seen -> Walk.states(seen).contains("f"));
        for (int n = random.nextInt(SmallSong.MOMENTS); n >= 0; n--) {
          walk.press("f", "j");
          for (int looks = random.nextInt(3); looks > 0; looks--) {
            screen = walk.screen();
          }
        }
        screen = walk.screen();
        ProcessHandle.of(Long.parseLong(walk.fact("pane_pid"))).orElseThrow().destroyForcibly();
        long shown = Walk.states(screen).chars().filter(state -> state == 'f').count();
        long saved = Walk.saved(stems, 'f');
        assertTrue(
            saved >= shown,
            "kill=" + kill + ", saved=" + saved + ", shown=" + shown + "\n" + screen);
        shownInAll += shown;
      }
    }
    assertTrue(shownInAll >= KILLS, "too few changes were seen: " + shownInAll);
  }
}
