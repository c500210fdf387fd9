package cairn.tui.model;

/**
 * A line that is being typed in the message row.
 *
 * @param purpose what it is for
 * @param text what was typed so far, as typed, without control characters
 */
public record TextField(Purpose purpose, String text) {

  /** What is asked for. */
  public enum Purpose {
    GO_TO("go to"),
    NARROW("narrow"),
    EXACT("amount"),
    GOAL("goal"),
    NOTE("note"),
    TARGET("write to"),
    YOKE("yoke with"),
    FIND("find");

    private final String words;

    Purpose(String words) {
      this.words = words;
    }

    /** What stands before the text. */
    public String words() {
      return words;
    }
  }
}
