package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.model.Size;
import java.text.Normalizer;
import java.util.Arrays;

/**
 * The cells of a window, and where the terminal's cursor rests. What is put past an edge is left
 * out, a character that an edge would cut in two as well; a wide character takes two cells, the
 * second of which is empty. Changed while a picture is drawn, by one thread; not afterwards.
 */
public final class Canvas {

  private static final int ASCII = 0x80;
  private static final int BRAILLE = 0x2800;
  private static final int BRAILLE_PATTERNS = 0x100;
  private static final int BOXES = 0x2500;
  private static final int BOXES_AND_BLOCKS = 0xA0;
  private static final String[] ASCII_CELLS = cells(0, ASCII);
  private static final String[] BRAILLE_CELLS = cells(BRAILLE, BRAILLE_PATTERNS);
  private static final String[] BOX_CELLS = cells(BOXES, BOXES_AND_BLOCKS);

  private final Size size;
  private final boolean unicode;
  private final String[] text;
  private final Style[] style;
  private boolean spilt;
  private int cursorRow;
  private int cursorColumn;

  /**
   * All blank.
   *
   * @param unicode whether any letter may stand in a cell; else what is not ASCII is shown without
   *     its marks, or as {@code ?}
   */
  public Canvas(Size size, boolean unicode) {
    this.size = size;
    this.unicode = unicode;
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

  /** Whether anything but blanks was put past an edge, and so is missing. */
  boolean isSpilt() {
    return spilt;
  }

  /** Row of the cursor, from 0. */
  public int cursorRow() {
    return cursorRow;
  }

  /** Column of the cursor, from 0. */
  public int cursorColumn() {
    return cursorColumn;
  }

  /** Rests the terminal's cursor on a cell, at the nearest edge if that lies outside. */
  void cursor(int row, int column) {
    cursorRow = Math.max(0, Math.min(row, size.rows() - 1));
    cursorColumn = Math.max(0, Math.min(column, size.columns() - 1));
  }

  /**
   * Puts safe text from a cell on.
   *
   * @return the column after it
   */
  int put(int row, int column, String safe, Style as) {
    int at = column;
    int last = -1;
    for (int i = 0; i < safe.length(); ) {
      int codePoint = safe.codePointAt(i);
      i += Character.charCount(codePoint);
      if (codePoint < ASCII) {
        last = set(row, at, ASCII_CELLS[codePoint], 1, as);
        at++;
        continue;
      }
      String piece = cell(codePoint);
      int cells = SafeText.cells(piece);
      if (cells == 0) {
        if (last >= 0 && unicode) {
          text[last] += piece;
        }
      } else if (unicode) {
        last = set(row, at, piece, cells, as);
        at += cells;
      } else {
        String plain = inAscii(piece);
        for (int half = 0; half < cells; half++) {
          last = set(row, at, plain, 1, as);
          at++;
        }
      }
    }
    return at;
  }

  /** Puts plain text. */
  int put(int row, int column, String safe) {
    return put(row, column, safe, Style.PLAIN);
  }

  /** Puts text so that it ends before {@code endColumn}. */
  void putRight(int row, int endColumn, String safe, Style as) {
    put(row, endColumn - SafeText.cells(safe), safe, as);
  }

  /** Puts plain text so that it ends before {@code endColumn}. */
  void putRight(int row, int endColumn, String safe) {
    putRight(row, endColumn, safe, Style.PLAIN);
  }

  /** Gives cells that are there another style. */
  void restyle(int row, int column, int cells, Style as) {
    for (int i = Math.max(0, column); i < Math.min(column + cells, size.columns()); i++) {
      if (row >= 0 && row < size.rows()) {
        style[row * size.columns() + i] = as;
      }
    }
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

  /** Index of the cell that was set; −1: it lies outside. */
  private int set(int row, int column, String piece, int cells, Style as) {
    int columns = size.columns();
    if (row < 0 || row >= size.rows() || column < 0 || column + cells > columns) {
      spilt |= !piece.equals(" ");
      return -1;
    }
    int at = row * columns + column;
    // Half of a wide character that is covered takes its other half along.
    if (text[at].isEmpty()) {
      text[at - 1] = " ";
    }
    if (column + cells < columns && text[at + cells].isEmpty()) {
      text[at + cells] = " ";
    }
    text[at] = piece;
    style[at] = as;
    if (cells == 2) {
      text[at + 1] = "";
      style[at + 1] = as;
    }
    return at;
  }

  private static String inAscii(String piece) {
    String plain = Normalizer.normalize(piece, Normalizer.Form.NFKD);
    char first = plain.charAt(0);
    return first > ' ' && first < ASCII - 1 ? ASCII_CELLS[first] : "?";
  }

  private static String cell(int codePoint) {
    if (codePoint >= BRAILLE && codePoint < BRAILLE + BRAILLE_PATTERNS) {
      return BRAILLE_CELLS[codePoint - BRAILLE];
    }
    if (codePoint >= BOXES && codePoint < BOXES + BOXES_AND_BLOCKS) {
      return BOX_CELLS[codePoint - BOXES];
    }
    return Character.toString(codePoint);
  }

  private static String[] cells(int first, int count) {
    String[] cells = new String[count];
    for (int i = 0; i < count; i++) {
      cells[i] = Character.toString(first + i);
    }
    return cells;
  }
}
