package cairn.io.stems;

import cairn.io.files.SafeText;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.channels.ClosedChannelException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;

/** Says why a file could not be read, and adds its name once. */
final class Reasons {

  private Reasons() {}

  /** A failure whose message names the file already. */
  static final class Named extends IOException {
    private static final long serialVersionUID = 1L;

    private Named(Path path, IOException cause) {
      super("'" + SafeText.of(path.getFileName()) + "' " + of(cause), cause);
    }
  }

  /** What follows the file's name: {@code may not be read; allow it, or leave it out}. */
  static String of(IOException e) {
    if (e instanceof AccessDeniedException) {
      return "may not be read (no permission); allow it, or leave it out";
    }
    if (e instanceof NoSuchFileException) {
      return "is not there any more; start again when the export is done";
    }
    if (e instanceof ClosedChannelException) {
      return "cannot be read: it was closed; open the session again";
    }
    String reason = e instanceof FileSystemException f ? f.getReason() : e.getMessage();
    return "cannot be read: "
        + SafeText.of(reason == null ? e.getClass().getSimpleName() : reason)
        + "; check the disk, or leave it out";
  }

  /** The same failure with the file's name in its message, which stands in it once. */
  static IOException named(Path path, IOException e) {
    boolean namesItsFile =
        e instanceof UnusableStem || e instanceof UnusableFolder || e instanceof Named;
    return namesItsFile ? e : new Named(path, e);
  }
}
