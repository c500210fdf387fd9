package cairn.tui.command;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Keeps sound out of the stems' folders: it would be read as a stem the next time. */
final class OutputPlace {

  private OutputPlace() {}

  /**
   * Refuses a place for sound within a folder of stems.
   *
   * @param stems what was named as stems
   * @param target file or folder to write, there or not
   */
  static void refuseAmongStems(List<Path> stems, Path target) throws IOException {
    Path real = real(target);
    for (Path stem : stems) {
      if (Files.isDirectory(stem) && real.startsWith(stem.toRealPath())) {
        throw new IOException(
            "'"
                + SafeText.of(target)
                + "' lies in the stems' folder, where sound would be taken for a stem; name a place"
                + " outside of it");
      }
    }
  }

  /**
   * Refuses a file that is there, or cannot be, before the work and not after it.
   *
   * @param force whether it may be replaced
   */
  static void refuseTaken(Path target, boolean force) throws IOException {
    if (!force && Files.exists(target)) {
      throw new IOException(
          "'"
              + SafeText.of(target)
              + "' is already there; name another, or replace it with --force");
    }
    Path folder = target.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw notWritten(target, "its folder does not exist; make it first or name another");
    }
    if (!Files.isWritable(folder)) {
      throw notWritten(target, "no permission to write there; name another place");
    }
  }

  private static IOException notWritten(Path target, String why) {
    return new IOException("'" + SafeText.of(target) + "' could not be written: " + why);
  }

  /** The real path of what may not be there yet. */
  private static Path real(Path path) throws IOException {
    Path whole = path.toAbsolutePath().normalize();
    Path there = whole;
    while (there.getParent() != null && !Files.exists(there)) {
      there = there.getParent();
    }
    return there.toRealPath().resolve(there.relativize(whole)).normalize();
  }
}
