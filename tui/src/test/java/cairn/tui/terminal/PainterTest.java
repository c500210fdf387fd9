package cairn.tui.terminal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Size;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class PainterTest {

  /** A picture that a test can write to. */
  private static final class Drawn implements Picture {
    final Size size;
    final String[] texts;
    final String[] styles;
    int cursorColumn;
    int cursorRow;

    Drawn(Size size) {
      this.size = size;
      texts = new String[size.columns() * size.rows()];
      styles = new String[texts.length];
      Arrays.fill(texts, " ");
      Arrays.fill(styles, "");
    }

    Drawn copy() {
      Drawn copy = new Drawn(size);
      System.arraycopy(texts, 0, copy.texts, 0, texts.length);
      System.arraycopy(styles, 0, copy.styles, 0, styles.length);
      return copy;
    }

    void put(int column, int row, String style, String... characters) {
      int at = row * size.columns() + column;
      for (String character : characters) {
        texts[at] = character;
        styles[at] = style;
        at++;
        if (character.equals("語")) {
          texts[at] = "";
          styles[at] = style;
          at++;
        }
      }
    }

    @Override
    public Size size() {
      return size;
    }

    @Override
    public String text(int column, int row) {
      return texts[row * size.columns() + column];
    }

    @Override
    public String style(int column, int row) {
      return styles[row * size.columns() + column];
    }

    @Override
    public int cursorColumn() {
      return cursorColumn;
    }

    @Override
    public int cursorRow() {
      return cursorRow;
    }
  }

  private static void assertShows(ShownCells shown, Drawn drawn, String message) {
    assertEquals(Arrays.asList(drawn.texts), Arrays.asList(shown.texts), message);
    assertEquals(Arrays.asList(drawn.styles), Arrays.asList(shown.styles), message);
    assertEquals(drawn.cursorColumn, shown.column, message);
    assertEquals(drawn.cursorRow, shown.row, message);
  }

  private static Painter painter(ShownCells shown) {
    return new Painter(shown, StandardCharsets.UTF_8);
  }

  @Test
  void whatIsShownIsThePictureWhateverWasShownBefore() throws IOException {
    Size size = new Size(23, 7);
    String[] characters = {" ", " ", " ", "a", "é", "⣿", "語", "e\u0301", "b", "▌"};
    String[] styles = {"", "", "", "1", "7", "38;5;208"};
    for (long seed = 0; seed < 300; seed++) {
      Random random = new Random(seed);
      ShownCells shown = new ShownCells(size);
      Painter painter = painter(shown);
      Drawn drawn = new Drawn(size);
      for (int step = 0; step < 12; step++) {
        drawn = drawn.copy();
        for (int i = random.nextInt(9); i > 0; i--) {
          int row = random.nextInt(size.rows());
          int column = random.nextInt(size.columns());
          String style = styles[random.nextInt(styles.length)];
          for (int n = random.nextInt(size.columns()); n > 0 && column < size.columns(); n--) {
            String character = characters[random.nextInt(characters.length)];
            boolean wide = character.equals("語");
            if (wide && column + 1 == size.columns()) {
              break;
            }
            uncover(drawn, column, row);
            if (wide) {
              uncover(drawn, column + 1, row);
            }
            drawn.put(column, row, style, character);
            column += wide ? 2 : 1;
          }
        }
        drawn.cursorColumn = random.nextInt(size.columns());
        drawn.cursorRow = random.nextInt(size.rows());
        painter.paint(drawn, random.nextBoolean());
        assertShows(shown, drawn, "seed=" + seed + ", step=" + step);
        assertEquals(false, shown.heldBack, "seed=" + seed);
      }
    }
  }

  /** Rows of a stretch stand higher or lower, others come in, a column beside them changes. */
  @Test
  void rowsThatMovedAreScrolledAndShowThePicture() throws IOException {
    Size size = new Size(80, 24);
    for (long seed = 0; seed < 100; seed++) {
      Random random = new Random(seed);
      ShownCells shown = new ShownCells(size);
      Painter painter = painter(shown);
      Drawn drawn = new Drawn(size);
      for (int y = 0; y < size.rows(); y++) {
        drawn.put(0, y, y % 4 == 0 ? "1" : "", letters(random, 60));
      }
      painter.paint(drawn, false);
      int top = random.nextInt(6);
      int end = 12 + random.nextInt(12);
      int by = (random.nextBoolean() ? 1 : -1) * (1 + random.nextInt(5));
      Drawn moved = drawn.copy();
      for (int y = top; y < end; y++) {
        int from = y + by;
        if (from >= top && from < end) {
          System.arraycopy(drawn.texts, from * 80, moved.texts, y * 80, 80);
          System.arraycopy(drawn.styles, from * 80, moved.styles, y * 80, 80);
        } else {
          moved.put(0, y, "7", letters(random, 60));
        }
      }
      moved.put(70, top + 2, "1", "語", "x");
      int bytes = painter.paint(moved, true);
      assertShows(shown, moved, "seed=" + seed);
      // The rows that come in, with what it takes to place them, and some more.
      assertTrue(bytes < Math.abs(by) * 80 + 120, bytes + " bytes, seed=" + seed);
    }
  }

  @Test
  void cellsOfTwoStylesInTurnAreSentStyleByStyle() throws IOException {
    Size size = new Size(100, 24);
    ShownCells shown = new ShownCells(size);
    Painter painter = painter(shown);
    Drawn drawn = new Drawn(size);
    painter.paint(drawn, false);
    Drawn plot = drawn.copy();
    for (int x = 0; x < size.columns(); x++) {
      plot.put(x, 9, x % 2 == 0 ? "1;38;5;32" : "", x % 2 == 0 ? "2" : "x");
    }
    int bytes = painter.paint(plot, false);
    assertShows(shown, plot, "in turn");
    // To place the cursor twice and back, to turn to the style and back; a cell, and what passes
    // over the next one (CUF without a figure: three bytes).
    int most = 3 * 8 + 12 + 3 + size.columns() * (1 + 3);
    assertTrue(bytes <= most, bytes + " bytes");
  }

  private static String[] letters(Random random, int count) {
    String[] letters = new String[count];
    Arrays.setAll(letters, i -> String.valueOf((char) ('a' + random.nextInt(26))));
    return letters;
  }

  /** A canvas leaves no half of a wide character behind. */
  private static void uncover(Drawn drawn, int column, int row) {
    int at = row * drawn.size.columns() + column;
    if (drawn.texts[at].isEmpty()) {
      drawn.texts[at - 1] = " ";
    }
    if (column + 1 < drawn.size.columns() && drawn.texts[at + 1].isEmpty()) {
      drawn.texts[at + 1] = " ";
    }
  }

  @Test
  void aRepaintIsOneWriteAndAnIdleOneNone() throws IOException {
    Size size = new Size(200, 60);
    ShownCells shown = new ShownCells(size);
    Painter painter = painter(shown);
    Drawn drawn = new Drawn(size);
    for (int row = 0; row < 60; row++) {
      for (int column = 0; column < 200; column++) {
        drawn.put(column, row, row % 3 == 0 ? "7" : "", column % 5 == 0 ? "x" : "⠒");
      }
    }
    painter.paint(drawn, true);
    assertEquals(1, shown.writes);
    assertEquals(0, painter.paint(drawn, true));
    assertEquals(1, shown.writes, "nothing has changed");
  }

  @Test
  void movingTheCursorAloneTakesOneShortSequence() throws IOException {
    ShownCells shown = new ShownCells(new Size(200, 60));
    Painter painter = painter(shown);
    Drawn drawn = new Drawn(shown.size);
    painter.paint(drawn, false);
    drawn.cursorRow = 40;
    // ESC [ 41 ; 1 H
    assertEquals(7, painter.paint(drawn, false));
  }

  @Test
  void afterForgettingEveryCellIsSent() throws IOException {
    ShownCells shown = new ShownCells(new Size(80, 24));
    Painter painter = painter(shown);
    Drawn drawn = new Drawn(shown.size);
    drawn.put(3, 4, "1", "c", "a", "i", "x", "a");
    painter.paint(drawn, false);
    Arrays.fill(shown.texts, "#");
    painter.forget();
    painter.paint(drawn, false);
    assertShows(shown, drawn, "after forgetting");
  }

  @Test
  void aTerminalWithoutUnicodeGetsQuestionMarks() throws IOException {
    ShownCells shown = new ShownCells(new Size(80, 24));
    Painter painter = new Painter(shown, StandardCharsets.US_ASCII);
    Drawn drawn = new Drawn(shown.size);
    drawn.put(0, 0, "", "é", "x");
    painter.paint(drawn, false);
    assertEquals("?", shown.texts[0]);
    assertEquals("x", shown.texts[1]);
    assertTrue(painter.paint(drawn, false) == 0);
  }
}
