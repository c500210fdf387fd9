package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.model.Look.Colours;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class PaletteTest {

  /** Okabe and Ito (2008), from memory: vermillion 213 94 0, blue 0 114 178, green 0 158 115. */
  @Test
  void trueColoursAreThePublishedOnes() {
    assertTrue(Palette.sgr(Style.OVER, Colours.TRUE).endsWith("38;2;213;94;0"));
    assertTrue(Palette.sgr(Style.PICKED, Colours.TRUE).endsWith("38;2;0;114;178"));
    assertTrue(Palette.sgr(Style.MARKED, Colours.TRUE).endsWith("38;2;0;158;115"));
  }

  @ParameterizedTest
  @EnumSource(Colours.class)
  void onlyPlainSetsNothingAndNoStyleSetsABackground(Colours colours) {
    for (Style style : Style.values()) {
      String sgr = Palette.sgr(style, colours);
      assertEquals(style == Style.PLAIN, sgr.isEmpty(), style + ": " + sgr);
      assertFalse(sgr.matches("(.*;)?4[0-9](;.*)?"), style + ": " + sgr);
    }
  }

  /** The palette of xterm: cube levels 0, 95, 135, 175, 215, 255 from 16 on (from memory). */
  @Test
  void the256ColoursAreNeighboursOfTheTrueOnes() {
    assertNear(Style.OVER, 213, 94, 0);
    assertNear(Style.PICKED, 0, 114, 178);
    assertNear(Style.MARKED, 0, 158, 115);
  }

  private static void assertNear(Style style, int red, int green, int blue) {
    String sgr = Palette.sgr(style, Colours.TWO_HUNDRED_FIFTY_SIX);
    int cube = Integer.parseInt(sgr.substring(sgr.lastIndexOf(';') + 1)) - 16;
    int[] levels = {0, 95, 135, 175, 215, 255};
    assertTrue(Math.abs(levels[cube / 36] - red) <= 40, sgr);
    assertTrue(Math.abs(levels[cube / 6 % 6] - green) <= 40, sgr);
    assertTrue(Math.abs(levels[cube % 6] - blue) <= 40, sgr);
  }
}
