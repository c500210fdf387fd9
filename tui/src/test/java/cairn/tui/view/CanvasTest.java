package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Size;
import org.junit.jupiter.api.Test;

class CanvasTest {

  private final Canvas canvas = new Canvas(new Size(8, 2), true);

  @Test
  void textStandsWhereItIsPutAndIsCutAtTheEdges() {
    assertEquals(10, canvas.put(0, 5, "caixa", Style.OVER));
    canvas.put(1, -2, "surdo");
    canvas.put(2, 0, "below");
    assertEquals("     cai\nrdo\n", canvas.asText());
    assertTrue(canvas.isSpilt());
    assertEquals(Style.OVER, canvas.style(0, 7));
    assertEquals(Style.PLAIN, canvas.style(0, 4));
  }

  @Test
  void aWideCharacterTakesTwoCellsOrNone() {
    assertEquals(9, canvas.put(0, 5, "鼓鼓", Style.PLAIN));
    assertEquals("鼓", canvas.text(0, 5));
    assertEquals("", canvas.text(0, 6));
    assertEquals(" ", canvas.text(0, 7));
  }

  @Test
  void coveringHalfAWideCharacterTakesTheOtherHalfAlong() {
    canvas.put(0, 2, "鼓鼓");
    canvas.put(0, 3, "ab");
    assertTrue(canvas.asText().startsWith("   ab\n"), canvas.asText());
    assertEquals(" ", canvas.text(0, 5));
  }

  @Test
  void aMarkStaysWithItsLetter() {
    assertEquals(2, canvas.put(0, 0, "a\u0301b", Style.PLAIN));
    assertEquals("a\u0301", canvas.text(0, 0));
    assertEquals("b", canvas.text(0, 1));
    canvas.put(1, 0, "\u0301x");
    assertEquals("x", canvas.text(1, 0));
  }

  @Test
  void inAsciiLettersLoseTheirMarksAndOthersBecomeQuestionMarksOfTheSameWidth() {
    Canvas ascii = new Canvas(new Size(9, 1), false);
    ascii.put(0, 0, "Agog\u00f4 \u9f13x");
    assertEquals("Agogo ??x\n", ascii.asText());
  }

  @Test
  void theCursorStaysInTheWindow() {
    canvas.cursor(9, 99);
    assertEquals(1, canvas.cursorRow());
    assertEquals(7, canvas.cursorColumn());
  }
}
