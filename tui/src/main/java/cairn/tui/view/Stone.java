package cairn.tui.view;

/** A stone: a bar drawn to an eighth of a cell at its right end, to a half at its left. */
final class Stone {

  /** Parts of a cell. */
  static final int EIGHTHS = 8;

  private static final String[] LEFT_EIGHTHS = {" ", "▏", "▎", "▍", "▌", "▋", "▊", "▉", "█"};

  private Stone() {}

  /**
   * Draws one.
   *
   * @param from first eighth of a cell, counted from {@code column}
   * @param end eighth after the last one, over {@code from}
   */
  static void draw(
      Canvas canvas, int row, int column, int from, int end, Glyphs glyphs, Style style) {
    for (int cell = from / EIGHTHS; cell * EIGHTHS < end; cell++) {
      canvas.put(row, column + cell, glyph(cell, from, end, glyphs), style);
    }
  }

  /** The part of a stone that lies in one cell, as far as there is a character for it. */
  static String glyph(int cell, int from, int end, Glyphs glyphs) {
    if (!glyphs.unicode()) {
      return glyphs.full();
    }
    int first = Math.max(0, from - cell * EIGHTHS);
    int last = Math.min(EIGHTHS, end - cell * EIGHTHS);
    if (first == 0) {
      return LEFT_EIGHTHS[last];
    }
    if (last == EIGHTHS) {
      return first == 1 ? "█" : first < 7 ? "▐" : "▕";
    }
    // Neither edge is the cell's: to the nearer side, as wide as it is.
    return first + last <= EIGHTHS ? LEFT_EIGHTHS[last - first] : last - first < 3 ? "▕" : "▐";
  }
}
