package cairn.io.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * The report's colours, held against WCAG 2.2 (W3C, 2023): success criterion 1.4.3 asks for 4.5:1
 * between text and what is behind it, 1.4.11 for 3:1 where a line or an area carries meaning; both
 * formulas are those of its definitions "relative luminance" and "contrast ratio".
 */
class ReportStyleTest {

  private static final double OF_TEXT = 4.5;
  private static final double OF_SHAPES = 3;

  private static String css;

  /** Light, dark and print: the colours of each look by their names. */
  private static final Map<String, Map<String, String>> LOOKS = new HashMap<>();

  @BeforeAll
  static void read() throws IOException {
    try (InputStream in = ReportPage.class.getResourceAsStream("report.css")) {
      css = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    Map<String, String> light = colours("(?s)^:root\\{(.*?)\\}");
    LOOKS.put("light", light);
    for (String medium : List.of("(prefers-color-scheme:dark)", "print")) {
      Map<String, String> look = new HashMap<>(light);
      look.putAll(colours("(?s)@media " + Pattern.quote(medium) + "\\{.*?:root\\{(.*?)\\}"));
      LOOKS.put(medium, look);
    }
  }

  private static Map<String, String> colours(String where) {
    Matcher root = Pattern.compile(where).matcher(css);
    assertTrue(root.find(), where);
    Map<String, String> colours = new HashMap<>();
    Matcher one = Pattern.compile("--(\\w+):(#[0-9a-f]+)").matcher(root.group(1));
    while (one.find()) {
      colours.put(one.group(1), one.group(2));
    }
    assertTrue(colours.size() >= 9, where + " " + colours);
    return colours;
  }

  /** WCAG 2.2, "relative luminance", of {@code #rgb} or {@code #rrggbb}. */
  private static double luminance(String colour) {
    String hex =
        colour.length() == 4 ? colour.substring(1).replaceAll("(.)", "$1$1") : colour.substring(1);
    double luminance = 0;
    double[] weights = {0.2126, 0.7152, 0.0722};
    for (int i = 0; i < 3; i++) {
      double c = Integer.parseInt(hex.substring(2 * i, 2 * i + 2), 16) / 255.0;
      luminance += weights[i] * (c <= 0.04045 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4));
    }
    return luminance;
  }

  /** WCAG 2.2, "contrast ratio". */
  private static double contrast(String one, String other) {
    double a = luminance(one);
    double b = luminance(other);
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  }

  private static Set<String> named(String property) {
    Set<String> names = new HashSet<>();
    Matcher used = Pattern.compile("[{;]" + property + ":(?:[^;}]* )?([^;} ]+)").matcher(css);
    while (used.find()) {
      Matcher name = Pattern.compile("var\\(--(\\w+)\\)").matcher(used.group(1));
      if (name.matches()) {
        names.add(name.group(1));
      } else {
        assertEquals("none", used.group(1), property + " has a colour without a name");
      }
    }
    return names;
  }

  private static List<String> tooFaint(Set<String> ink, Set<String> paper, double least) {
    List<String> faint = new ArrayList<>();
    LOOKS.forEach(
        (look, colours) -> {
          for (String front : ink) {
            for (String behind : paper) {
              double ratio = contrast(colours.get(front), colours.get(behind));
              if (ratio < least) {
                faint.add(look + ": " + front + " on " + behind + " " + ratio);
              }
            }
          }
        });
    return faint;
  }

  @Test
  void theFormulaGivesTheRatiosThatAreKnown() {
    // From memory: black on white is 21:1, #767676 the lightest grey that passes on white (4.54:1).
    assertEquals(21, contrast("#000", "#ffffff"), 1e-9);
    assertEquals(4.54, contrast("#767676", "#fff"), 0.005);
  }

  @Test
  void textCanBeReadInEveryLook() {
    Set<String> ink = named("color");
    assertTrue(ink.containsAll(Set.of("ink", "soft", "mark")), ink.toString());
    assertEquals(List.of(), tooFaint(ink, Set.of("paper", "card"), OF_TEXT));
  }

  @Test
  void linesThatCarryMeaningCanBeSeenInEveryLook() {
    Set<String> drawn = named("stroke");
    drawn.addAll(Set.of("over", "stone", "pebble"));
    // Grids and edges mean nothing by themselves.
    drawn.remove("rule");
    assertTrue(drawn.containsAll(Set.of("over", "pick", "mark", "stone", "ink")), drawn.toString());
    assertEquals(List.of(), tooFaint(drawn, Set.of("paper"), OF_SHAPES));
  }

  /** The page is XML too: what XML escapes would reach the style's raw text as it is escaped. */
  @Test
  void theStyleNeedsNoEscaping() {
    assertFalse(css.matches("(?s).*[<>&].*"));
  }
}
