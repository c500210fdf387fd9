package cairn.tui.model;

/** How a row of the list stands; the letter is what the list shows. */
public enum State {
  TO_DECIDE('!'),
  NUDGED('n'),
  TRIMMED('t'),
  CLIPPED('c'),
  FINE('f'),
  DONE('d'),
  GONE('-'),
  LOWER('<'),
  STILL('='),
  NEW('*');

  private final char letter;

  State(char letter) {
    this.letter = letter;
  }

  /** What the list shows for it. */
  public char letter() {
    return letter;
  }

  /** Whether the engineer still has to decide: a lower, remaining or new one counts too. */
  public boolean isOpen() {
    return this == TO_DECIDE || this == LOWER || this == STILL || this == NEW;
  }
}
