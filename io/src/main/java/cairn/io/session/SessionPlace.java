package cairn.io.session;

import cairn.io.files.SafeText;
import cairn.io.files.XdgFolders;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * Where a session is kept: in the stems' folder, in a file that was named, or, where the folder
 * cannot be written, in the user's state folder.
 *
 * @param kind which of them
 * @param file the session file, absolute; it need not be there
 * @param elsewhere a file to begin with as long as {@code file} is not there: what was kept in the
 *     state folder before the stems' folder could be written, or the other way round
 * @param folder the stems' folder as the session names it
 * @param line what is to be said, safe to show; empty: it is kept in the stems' folder as usual
 */
public record SessionPlace(
    Kind kind, Path file, Optional<Path> elsewhere, String folder, Optional<String> line) {

  /** Which place it is. */
  public enum Kind {
    /** The stems' folder. */
    FOLDER,
    /** A file that was named. */
    NAMED,
    /** The user's state folder. */
    STATE,
    /** None: the folder cannot be written, and no other is known. */
    NOWHERE
  }

  /** Characters of the folder's name in that of a file in the state folder. */
  private static final int NAME_CHARACTERS = 40;

  /**
   * Finds the place.
   *
   * @param stems the stems' folder, absolute
   * @param named the file that was asked for
   * @param folders the user's folders
   */
  public static SessionPlace of(Path stems, Optional<Path> named, XdgFolders folders) {
    return of(stems, named, folders, Files::isWritable);
  }

  static SessionPlace of(
      Path stems, Optional<Path> named, XdgFolders folders, Predicate<Path> writable) {
    if (named.isPresent()) {
      Path file = named.get().toAbsolutePath().normalize();
      boolean unwritable = Files.isDirectory(file.getParent()) && !writable.test(file.getParent());
      return new SessionPlace(
          unwritable ? Kind.NOWHERE : Kind.NAMED,
          file,
          Optional.empty(),
          folderIn(file, stems),
          unwritable ? Optional.of(nowhere(file.getParent())) : Optional.empty());
    }
    Path inFolder = stems.resolve(SessionFile.NAME);
    Optional<Path> inState =
        folders.state().map(state -> state.resolve("sessions").resolve(stateName(stems)));
    if (writable.test(stems)) {
      boolean goesOn = !Files.exists(inFolder) && inState.filter(Files::exists).isPresent();
      return new SessionPlace(
          Kind.FOLDER,
          inFolder,
          goesOn ? inState : Optional.empty(),
          folderIn(inFolder, stems),
          goesOn
              ? Optional.of(
                  "the session kept in '"
                      + SafeText.of(inState.get())
                      + "' goes on in the stems' folder")
              : Optional.empty());
    }
    if (inState.isEmpty()) {
      return new SessionPlace(
          Kind.NOWHERE,
          inFolder,
          Optional.empty(),
          folderIn(inFolder, stems),
          Optional.of(nowhere(stems)));
    }
    Path file = inState.get();
    return new SessionPlace(
        Kind.STATE,
        file,
        Files.exists(file) ? Optional.empty() : Optional.of(inFolder).filter(Files::exists),
        folderIn(file, stems),
        Optional.of(
            "'"
                + SafeText.of(stems)
                + "' cannot be written, so the session is kept in '"
                + SafeText.of(file)
                + "'"));
  }

  /** The file to begin with; it may not be there. */
  public Path source() {
    return elsewhere.orElse(file);
  }

  private static String nowhere(Path folder) {
    return "'"
        + SafeText.of(folder)
        + "' cannot be written, so nothing is saved; name a file elsewhere with --session";
  }

  private static String folderIn(Path file, Path stems) {
    return stems.equals(file.getParent()) ? "." : stems.toString();
  }

  /** A name that people recognise and that no other folder has: {@code parade-0123456789abcdef}. */
  private static String stateName(Path stems) {
    Path last = stems.getFileName();
    String readable =
        (last == null ? "root" : last.toString()).replaceAll("[^\\p{IsAlphabetic}0-9_-]+", "-");
    if (readable.length() > NAME_CHARACTERS) {
      readable = readable.substring(0, NAME_CHARACTERS);
    }
    try {
      byte[] hash =
          MessageDigest.getInstance("SHA-256")
              .digest(stems.toString().getBytes(StandardCharsets.UTF_8));
      return readable + "-" + HexFormat.of().formatHex(hash, 0, 8) + ".json";
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
