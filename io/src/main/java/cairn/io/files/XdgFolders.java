package cairn.io.files;

import java.io.IOException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;
import java.util.Optional;

/**
 * The folders in which the program keeps its own files for a user; XDG Base Directory
 * Specification, version 0.8. None of them need be there. A folder is empty where neither the
 * variable nor a home folder is known.
 *
 * @param state what should outlive a restart, but is not worth moving to another machine
 * @param config what the user set
 * @param cache what can be made again
 */
public record XdgFolders(Optional<Path> state, Optional<Path> config, Optional<Path> cache) {

  /** Nowhere: nothing is kept. */
  public static final XdgFolders NONE =
      new XdgFolders(Optional.empty(), Optional.empty(), Optional.empty());

  /** Those of this process. */
  public static XdgFolders ofProcess() {
    return of(System.getenv(), System.getProperty("user.home", ""));
  }

  /**
   * Those that an environment asks for: each with the program's own name, {@code cairn}, at its
   * end. A relative path in a variable is not valid and is passed over, as the specification says.
   *
   * @param environment variables by name
   * @param userHome the home folder where {@code HOME} is not set; empty: unknown
   */
  public static XdgFolders of(Map<String, String> environment, String userHome) {
    Optional<Path> home = absolute(environment.get("HOME")).or(() -> absolute(userHome));
    return new XdgFolders(
        folder(environment.get("XDG_STATE_HOME"), home, ".local/state"),
        folder(environment.get("XDG_CONFIG_HOME"), home, ".config"),
        folder(environment.get("XDG_CACHE_HOME"), home, ".cache"));
  }

  private static Optional<Path> folder(String variable, Optional<Path> home, String usual) {
    return absolute(variable)
        .or(() -> home.map(path -> path.resolve(usual)))
        .map(path -> path.resolve("cairn"));
  }

  private static Optional<Path> absolute(String text) {
    if (text == null || text.isEmpty()) {
      return Optional.empty();
    }
    try {
      return Optional.of(Path.of(text)).filter(Path::isAbsolute);
    } catch (InvalidPathException e) {
      return Optional.empty();
    }
  }

  /**
   * Makes a folder and those above it that are missing, for the user alone (0700), as the
   * specification says.
   */
  public static void make(Path folder) throws IOException {
    if (FileSystems.getDefault().supportedFileAttributeViews().contains("posix")) {
      Files.createDirectories(
          folder,
          PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rwx------")));
    } else {
      Files.createDirectories(folder);
    }
  }
}
