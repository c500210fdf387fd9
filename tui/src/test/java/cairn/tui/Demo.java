package cairn.tui;

import cairn.demo.DemoSong;
import cairn.demo.DemoStems;
import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;

/** The demo stems, written once for all tests. */
public final class Demo {

  private static Path folder;
  private static DemoSong song;

  private Demo() {}

  /** The folder {@code parade} that holds them. */
  public static synchronized Path folder() throws IOException {
    if (folder == null) {
      Path parent = Files.createTempDirectory("cairn-demo");
      Runtime.getRuntime().addShutdownHook(new Thread(() -> delete(parent)));
      song = DemoStems.write(parent.resolve("parade"), DemoSong.DEFAULT_SEED, false);
      folder = parent.resolve("parade");
    }
    return folder;
  }

  /** The song that they are of. */
  public static DemoSong song() throws IOException {
    folder();
    return song;
  }

  private static void delete(Path parent) {
    try {
      Files.walkFileTree(
          parent,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes attributes)
                throws IOException {
              Files.delete(file);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path dir, IOException e) throws IOException {
              Files.delete(dir);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException e) {
      // The system's temporary folder is emptied in time.
    }
  }
}
