package cairn.tui.view;

/** Rows of a screen of which one is selected; only those that are seen are drawn. */
final class Scrolled {

  private Scrolled() {}

  /** Draws one row of a list. */
  @FunctionalInterface
  interface RowView {
    /**
     * Draws it.
     *
     * @param row row of the canvas
     * @param index which row of the list
     * @param style how it is drawn where nothing else is said
     */
    void draw(int row, int index, Style style);
  }

  /**
   * Draws the rows about the selected one and marks that.
   *
   * @param firstRow row of the canvas
   * @param shown rows of the canvas
   * @param count rows of the list
   */
  static void draw(Sheet sheet, int firstRow, int shown, int count, RowView view) {
    draw(sheet, firstRow, shown, count, sheet.model().selectedRow(), view);
  }

  /** The same where the selected row is another than the one that the model counts. */
  static void draw(Sheet sheet, int firstRow, int shown, int count, int at, RowView view) {
    int selected = Math.max(0, Math.min(at, count - 1));
    int first = Sheet.firstShown(selected, shown, count);
    for (int i = 0; i < shown && first + i < count; i++) {
      boolean isSelected = first + i == selected;
      view.draw(firstRow + i, first + i, isSelected ? Style.BOLD : Style.PLAIN);
      if (isSelected) {
        sheet.canvas().put(firstRow + i, 0, sheet.glyphs().cursor(), Style.BOLD);
      }
    }
    sheet.canvas().cursor(firstRow + selected - first, 0);
  }
}
