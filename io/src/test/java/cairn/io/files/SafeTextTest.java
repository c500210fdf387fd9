package cairn.io.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Random;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

/**
 * Vectors: terminal part of text-safety-vectors.json and unsafe-codepoints.csv (ECMA-48, UAX #9).
 */
class SafeTextTest {

  @Test
  void theTerminalVectorsHold() throws IOException {
    JsonNode vectors;
    try (InputStream in =
        SafeTextTest.class.getResourceAsStream("/standards/text-safety-vectors.json")) {
      vectors = new ObjectMapper().readTree(in).get("terminal");
    }
    assertEquals(13, vectors.size());
    for (JsonNode vector : vectors) {
      String raw = rawOf(vector);
      String safe = SafeText.of(raw);
      String name = vector.get("name").asText();
      if (vector.has("mustEqual")) {
        assertEquals(vector.get("mustEqual").asText(), safe, name);
      }
      for (JsonNode hex : vector.path("mustNotContain")) {
        int codePoint = Integer.parseInt(hex.asText(), 16);
        assertTrue(raw.indexOf(codePoint) >= 0, name + ": the vector itself holds " + hex);
        assertEquals(-1, safe.indexOf(codePoint), name);
      }
    }
  }

  private static String rawOf(JsonNode vector) {
    if (vector.has("raw")) {
      return vector.get("raw").asText();
    }
    StringBuilder raw = new StringBuilder();
    for (JsonNode unit : vector.get("rawUtf16")) {
      raw.append((char) Integer.parseInt(unit.asText(), 16));
    }
    return raw.toString();
  }

  @Test
  void everyListedCodePointIsEscapedWhateverItsLevel() throws IOException {
    List<CSVRecord> rows;
    try (InputStream in =
        SafeTextTest.class.getResourceAsStream("/standards/unsafe-codepoints.csv")) {
      rows =
          CSVFormat.DEFAULT
              .builder()
              .setHeader()
              .setSkipHeaderRecord(true)
              .get()
              .parse(new InputStreamReader(in, StandardCharsets.UTF_8))
              .getRecords();
    }
    assertEquals(25, rows.size());
    for (CSVRecord row : rows) {
      int last = Integer.parseInt(row.get("last_hex"), 16);
      for (int c = Integer.parseInt(row.get("first_hex"), 16); c <= last; c++) {
        String expected = String.format("a\\u{%X}b", c);
        assertEquals(expected, SafeText.of("a" + Character.toString(c) + "b"), row.get("what"));
      }
    }
  }

  @Test
  void aBackslashIsDoubledSoThatNoEscapeCanBeForged() {
    assertEquals("\\\\u{1B}", SafeText.of("\\u{1B}"));
    assertNotEquals(SafeText.of("\u001b"), SafeText.of("\\u{1B}"));
  }

  @Test
  void aSurrogatePairIsOneCharacterAndAReversedOneIsTwoEscapes() {
    assertEquals("🎵", SafeText.of("🎵"));
    assertEquals("\\u{DFB5}\\u{D83C}", SafeText.of("\udfb5\ud83c"));
  }

  @Test
  void nothingIsTheEmptyText() {
    assertEquals("", SafeText.of(null));
    assertEquals("", SafeText.of(""));
  }

  /** Widths read from EastAsianWidth of the Unicode character database (W and F are wide). */
  @Test
  void cellsFollowTheEastAsianWidthOfEachCharacter() {
    assertEquals(0, SafeText.cells(""));
    assertEquals(8, SafeText.cells("03 surdo"));
    assertEquals(1, SafeText.cells("é"));
    assertEquals(1, SafeText.cells("e\u0301"), "a combining acute takes no cell");
    assertEquals(2, SafeText.cells("鼓"));
    assertEquals(2, SafeText.cells("ｋ"), "full-width k");
    assertEquals(1, SafeText.cells("ｶ"), "half-width katakana");
    assertEquals(2, SafeText.cells("🥁"));
    assertEquals(2, SafeText.cells("북"), "a Hangul syllable");
    assertEquals(2, SafeText.cells("\u1107\u116e\u11a8"), "the same in three parts");
    assertEquals(1, SafeText.cells("…"), "ambiguous counts as narrow");
    assertEquals(1, SafeText.cells("⠿"));
    assertEquals(4, SafeText.cells("\u3041\u3247"), "last code points of a run count");
    assertEquals(1, SafeText.cells("\u3248"), "the one after does not");
  }

  @Test
  void cutLeavesOutTheMiddleAndSaysSo() {
    assertEquals("hall…rn L", SafeText.cut("hall return L", 9));
    assertEquals("hall …urn L", SafeText.cut("hall return L", 11));
    assertEquals("hall..rn L", SafeText.cut("hall return L", 10, SafeText.ASCII_ELLIPSIS));
    assertEquals("hall return L", SafeText.cut("hall return L", 13));
    assertEquals("hall ret…", SafeText.cutEnd("hall return L", 9));
    assertEquals("hall re..", SafeText.cutEnd("hall return L", 9, SafeText.ASCII_ELLIPSIS));
  }

  @Test
  void cutToAlmostNothingLeavesWhatFitsOfTheEllipsis() {
    assertEquals("…", SafeText.cut("surdo", 1));
    assertEquals("", SafeText.cut("surdo", 0));
    assertEquals(".", SafeText.cut("surdo", 1, SafeText.ASCII_ELLIPSIS));
    assertEquals("..", SafeText.cutEnd("surdo", 2, SafeText.ASCII_ELLIPSIS));
  }

  @Test
  void cutNeverSplitsAnEscapeOrAWideCharacterOrALetterFromItsMark() {
    assertEquals("a…c", SafeText.cut(SafeText.of("a\u001bc"), 7));
    assertEquals("ab…\\\\", SafeText.cut(SafeText.of("abcd\\"), 5));
    assertEquals("ab…", SafeText.cut(SafeText.of("abcd\\"), 4), "half a backslash is none");
    assertEquals("鼓…", SafeText.cutEnd("鼓鼓鼓", 4));
    assertEquals("e\u0301…", SafeText.cutEnd("e\u0301e\u0301e\u0301", 2));
  }

  @Test
  void cutTextFitsAndConsistsOfWholePiecesForAnyTextAndWidth() {
    String[] pieces = {"a", "鼓", "e\u0301", "🥁", "\u001b", "\\", " ", "\u202e", "}", "u{"};
    for (long seed = 1; seed <= 300; seed++) {
      Random random = new Random(seed);
      StringBuilder raw = new StringBuilder();
      for (int i = random.nextInt(12); i > 0; i--) {
        raw.append(pieces[random.nextInt(pieces.length)]);
      }
      String safe = SafeText.of(raw);
      for (int cells = 0; cells <= SafeText.cells(safe) + 1; cells++) {
        String about = "seed " + seed + ", '" + safe + "' to " + cells;
        for (String cut :
            List.of(
                SafeText.cut(safe, cells),
                SafeText.cutEnd(safe, cells),
                SafeText.cut(safe, cells, SafeText.ASCII_ELLIPSIS))) {
          assertTrue(SafeText.cells(cut) <= cells, about);
          // What is left once whole escapes are taken out holds no broken one.
          String rest = cut.replace("\\\\", "").replaceAll("\\\\u\\{[0-9A-F]+\\}", "");
          assertFalse(rest.contains("\\"), about + ": " + cut);
          assertFalse(cut.startsWith("\u0301") || cut.contains("…\u0301"), about);
        }
        assertEquals(
            Math.max(cells, SafeText.cells(safe)), SafeText.cells(SafeText.pad(safe, cells)));
      }
    }
  }

  @Test
  void padCountsCellsNotCharacters() {
    assertEquals("鼓  ", SafeText.pad("鼓", 4));
    assertEquals("  鼓", SafeText.padLeft("鼓", 4));
    assertEquals("surdo", SafeText.pad("surdo", 3));
  }
}
