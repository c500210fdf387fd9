package cairn.tui.view;

import cairn.tui.model.Size;
import cairn.tui.update.Zoom;

/**
 * Where the walk's regions stand. More rows go to list and pile first, to 32, then to close-up and
 * storeys; from 110 columns on the pile has four columns more.
 *
 * @param storeyRows rows of each of the map's three storeys
 * @param listRows rows of the list, and of the pile beside it
 * @param closeUpRows rows of the close-up
 * @param listColumns columns of the list; the pile begins after them
 * @param nameCells cells of a stem's name in the pile
 * @param barCells cells of the stones
 * @param isWide whether the pile tells each stem's fixes
 */
record Layout(
    int storeyRows,
    int listRows,
    int closeUpRows,
    int listColumns,
    int nameCells,
    int barCells,
    boolean isWide) {

  /** Columns left of the plots, for the figures of their axes. */
  static final int GUTTER = Zoom.GUTTER;

  /** Columns of the least list, its gap included. */
  static final int LEAST_LIST_COLUMNS = 39;

  /** From so many columns on the pile tells each stem's fixes. */
  static final int WIDE_COLUMNS = 110;

  /** Columns of what the wide pile tells: peak without the stem, nudge, trim, clip. */
  static final int FIX_COLUMNS = 37;

  /** Columns of share and own level, with the gap before them. */
  static final int FIGURE_COLUMNS = 9;

  private static final int LEAST_LIST = 9;
  private static final int MOST_LIST = 32;
  private static final int LEAST_NAME = 9;
  private static final int MOST_NAME = 20;
  private static final int LEAST_CLOSE_UP = 4;

  /**
   * The layout of a window.
   *
   * @param neededRows rows that list and pile have use for; more go to the plots
   */
  static Layout of(Size size, int neededRows) {
    int more = size.rows() - Size.LEAST.rows();
    int most = Math.max(LEAST_LIST, Math.min(MOST_LIST, neededRows));
    int list = Math.min(most, LEAST_LIST + more);
    int rest = more - (list - LEAST_LIST);
    int storeys = 1 + rest / 6;
    int closeUp = LEAST_CLOSE_UP + rest - 3 * (storeys - 1);
    boolean wide = size.columns() >= WIDE_COLUMNS;
    int left = size.columns() - LEAST_LIST_COLUMNS - (wide ? FIX_COLUMNS : 0);
    int spare = left - (Size.LEAST.columns() - LEAST_LIST_COLUMNS);
    int listColumns = LEAST_LIST_COLUMNS + Math.max(0, spare) * 2 / 5;
    int name = Math.min(MOST_NAME, LEAST_NAME + Math.max(0, spare) / 8);
    int bar =
        size.columns() - listColumns - 2 - name - 1 - FIGURE_COLUMNS - (wide ? FIX_COLUMNS : 0);
    return new Layout(storeys, list, closeUp, listColumns, name, bar, wide);
  }

  int mapRow() {
    return 3;
  }

  int countRow() {
    return mapRow() + 3 * storeyRows;
  }

  int headingRow() {
    return countRow() + 1;
  }

  int listRow() {
    return headingRow() + 1;
  }

  int closeUpRow() {
    return listRow() + listRows;
  }

  int footRow() {
    return closeUpRow() + closeUpRows;
  }

  /** First column of the stones. */
  int barColumn() {
    return listColumns + 2 + nameCells + 1;
  }

  /** Column after share and own level. */
  int pileEnd() {
    return barColumn() + barCells + FIGURE_COLUMNS;
  }
}
