package cairn.tui.terminal;

import cairn.io.files.SafeText;
import cairn.tui.model.Size;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/**
 * What a terminal would show of the bytes it was sent: CUP, CUF, CUD, EL 0, ED 2, SGR, line feed
 * and reverse index at the margins that DECSTBM sets (which sends the cursor home), printing, and
 * overwriting half of a wide character, which blanks the other half (xterm, tmux). Written from
 * ECMA-48, 5th edition. The cursor's place after the last column is left open: to print there is an
 * error of the sender's.
 */
final class ShownCells extends ByteArrayOutputStream {

  final Size size;
  final String[] texts;
  final String[] styles;
  int column;
  int row;
  int writes;
  boolean heldBack;
  private String style = "";
  private int top;
  private int end;

  ShownCells(Size size) {
    this.size = size;
    end = size.rows();
    texts = new String[size.columns() * size.rows()];
    styles = new String[texts.length];
    Arrays.fill(texts, "?");
    Arrays.fill(styles, "?");
  }

  @Override
  public synchronized void write(byte[] bytes, int from, int length) {
    writes++;
    take(new String(bytes, from, length, StandardCharsets.UTF_8));
  }

  @Override
  public void writeBytes(byte[] bytes) {
    write(bytes, 0, bytes.length);
  }

  private void take(String text) {
    int i = 0;
    while (i < text.length()) {
      if (text.charAt(i) == '\n') {
        feed(true);
        i++;
      } else if (text.startsWith("\u001BM", i)) {
        feed(false);
        i += 2;
      } else if (text.charAt(i) == '\u001B') {
        int end = i + 2;
        while (text.charAt(end) < 0x40) {
          end++;
        }
        control(text.substring(i + 2, end), text.charAt(end));
        i = end + 1;
      } else {
        int end = text.offsetByCodePoints(i, 1);
        while (end < text.length()
            && text.codePointAt(end) != '\u001B'
            && text.codePointAt(end) != '\n'
            && SafeText.cells(text.substring(end, text.offsetByCodePoints(end, 1))) == 0) {
          end = text.offsetByCodePoints(end, 1);
        }
        print(text.substring(i, end));
        i = end;
      }
    }
  }

  private void control(String parameters, char last) {
    switch (last) {
      case 'm' -> {
        if (!style.isEmpty() && !parameters.isEmpty() && !parameters.startsWith("0;")) {
          throw new AssertionError(parameters + " on top of " + style);
        }
        style = parameters.replaceFirst("^0;?", "");
      }
      case 'H' -> {
        String[] parts = parameters.isEmpty() ? new String[] {"1"} : parameters.split(";");
        row = Integer.parseInt(parts[0]) - 1;
        column = parts.length > 1 ? Integer.parseInt(parts[1]) - 1 : 0;
      }
      case 'B' -> row += parameters.isEmpty() ? 1 : Integer.parseInt(parameters);
      case 'r' -> {
        String[] parts = parameters.isEmpty() ? new String[0] : parameters.split(";");
        top = parts.length > 0 ? Integer.parseInt(parts[0]) - 1 : 0;
        end = parts.length > 0 ? Integer.parseInt(parts[1]) : size.rows();
        if (top + 1 >= end || end > size.rows()) {
          throw new AssertionError("no such margins: " + parameters);
        }
        row = 0;
        column = 0;
      }
      case 'C' -> column += parameters.isEmpty() ? 1 : Integer.parseInt(parameters);
      case 'K' -> clear(row * size.columns() + column, (row + 1) * size.columns());
      case 'J' -> clear(0, texts.length);
      case 'h', 'l' -> heldBack = last == 'h';
      default -> throw new AssertionError("no such control: " + parameters + last);
    }
  }

  /** A row down, or up; at a margin the rows between both move instead. */
  private void feed(boolean down) {
    if (row != (down ? end - 1 : top)) {
      row += down ? 1 : -1;
      return;
    }
    int columns = size.columns();
    int length = (end - top - 1) * columns;
    int low = top * columns;
    System.arraycopy(texts, down ? low + columns : low, texts, down ? low : low + columns, length);
    System.arraycopy(
        styles, down ? low + columns : low, styles, down ? low : low + columns, length);
    int fresh = (down ? end - 1 : top) * columns;
    Arrays.fill(texts, fresh, fresh + columns, " ");
    Arrays.fill(styles, fresh, fresh + columns, style);
  }

  private void clear(int from, int to) {
    if (!style.isEmpty()) {
      throw new AssertionError("erased in a style: " + style);
    }
    for (int i = from; i < to; i++) {
      cover(i);
      texts[i] = " ";
      styles[i] = "";
    }
  }

  private void print(String text) {
    int width = SafeText.cells(text);
    if (column + width > size.columns()) {
      throw new AssertionError("printed past the last column: " + text);
    }
    int at = row * size.columns() + column;
    for (int i = 0; i < width; i++) {
      cover(at + i);
    }
    texts[at] = text;
    styles[at] = style;
    if (width == 2) {
      texts[at + 1] = "";
      styles[at + 1] = style;
    }
    column += width;
  }

  private void cover(int at) {
    if (texts[at].isEmpty()) {
      texts[at - 1] = " ";
    }
    if ((at + 1) % size.columns() != 0 && texts[at + 1].isEmpty()) {
      texts[at + 1] = " ";
    }
  }
}
