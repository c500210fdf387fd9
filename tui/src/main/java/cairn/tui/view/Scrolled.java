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
   * Draws the rows about the selected one, marks that, and says below how many there are unseen.
   *
   * @param firstRow row of the canvas
   * @param shown rows of the canvas
   * @param count rows of the list
   * @param selectable how many of them, from the first on, can be selected
   */
  static void draw(Sheet sheet, int firstRow, int shown, int count, int selectable, RowView view) {
    int selected = Math.max(0, Math.min(sheet.model().selectedRow(), selectable - 1));
    int first = Sheet.firstShown(selected, shown, count);
    // The rows that cannot be selected are seen once the last one that can is.
    if (selected == selectable - 1) {
      first = Math.max(first, Math.min(selected, count - shown));
    }
    for (int i = 0; i < shown && first + i < count; i++) {
      boolean isSelected = first + i == selected && selectable > 0;
      view.draw(firstRow + i, first + i, isSelected ? Style.BOLD : Style.PLAIN);
      if (isSelected) {
        sheet.canvas().put(firstRow + i, 0, sheet.glyphs().cursor(), Style.BOLD);
      }
    }
    sheet.canvas().cursor(firstRow + selected - first, 0);
  }

  /** Draws rows all of which can be selected. */
  static void draw(Sheet sheet, int firstRow, int shown, int count, RowView view) {
    draw(sheet, firstRow, shown, count, count, view);
  }
}
