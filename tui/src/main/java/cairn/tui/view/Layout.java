package cairn.tui.view;

import cairn.tui.model.Size;

/**
 * Where the walk's regions stand. More rows go to list and pile first, to 32, then to close-up and
 * storeys.
 *
 * @param storeyRows rows of each of the map's three storeys
 * @param listRows rows of the list, and of the pile beside it
 * @param closeUpRows rows of the close-up
 * @param listColumns columns of the list
 */
record Layout(int storeyRows, int listRows, int closeUpRows, int listColumns) {

  static final int GUTTER = 6;
  private static final int LEAST_LIST = 9;
  private static final int MOST_LIST = 32;

  static Layout of(Size size) {
    int more = size.rows() - Size.LEAST.rows();
    int list = Math.min(MOST_LIST, LEAST_LIST + more);
    int rest = more - (list - LEAST_LIST);
    int storeys = 1 + rest / 6;
    int closeUp = 4 + rest - 3 * (storeys - 1);
    int wide = Math.max(0, size.columns() - 110);
    return new Layout(storeys, list, closeUp, 39 + wide * 2 / 5);
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
}
