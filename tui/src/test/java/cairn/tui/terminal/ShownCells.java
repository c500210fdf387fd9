package cairn.tui.terminal;

import cairn.io.files.SafeText;
import cairn.tui.model.Size;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/**
 * What a terminal would show of the bytes it was sent: CUP, CUF, EL 0, ED 2, SGR, printing, and
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

  ShownCells(Size size) {
    this.size = size;
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
      if (text.charAt(i) == '\u001B') {
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
      case 'm' -> style = parameters.replaceFirst("^0;?", "");
      case 'H' -> {
        String[] parts = parameters.isEmpty() ? new String[] {"1", "1"} : parameters.split(";");
        row = Integer.parseInt(parts[0]) - 1;
        column = Integer.parseInt(parts[1]) - 1;
      }
      case 'C' -> column += Integer.parseInt(parameters);
      case 'K' -> clear(row * size.columns() + column, (row + 1) * size.columns());
      case 'J' -> clear(0, texts.length);
      case 'h', 'l' -> heldBack = last == 'h';
      default -> throw new AssertionError("no such control: " + parameters + last);
    }
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
