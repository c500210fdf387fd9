package cairn.tui.outside;

import cairn.tui.Demo;
import cairn.tui.Readme;
import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The screen that README.md shows is what a real terminal shows of the demo stems. */
class ReadmeWalkTest {

  @TempDir private Path folder;

  /** The demo stems as a folder of their own, since the walk keeps its session beside them. */
  private Path stems() throws IOException {
    Path stems = Files.createDirectory(folder.resolve("parade"));
    copy(Demo.folder(), stems);
    return stems;
  }

  private static void copy(Path from, Path to) throws IOException {
    try (DirectoryStream<Path> files = Files.newDirectoryStream(from)) {
      for (Path file : files) {
        Path copy = to.resolve(file.getFileName());
        Files.copy(file, copy);
        if (Files.isDirectory(file)) {
          copy(file, copy);
        }
      }
    }
  }

  @Test
  void theWalkIsTheRealOneOfTheDemoStems() throws Exception {
    try (Walk walk = new Walk(folder, 80, 24, "tmux-256color", Walk.commandBetweenNotes(stems()))) {
      walk.awaitList();
      walk.press("j", "j");
      String shown =
          walk.await(
              "the screen of README.md",
              screen ->
                  Readme.isMended()
                      ? screen.contains("›! 1:21.351") && screen.contains("Gentlest: repinique")
                      : screen.equals(wanted()));
      Readme.check("walk", shown);
    }
  }

  private static String wanted() {
    try {
      return Readme.block("walk");
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }
}
