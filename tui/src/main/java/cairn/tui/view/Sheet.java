package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.model.Model;

/**
 * What a view draws from and on.
 *
 * @param model what is to be shown
 * @param canvas the cells of the window
 * @param glyphs what can be shown
 * @param names names of the stems
 */
record Sheet(Model model, Canvas canvas, Glyphs glyphs, Names names) {

  /** A list moves on by so many rows at most. */
  static final int MOST_TURNED = 8;

  static Sheet of(Model model) {
    Glyphs glyphs = Glyphs.of(model.look());
    return new Sheet(
        model,
        new Canvas(model.size(), glyphs.unicode()),
        glyphs,
        new Names(model.song().map(song -> song.stems()).orElse(java.util.List.of()), glyphs));
  }

  int columns() {
    return canvas.size().columns();
  }

  int rows() {
    return canvas.size().rows();
  }

  /** Puts safe text cut in its middle to so many cells; returns the column after it. */
  int cut(int row, int column, String safe, int cells, Style as) {
    return cells <= 0
        ? column
        : canvas.put(row, column, SafeText.cut(glyphs.plain(safe), cells, glyphs.ellipsis()), as);
  }

  /** Puts a safe sentence cut at its end; returns the column after it. */
  int sentence(int row, int column, String safe, int cells, Style as) {
    return cells <= 0
        ? column
        : canvas.put(
            row, column, SafeText.cutEnd(glyphs.plain(safe), cells, glyphs.ellipsis()), as);
  }

  /**
   * Puts a safe sentence into so many rows at most, broken between words, the last one cut at its
   * end; returns the row after it.
   */
  int wrapped(int row, int most, int column, String safe, Style as) {
    int cells = columns() - column;
    int last = row + most - 1;
    int at = row;
    StringBuilder line = new StringBuilder();
    for (String word : safe.split(" ", -1)) {
      boolean full =
          line.length() > 0 && SafeText.cells(line.toString()) + 1 + SafeText.cells(word) > cells;
      if (full && at < last) {
        sentence(at, column, line.toString(), cells, as);
        line.setLength(0);
        at++;
      }
      line.append(line.length() == 0 ? "" : " ").append(word);
    }
    sentence(at, column, line.toString(), cells, as);
    return at + 1;
  }

  /**
   * The first row that a list shows: it moves on by {@value #MOST_TURNED} rows, a short one page by
   * page, with one row more before and after the selected one where there is one. To turn a long
   * list over at once would send more than 2 kB.
   */
  static int firstShown(int selected, int shown, int rows) {
    if (rows <= shown) {
      return 0;
    }
    int page = Math.max(1, shown - 2);
    int step = Math.min(page, MOST_TURNED);
    int first = (selected - 1 - (page - step) / 2) / step * step;
    return Math.max(0, Math.min(first, rows - shown));
  }
}
