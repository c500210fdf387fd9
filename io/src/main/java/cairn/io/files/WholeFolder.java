package cairn.io.files;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/**
 * Writes a folder of files whole or not at all: in a hidden folder beside it, moved into place at
 * the end. What goes wrong leaves nothing behind.
 */
public final class WholeFolder {

  private static final SecureRandom RANDOM = new SecureRandom();

  /** Kept free beyond what is written: directories, and whatever else runs. */
  private static final long SPARE_BYTES = 16 << 20;

  private WholeFolder() {}

  /** Writes the files. */
  @FunctionalInterface
  public interface Content {
    /**
     * Writes all files into a folder that is there and empty.
     *
     * @param aside stands for the folder until all is written
     */
    void writeTo(Path aside) throws IOException;
  }

  /**
   * Refuses a folder that holds something, or that cannot be made.
   *
   * @throws IOException if so, with the way out, or if it cannot be read
   */
  public static void refuseFull(Path folder) throws IOException {
    refuseUnmade(folder);
    if (Files.isDirectory(folder)) {
      try (Stream<Path> entries = Files.list(folder)) {
        if (entries.findAny().isPresent()) {
          throw new IOException(
              shown(folder)
                  + " is not empty; name a new folder, or replace files of the same names with"
                  + " --force");
        }
      }
    }
  }

  /**
   * Refuses a place for which there is no room, or where no folder can be.
   *
   * @param bytes what is going to be written
   */
  public static void refuse(Path folder, boolean force, long bytes) throws IOException {
    if (force) {
      refuseUnmade(folder);
    } else {
      refuseFull(folder);
    }
    Path parent = parent(folder);
    long free = Files.getFileStore(parent).getUsableSpace();
    if (free < bytes + SPARE_BYTES) {
      throw new IOException(
          String.format(
              Locale.ROOT,
              "this takes %.1f MB, and %s has %.1f MB free; free some space or name another place",
              bytes / 1e6,
              shown(parent),
              free / 1e6));
    }
  }

  private static void refuseUnmade(Path folder) throws IOException {
    Path parent = parent(folder);
    if (!Files.isDirectory(parent)) {
      throw new IOException(
          shown(folder)
              + " cannot be made: its folder does not exist; make it first or name another");
    }
    if (Files.exists(folder, LinkOption.NOFOLLOW_LINKS) && !Files.isDirectory(folder)) {
      throw new IOException(shown(folder) + " is no folder; name another");
    }
    if (!Files.isWritable(parent)) {
      throw new IOException(
          shown(folder) + " cannot be made: no permission to write there; name another place");
    }
  }

  private static String shown(Path path) {
    return "'" + SafeText.of(path) + "'";
  }

  private static Path parent(Path folder) throws IOException {
    Path parent = folder.toAbsolutePath().normalize().getParent();
    if (parent == null) {
      throw new IOException(shown(folder) + " is the root of all folders; name another");
    }
    return parent;
  }

  /**
   * Writes the folder. Into one that holds something, files are moved one by one, each in place of
   * the one of its name.
   */
  public static void write(Path folder, Content content) throws IOException {
    byte[] random = new byte[8];
    RANDOM.nextBytes(random);
    Path aside = parent(folder).resolve(".cairn-" + HexFormat.of().formatHex(random) + ".tmp");
    try {
      Files.createDirectory(aside);
      content.writeTo(aside);
      publish(aside, folder);
    } finally {
      delete(aside);
    }
  }

  private static void publish(Path aside, Path folder) throws IOException {
    if (Files.isDirectory(folder)) {
      boolean empty;
      try (Stream<Path> entries = Files.list(folder)) {
        empty = entries.findAny().isEmpty();
      }
      if (!empty || Files.isSymbolicLink(folder)) {
        List<Path> written;
        try (Stream<Path> all = Files.walk(aside)) {
          written = all.filter(Files::isRegularFile).toList();
        }
        for (Path file : written) {
          Path target = folder.resolve(aside.relativize(file));
          Files.createDirectories(target.getParent());
          Files.move(
              file, target, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        }
        return;
      }
      Files.delete(folder);
    }
    Files.move(aside, folder, StandardCopyOption.ATOMIC_MOVE);
  }

  private static void delete(Path folder) throws IOException {
    try {
      Files.walkFileTree(
          folder,
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
    } catch (NoSuchFileException e) {
      // Moved into place, or never made.
    }
  }
}
