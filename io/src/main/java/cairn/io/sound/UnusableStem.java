package cairn.io.sound;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.nio.file.Path;

/**
 * Material that cannot be used as it is, which its user can mend. The message is one line: the
 * file, made harmless, what is wrong, where, and what to do.
 */
public abstract sealed class UnusableStem extends IOException {

  private static final long serialVersionUID = 1L;

  /** The file, kept out of the serial form since a path has none. */
  private final transient Path path;

  private UnusableStem(Path path, String what) {
    super("'" + SafeText.of(path.getFileName()) + "' " + what);
    this.path = path;
  }

  /** The file. */
  public Path path() {
    return path;
  }

  /** Not a sound file that is read here. */
  public static final class NotSound extends UnusableStem {
    private static final long serialVersionUID = 1L;

    public NotSound(Path path, String what) {
      super(path, what);
    }
  }

  /** A sound file in a coding, or with a number of channels or a rate, that is not read here. */
  public static final class NotReadHere extends UnusableStem {
    private static final long serialVersionUID = 1L;

    public NotReadHere(Path path, String what) {
      super(path, what);
    }
  }

  /** A sound file without a single frame. */
  public static final class Empty extends UnusableStem {
    private static final long serialVersionUID = 1L;

    public Empty(Path path) {
      super(path, "holds no audio (length 0); export it again or leave it out");
    }
  }

  /** A sound file whose bytes contradict its format. */
  public static final class Damaged extends UnusableStem {
    private static final long serialVersionUID = 1L;

    public Damaged(Path path, String what) {
      super(path, what);
    }
  }

  /** A value that is no number. */
  public static final class NotFinite extends UnusableStem {
    private static final long serialVersionUID = 1L;
    private final long frame;

    public NotFinite(Path path, long frame, int sampleRateHz) {
      super(
          path,
          String.format(
              java.util.Locale.ROOT,
              "holds a value that is not a number at sample %d (%.3f s); export it again",
              frame,
              (double) frame / sampleRateHz));
      this.frame = frame;
    }

    /** The first such frame of the file. */
    public long frame() {
      return frame;
    }
  }

  /** A file that changed after it was opened. */
  public static final class Changed extends UnusableStem {
    private static final long serialVersionUID = 1L;

    public Changed(Path path) {
      super(path, "changed while it was read; wait until the export is done, then start again");
    }
  }
}
