package cairn.tui.view;

/**
 * A picture of dots, two across and four down in each cell: braille (Unicode 8-dot patterns, U+2800
 * to U+28FF), or one ASCII character a cell by where its dots are.
 */
final class Dots {

  /** Bit of the dot in column 0 or 1 and row 0 to 3. */
  private static final int[][] BIT = {{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}};

  private static final int BRAILLE = 0x2800;
  private static final String[] BRAILLE_CELLS = new String[0x100];

  static {
    for (int i = 0; i < BRAILLE_CELLS.length; i++) {
      BRAILLE_CELLS[i] = Character.toString(BRAILLE + i);
    }
  }

  private final int columns;
  private final int rows;
  private final int[] cells;

  /**
   * @param columns cells across
   * @param rows cells down
   */
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

  /** Sets a dot; outside the picture: none. */
  void set(int x, int y) {
    if (x >= 0 && x < across() && y >= 0 && y < down()) {
      cells[y / 4 * columns + x / 2] |= BIT[x % 2][y % 4];
    }
  }

  /** Sets the dots of a column from row {@code from} down to row {@code to}, both inclusive. */
  void column(int x, int from, int to) {
    for (int y = Math.max(0, from); y <= Math.min(to, down() - 1); y++) {
      set(x, y);
    }
  }

  boolean isBlank(int column, int row) {
    return cells[row * columns + column] == 0;
  }

  /** The character of a cell that is filled from below. */
  String bar(int column, int row, boolean unicode) {
    int dots = cells[row * columns + column];
    if (dots == 0) {
      return " ";
    }
    if (unicode) {
      return BRAILLE_CELLS[dots];
    }
    int top = top(dots);
    return top <= 1 ? "|" : top == 2 ? ":" : ".";
  }

  /** The character of a cell that a curve runs through. */
  String curve(int column, int row, boolean unicode) {
    int dots = cells[row * columns + column];
    if (dots == 0) {
      return " ";
    }
    if (unicode) {
      return BRAILLE_CELLS[dots];
    }
    int top = top(dots);
    int bottom = bottom(dots);
    if (bottom - top >= 2) {
      return "|";
    }
    return bottom == 0 ? "\"" : top == 3 ? "_" : "-";
  }

  private static int top(int dots) {
    int y = 0;
    while (y < 3 && (dots & (BIT[0][y] | BIT[1][y])) == 0) {
      y++;
    }
    return y;
  }

  private static int bottom(int dots) {
    int y = 3;
    while (y > 0 && (dots & (BIT[0][y] | BIT[1][y])) == 0) {
      y--;
    }
    return y;
  }
}
