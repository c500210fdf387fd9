package cairn.io.session;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.Path;

/** A session file that cannot be read; the message is one line: which, where, what to do. */
public abstract sealed class UnusableSession extends IOException {

  private static final long serialVersionUID = 1L;

  private final transient Path file;

  private UnusableSession(Path file, String what) {
    super("'" + SafeText.of(file) + "' " + what);
    this.file = file;
  }

  /** The file. */
  public Path file() {
    return file;
  }

  /** It was a session once, but is not whole, or holds what no session can hold. */
  public static final class Damaged extends UnusableSession {
    private static final long serialVersionUID = 1L;

    Damaged(Path file, String place, String what) {
      super(file, "is damaged at " + SafeText.of(place) + ": " + SafeText.of(what));
    }
  }

  /** A later version of the program wrote it. */
  public static final class TooNew extends UnusableSession {
    private static final long serialVersionUID = 1L;

    TooNew(Path file, String version, int known) {
      super(
          file,
          "is of version "
              + SafeText.of(version)
              + ", this cairn reads up to "
              + known
              + "; update cairn, or name another file with --session");
    }
  }

  /** It is something else. */
  public static final class NotOurs extends UnusableSession {
    private static final long serialVersionUID = 1L;

    NotOurs(Path file, String why) {
      super(
          file,
          "is no session of cairn's ("
              + SafeText.of(why)
              + "); move it away, or name another file with --session");
    }
  }
}
