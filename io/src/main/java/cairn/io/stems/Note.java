package cairn.io.stems;

import java.util.Objects;

/**
 * Something that was found or done while the stems were read, and that their user should know.
 *
 * @param kind what it is about
 * @param text one line, safe to show, without {@code warning:} in front
 */
public record Note(Kind kind, String text) {

  /** What a note is about. */
  public enum Kind {
    /** Two mono files became one stem. */
    PAIRED(false),
    /** Two files named like a pair stayed two stems. */
    NOT_PAIRED(true),
    /** A file was mended while it was read. */
    MENDED(true),
    /** Time references differ and are not followed. */
    TIME_REFERENCES_DIFFER(true),
    /** Stems were put at their time references. */
    PLACED(false),
    /** Stems without a time reference stay at the start while others are placed. */
    NO_TIME_REFERENCE(true);

    private final boolean warning;

    Kind(boolean warning) {
      this.warning = warning;
    }

    /** Whether it is shown as a warning. */
    public boolean isWarning() {
      return warning;
    }
  }

  public Note {
    Objects.requireNonNull(kind, "kind");
    Objects.requireNonNull(text, "text");
  }
}
