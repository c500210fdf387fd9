package cairn.tui.terminal;

import cairn.tui.model.Size;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.Charset;
import java.util.Arrays;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Sends the cells that changed, in one write a repaint, style by style: to turn to another style
 * and back takes some 15 bytes, to pass over a cell of another style four. Knows what the terminal
 * shows from what it has sent itself. For one thread.
 */
final class Painter {

  private static final String ESC = "\u001B";
  private static final String HOLD_BACK = ESC + "[?2026h";
  private static final String SHOW = ESC + "[?2026l";

  /** From so many blank cells on, erasing the rest of a row is shorter than writing it. */
  private static final int WORTH_ERASING = 4;

  /** The shortest sequence that moves the cursor over more than one cell takes four bytes. */
  private static final int WORTH_MOVING = 4;

  /** Scrolling takes some 20 bytes; it must spare many cells. */
  private static final int WORTH_SCROLLING_CELLS = 100;

  /** Rows that moved are found by what their first columns say. */
  private static final int TELLING_COLUMNS = 20;

  private final OutputStream screen;
  private final Charset charset;
  private final StringBuilder out = new StringBuilder();
  private Size size = new Size(0, 0);
  private String[] texts = {};
  private String[] styles = {};
  private int shownCursorColumn;
  private int shownCursorRow;

  // Where the terminal's cursor is and how it writes, while a repaint is put together.
  private int column;
  private int row;
  private String style = "";

  /**
   * @param charset what the terminal takes; what it has no place for is shown as {@code ?}
   */
  Painter(OutputStream screen, Charset charset) {
    this.screen = screen;
    this.charset = charset;
  }

  /** Takes nothing for granted at the next repaint: every cell is sent. */
  void forget() {
    size = new Size(0, 0);
  }

  /**
   * Shows a picture.
   *
   * @param holdsBack whether the terminal can hold it back until it is whole
   * @return bytes sent
   */
  int paint(Picture picture, boolean holdsBack) throws IOException {
    out.setLength(0);
    boolean anew = !picture.size().equals(size);
    if (anew) {
      blank(picture.size());
      out.append(ESC).append("[0m").append(ESC).append("[2J").append(ESC).append("[H");
      column = 0;
      row = 0;
      style = "";
    } else {
      column = shownCursorColumn;
      row = shownCursorRow;
      scroll(picture);
    }
    Map<String, BitSet> rows = differing(picture);
    row(picture, "", rows.remove(""));
    rows.forEach((look, where) -> row(picture, look, where));
    style("");
    if (out.length() == 0
        && picture.cursorColumn() == shownCursorColumn
        && picture.cursorRow() == shownCursorRow) {
      return 0;
    }
    move(picture.cursorColumn(), picture.cursorRow());
    shownCursorColumn = picture.cursorColumn();
    shownCursorRow = picture.cursorRow();
    if (holdsBack) {
      out.insert(0, HOLD_BACK).append(SHOW);
    }
    byte[] bytes = out.toString().getBytes(charset);
    screen.write(bytes);
    screen.flush();
    return bytes.length;
  }

  private void blank(Size newSize) {
    size = newSize;
    texts = new String[size.columns() * size.rows()];
    styles = new String[texts.length];
    Arrays.fill(texts, " ");
    Arrays.fill(styles, "");
  }

  /**
   * Lets the terminal move rows that stand higher or lower now, in a stretch of whole rows
   * (DECSTBM; line feed and reverse index at its margins, as a VT100 has them), where that leaves
   * fewer cells to send.
   */
  private void scroll(Picture picture) {
    int by = likelyShift(picture);
    if (by == 0) {
      return;
    }
    // The run of rows that are best taken from by rows below: largest sum of what each spares.
    int best = 0;
    int bestFrom = 0;
    int bestEnd = 0;
    int sum = 0;
    int from = Math.max(0, -by);
    int end = size.rows() - Math.max(0, by);
    for (int y = from; y < end; y++) {
      if (sum <= 0) {
        sum = 0;
        from = y;
      }
      sum += differing(picture, y, y) - differing(picture, y, y + by);
      if (sum > best) {
        best = sum;
        bestFrom = from;
        bestEnd = y + 1;
      }
    }
    // Rows come in blank at the other end.
    int blankFrom = by > 0 ? bestEnd : bestFrom + by;
    for (int y = blankFrom; y < blankFrom + Math.abs(by) && best > 0; y++) {
      best += differing(picture, y, y) - differing(picture, y, -1);
    }
    if (best >= WORTH_SCROLLING_CELLS) {
      shift(Math.min(bestFrom, bestFrom + by), Math.max(bestEnd, bestEnd + by), by);
    }
  }

  /** By how many rows most rows moved up; 0: none. */
  private int likelyShift(Picture picture) {
    int rows = size.rows();
    int[] was = new int[rows];
    int[] is = new int[rows];
    for (int y = 0; y < rows; y++) {
      for (int x = 0; x < Math.min(TELLING_COLUMNS, size.columns()); x++) {
        was[y] = 31 * was[y] + texts[y * size.columns() + x].hashCode();
        is[y] = 31 * is[y] + picture.text(x, y).hashCode();
      }
    }
    int[] votes = new int[2 * rows];
    int likely = 0;
    for (int y = 0; y < rows; y++) {
      for (int from = 0; from < rows && is[y] != was[y]; from++) {
        if (is[y] == was[from]) {
          votes[from - y + rows]++;
          likely = votes[from - y + rows] > votes[likely + rows] ? from - y : likely;
        }
      }
    }
    return likely;
  }

  /** How many cells of a row differ from what a row shows; from a blank row: −1. */
  private int differing(Picture picture, int y, int shown) {
    int differ = 0;
    for (int x = 0; x < size.columns(); x++) {
      int at = shown * size.columns() + x;
      String text = shown < 0 ? " " : texts[at];
      String look = shown < 0 ? "" : styles[at];
      if (!text.equals(picture.text(x, y)) || !look.equals(picture.style(x, y))) {
        differ++;
      }
    }
    return differ;
  }

  /** Moves what stands in {@code [top, end)} up, or down. */
  private void shift(int top, int end, int by) {
    out.append(ESC).append('[').append(top + 1).append(';').append(end).append('r');
    out.append(ESC).append('[').append(by > 0 ? end : top + 1).append('H');
    for (int i = 0; i < Math.abs(by); i++) {
      out.append(by > 0 ? "\n" : ESC + "M");
    }
    out.append(ESC).append("[r");
    // That sends the cursor home.
    column = 0;
    row = 0;
    int columns = size.columns();
    int moved = (end - top - Math.abs(by)) * columns;
    int to = (by > 0 ? top : top - by) * columns;
    System.arraycopy(texts, to + by * columns, texts, to, moved);
    System.arraycopy(styles, to + by * columns, styles, to, moved);
    int blank = (by > 0 ? end - by : top) * columns;
    Arrays.fill(texts, blank, blank + Math.abs(by) * columns, " ");
    Arrays.fill(styles, blank, blank + Math.abs(by) * columns, "");
  }

  /** The styles in which something must be sent, each with the rows in which. */
  private Map<String, BitSet> differing(Picture picture) {
    Map<String, BitSet> rows = new LinkedHashMap<>();
    rows.put("", new BitSet());
    for (int y = 0; y < size.rows(); y++) {
      for (int x = 0; x < size.columns(); ) {
        int width = width(picture, x, y);
        if (differs(picture, x, y, width)) {
          rows.computeIfAbsent(picture.style(x, y), style -> new BitSet()).set(y);
        }
        x += width;
      }
    }
    return rows;
  }

  private void row(Picture picture, String look, BitSet rows) {
    for (int y = rows.nextSetBit(0); y >= 0; y = rows.nextSetBit(y + 1)) {
      row(picture, look, y);
    }
  }

  private void row(Picture picture, String look, int y) {
    int columns = size.columns();
    int plainFrom = plainFrom(picture, y);
    int x = 0;
    while (x < columns) {
      int width = width(picture, x, y);
      if (!picture.style(x, y).equals(look) || !differs(picture, x, y, width)) {
        x += width;
        continue;
      }
      if (x >= plainFrom && columns - x >= WORTH_ERASING) {
        move(x, y);
        style("");
        out.append(ESC).append("[K");
        int base = y * columns;
        Arrays.fill(texts, base + x, base + columns, " ");
        Arrays.fill(styles, base + x, base + columns, "");
        return;
      }
      move(picture, x, y);
      write(picture, x, y, width);
      x += width;
    }
  }

  /** The first column from which on the row is blank and plain. */
  private int plainFrom(Picture picture, int y) {
    int x = size.columns();
    while (x > 0 && picture.text(x - 1, y).equals(" ") && picture.style(x - 1, y).isEmpty()) {
      x--;
    }
    return x;
  }

  private int width(Picture picture, int x, int y) {
    return x + 1 < size.columns() && picture.text(x + 1, y).isEmpty() ? 2 : 1;
  }

  /** Whether a character must be sent; also where it was half covered, or covers a half. */
  private boolean differs(Picture picture, int x, int y, int width) {
    int at = y * size.columns() + x;
    boolean wasWide = x + 1 < size.columns() && texts[at + 1].isEmpty();
    return !texts[at].equals(picture.text(x, y))
        || !styles[at].equals(picture.style(x, y))
        || wasWide != (width == 2);
  }

  private void write(Picture picture, int x, int y, int width) {
    int columns = size.columns();
    int at = y * columns + x;
    // What this covers by half is gone from the terminal: it must differ from any new text.
    if (texts[at].isEmpty() && x > 0) {
      texts[at - 1] = "\0";
    }
    int end = x + width;
    if (end < columns && texts[at + width].isEmpty()) {
      texts[at + width] = "\0";
    }
    style(picture.style(x, y));
    String text = picture.text(x, y);
    out.append(text.isEmpty() ? " " : text);
    texts[at] = text;
    styles[at] = picture.style(x, y);
    if (width == 2) {
      texts[at + 1] = "";
      styles[at + 1] = styles[at];
    }
    column = end;
    if (column == columns) {
      // Terminals differ in where the cursor is after the last column: it must be placed.
      column = -1;
    }
  }

  private void style(String wanted) {
    if (!wanted.equals(style)) {
      out.append(ESC).append('[');
      if (!wanted.isEmpty() && !style.isEmpty()) {
        out.append("0;");
      }
      out.append(wanted).append('m');
      style = wanted;
    }
  }

  /** Moves to a cell; over a few that look as they should, by writing them again. */
  private void move(Picture picture, int x, int y) {
    if (row == y && column >= 0 && x > column) {
      int bytes = 0;
      for (int i = column; i < x && bytes <= WORTH_MOVING; i++) {
        boolean same = picture.style(i, y).equals(style);
        bytes += same ? picture.text(i, y).getBytes(charset).length : WORTH_MOVING + 1;
      }
      if (bytes <= WORTH_MOVING) {
        for (int i = column; i < x; i++) {
          out.append(picture.text(i, y));
        }
        column = x;
        return;
      }
    }
    move(x, y);
  }

  private void move(int x, int y) {
    if (row == y && column == x) {
      return;
    }
    if (row == y && column >= 0 && x > column) {
      out.append(ESC).append('[');
      if (x - column > 1) {
        out.append(x - column);
      }
      out.append('C');
    } else if (row == y - 1 && column == x) {
      out.append(ESC).append("[B");
    } else {
      out.append(ESC).append('[').append(y + 1).append(';').append(x + 1).append('H');
    }
    row = y;
    column = x;
  }
}
