package cairn.tui.keys;

/** What must be there before a key can do what it is for; until then it waits, in order. */
public enum Needs {
  /** Nothing: it acts at once. */
  NOTHING,
  /** The bus summed with the marks there are, so that it is known what is still over. */
  BUS,
  /** The selected moment looked into with the marks there are. */
  MOMENT
}
