package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.model.Size;
import java.util.Arrays;

/**
 * The cells of a window, and where the terminal's cursor rests. What is put past an edge is left
 * out; a wide character takes two cells, the second of which is empty.
 */
public final class Canvas {

  private final Size size;
  private final String[] text;
  private final Style[] style;
  private int cursorRow;
  private int cursorColumn;

  /** All blank. */
  public Canvas(Size size) {
    this.size = size;
    text = new String[size.columns() * size.rows()];
    style = new Style[text.length];
    Arrays.fill(text, " ");
    Arrays.fill(style, Style.PLAIN);
  }

  /** The window's size. */
  public Size size() {
    return size;
  }

  /** What a cell shows: a character with its marks; empty: the second half of a wide one. */
  public String text(int row, int column) {
    return text[row * size.columns() + column];
  }

  /** How a cell looks. */
  public Style style(int row, int column) {
    return style[row * size.columns() + column];
  }

  /** Row of the cursor. */
  public int cursorRow() {
    return cursorRow;
  }

  /** Column of the cursor. */
  public int cursorColumn() {
    return cursorColumn;
  }

  /** Rests the terminal's cursor on a cell. */
  public void cursor(int row, int column) {
    cursorRow = Math.max(0, Math.min(row, size.rows() - 1));
    cursorColumn = Math.max(0, Math.min(column, size.columns() - 1));
  }

  /**
   * Puts safe text from a cell on.
   *
   * @return the column after it
   */
  public int put(int row, int column, String safe, Style as) {
    int at = column;
    for (int i = 0; i < safe.length(); ) {
      int codePoint = safe.codePointAt(i);
      String piece = Character.toString(codePoint);
      i += piece.length();
      int cells = codePoint < 0x300 ? 1 : SafeText.cells(piece);
      if (cells == 0) {
        if (at > column && inside(row, at - 1)) {
          int before = text[index(row, at - 1)].isEmpty() && at > 1 ? at - 2 : at - 1;
          text[index(row, before)] += piece;
        }
        continue;
      }
      if (inside(row, at) && inside(row, at + cells - 1)) {
        text[index(row, at)] = piece;
        style[index(row, at)] = as;
        if (cells == 2) {
          text[index(row, at + 1)] = "";
          style[index(row, at + 1)] = as;
        }
      }
      at += cells;
    }
    return at;
  }

  /** Puts plain text. */
  public int put(int row, int column, String safe) {
    return put(row, column, safe, Style.PLAIN);
  }

  /** Puts text so that it ends before {@code endColumn}. */
  public void putRight(int row, int endColumn, String safe, Style as) {
    put(row, endColumn - SafeText.cells(safe), safe, as);
  }

  /** Puts text cut to a width. */
  public int putCut(int row, int column, String safe, int width, Style as) {
    return width <= 0 ? column : put(row, column, SafeText.cut(safe, width), as);
  }

  /** Gives cells that are there another style. */
  public void restyle(int row, int column, int cells, Style as) {
    for (int i = column; i < column + cells; i++) {
      if (inside(row, i)) {
        style[index(row, i)] = as;
      }
    }
  }

  private boolean inside(int row, int column) {
    return row >= 0 && row < size.rows() && column >= 0 && column < size.columns();
  }

  private int index(int row, int column) {
    return row * size.columns() + column;
  }

  /** The rows as text, without blanks at their ends. */
  public String asText() {
    StringBuilder all = new StringBuilder();
    for (int row = 0; row < size.rows(); row++) {
      StringBuilder line = new StringBuilder();
      for (int column = 0; column < size.columns(); column++) {
        line.append(text(row, column));
      }
      all.append(line.toString().stripTrailing()).append('\n');
    }
    return all.toString();
  }
}
