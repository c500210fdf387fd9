package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.files.SafeText;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

class NamesTest {

  private static final Glyphs UTF_8 = Glyphs.of(ParadeModels.UTF_8);

  @Test
  void whatAllNamesBeginAndEndWithIsLeftOut() {
    assertEquals(
        List.of("01 surdo", "02 caixa"),
        Names.withoutCommonParts(List.of("Lantern Row 01 surdo mix", "Lantern Row 02 caixa mix")));
  }

  @Test
  void wordsAreNotTornApart() {
    assertEquals(
        List.of("low", "lead"),
        Names.withoutCommonParts(List.of("parade brass low", "parade brass lead")));
  }

  @Test
  void somethingStaysOfTheShortestName() {
    assertEquals(
        List.of("brass", "brass low"), Names.withoutCommonParts(List.of("brass", "brass low")));
    assertEquals(List.of("surdo"), Names.withoutCommonParts(List.of("surdo")));
  }

  @Test
  void aLongNameIsCutInItsMiddle() {
    Names names = new Names(List.of("hall return L", "caixa"), UTF_8);
    assertEquals("hall…rn L", names.fit(0, 9));
    assertEquals("caixa", names.fit(1, 9));
  }

  @Test
  void namesThatWouldLookTheSameAreNumberedAndStillFit() {
    List<String> alike =
        List.of("hall return dark left", "hall return bright left", "caixa", "hall rust left");
    Names names = new Names(alike, UTF_8);
    for (int cells = 4; cells < 24; cells++) {
      Set<String> seen = new HashSet<>();
      for (int k = 0; k < alike.size(); k++) {
        String name = names.fit(k, cells);
        assertTrue(seen.add(name), name + " twice in " + cells + " cells");
        assertTrue(SafeText.cells(name) <= cells, name);
      }
    }
  }
}
