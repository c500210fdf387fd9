package cairn.collisions.check;

/** How much a finding matters for the hunt, the heaviest first. */
public enum Weight {
  /** Stems cannot be summed before it is mended. */
  STOPS("stops the hunt"),
  /** What is found would be another thing without it. */
  MATTERS("matters"),
  /** Good to know; what is found stays the same, or nearly. */
  MINOR("minor");

  private final String words;

  Weight(String words) {
    this.words = words;
  }

  /** In words: {@code stops the hunt}. */
  public String words() {
    return words;
  }

  /** Whether it should be seen to before the hunt. */
  public boolean matters() {
    return this != MINOR;
  }
}
