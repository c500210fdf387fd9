package cairn.tui.view;

/**
 * A picture of dots, two across and four down in each cell: braille (Unicode 8-dot patterns, U+2800
 * to U+28FF), or one ASCII character a cell by where its dots are.
 */
final class Dots {

  /** Bit of the dot in column 0 or 1 and row 0 to 3. */
  private static final int[][] BIT = {{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}};

  private final int columns;
  private final int rows;
  private final int[] cells;

  Dots(int columns, int rows) {
    this.columns = columns;
    this.rows = rows;
    cells = new int[columns * rows];
  }

  int across() {
    return 2 * columns;
  }

  int down() {
    return 4 * rows;
  }

  void set(int x, int y) {
    if (x >= 0 && x < across() && y >= 0 && y < down()) {
      cells[y / 4 * columns + x / 2] |= BIT[x % 2][y % 4];
    }
  }

  /** Sets the dots of a column from row {@code from} down to row {@code to}, both inclusive. */
  void column(int x, int from, int to) {
    for (int y = from; y <= to; y++) {
      set(x, y);
    }
  }

  boolean isBlank(int column, int row) {
    return cells[row * columns + column] == 0;
  }

  /** The character of a cell. */
  String glyph(int column, int row, boolean unicode) {
    int dots = cells[row * columns + column];
    if (dots == 0) {
      return " ";
    }
    if (unicode) {
      return Character.toString(0x2800 + dots);
    }
    boolean upper = (dots & (0x01 | 0x02 | 0x08 | 0x10)) != 0;
    boolean lower = (dots & (0x04 | 0x40 | 0x20 | 0x80)) != 0;
    return upper && lower ? "|" : upper ? "'" : Integer.bitCount(dots) > 2 ? ":" : ".";
  }
}
