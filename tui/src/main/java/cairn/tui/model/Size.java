package cairn.tui.model;

/**
 * A window's size in cells.
 *
 * @param columns cells in a row
 * @param rows rows
 */
public record Size(int columns, int rows) {

  /** The smallest window that the walk fits in. */
  public static final Size LEAST = new Size(80, 24);

  /** Whether the walk fits. */
  public boolean isEnough() {
    return columns >= LEAST.columns && rows >= LEAST.rows;
  }
}
