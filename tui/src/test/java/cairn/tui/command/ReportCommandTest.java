package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole.Outcome;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Predicate;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;

/** The page is read by the platform's strict XML parser: HTML that is XML too is sound HTML. */
class ReportCommandTest {

  private static final int RATE = 8_000;

  /** A name that tries to become markup, and one that is written from right to left. */
  private static final String HOSTILE = "caixa\"'><script>alert(1)<b>&amp;";

  private static final String HEBREW = "\u05EA\u05D5\u05E3";

  @TempDir Path folder;

  private Path stems;

  @BeforeEach
  void writeStems() throws IOException {
    stems = Files.createDirectories(folder.resolve("parade & <i>band"));
    wave(stems.resolve(HOSTILE + ".wav"), 0.5);
    wave(stems.resolve(HEBREW + ".wav"), 0.35);
  }

  /** Four seconds of a tone each, with a peak on both at one sample. */
  private static void wave(Path file, double peak) throws IOException {
    double[] x = new double[4 * RATE];
    for (int n = 0; n < x.length; n++) {
      x[n] = 0.1 * Math.sin(2 * Math.PI * n / 80);
    }
    x[RATE + 20] += peak;
    x[2 * RATE + 20] += 0.8 * peak;
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
  }

  private Outcome report(String... more) {
    List<String> args = new ArrayList<>(List.of("report", stems.toString()));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  private Document page(String... more) throws Exception {
    List<String> args = new ArrayList<>(List.of(more));
    Path target = folder.resolve("report.html");
    args.addAll(List.of("--to", target.toString(), "--force"));
    Outcome outcome = report(args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    return DocumentBuilderFactory.newDefaultInstance().newDocumentBuilder().parse(target.toFile());
  }

  private static List<Element> all(Document page, String tag) {
    NodeList found = page.getElementsByTagName(tag);
    List<Element> elements = new ArrayList<>();
    for (int i = 0; i < found.getLength(); i++) {
      elements.add((Element) found.item(i));
    }
    return elements;
  }

  private static List<Double> figures(Document page, String key) {
    return all(page, "data").stream()
        .filter(data -> data.getAttribute("class").equals(key))
        .map(data -> Double.valueOf(data.getAttribute("value")))
        .toList();
  }

  private static List<Double> numbers(JsonNode array, String key) {
    List<Double> numbers = new ArrayList<>();
    array.forEach(node -> numbers.add(node.get(key).asDouble()));
    return numbers;
  }

  @Test
  void everyFigureIsThatOfTheList() throws Exception {
    Document page = page("--goal", "-8");
    Outcome list = TestConsole.run("list", stems.toString(), "--json", "--goal", "-8");
    JsonNode json = new ObjectMapper().readTree(list.out());
    JsonNode bus = json.get("bus");
    for (String key :
        List.of(
            "peakDb",
            "averagePeakDb",
            "lineDb",
            "integratedLufs",
            "loudPartLufs",
            "loudnessRangeLu",
            "truePeakDb",
            "crestDb")) {
      if (!bus.get(key).isNull()) {
        assertEquals(List.of(bus.get(key).asDouble()), figures(page, key), key);
      }
    }
    for (String key : List.of("targetLufs", "neededGainDb", "goalLineDb", "limiterDb")) {
      assertEquals(List.of(json.get("goal").get(key).asDouble()), figures(page, key), key);
    }
    assertEquals(numbers(json.get("moments"), "levelDb"), figures(page, "levelDb"));
    assertEquals(numbers(json.get("moments"), "excessDb"), figures(page, "excessDb"));
    assertEquals(numbers(json.get("session").get("stems"), "peakDb"), figures(page, "stemPeakDb"));
    assertEquals(2, figures(page, "levelDb").size());
    JsonNode plan =
        new ObjectMapper()
            .readTree(TestConsole.run("plan", stems.toString(), "--json", "--goal", "-8").out());
    assertEquals(List.of(plan.get("peakAfterDb").asDouble()), figures(page, "peakAfterDb"));
    assertEquals(List.of(plan.get("places").asDouble()), figures(page, "hits"));
  }

  @Test
  void namesStayNamesInAnyScript() throws Exception {
    Document page = page();
    assertEquals(List.of(), all(page, "script"));
    assertEquals(List.of(), all(page, "i"));
    List<String> names = all(page, "bdi").stream().map(Element::getTextContent).toList();
    assertTrue(names.contains(HOSTILE), names.toString());
    assertTrue(names.contains(HEBREW), names.toString());
    assertTrue(names.contains("parade & <i>band"), names.toString());
  }

  @Test
  void thePageNeedsNothingElseAndCanBeReadAloud() throws Exception {
    Document page = page("--goal", "-8");
    String text = Files.readString(folder.resolve("report.html"));
    assertFalse(
        text.replace("http://www.w3.org/2000/svg", "").matches("(?s).*(https?:|url\\(|@import).*"));
    List<Element> pictures = all(page, "svg");
    assertTrue(pictures.size() >= 7, pictures.size() + " pictures");
    for (Element svg : pictures) {
      assertEquals("img", svg.getAttribute("role"));
      for (String tag : List.of("title", "desc")) {
        NodeList said = svg.getElementsByTagName(tag);
        assertEquals(1, said.getLength());
        assertFalse(said.item(0).getTextContent().isBlank());
        assertTrue(
            svg.getAttribute("aria-labelledby")
                .contains(((Element) said.item(0)).getAttribute("id")));
      }
    }
    assertTrue(all(page, "th").stream().allMatch(th -> th.hasAttribute("scope")));
    assertTrue(
        all(page, "table").stream()
            .allMatch(t -> t.getFirstChild().getNodeName().equals("caption")));
    Set<String> ids = new HashSet<>();
    Predicate<Element> isTaken = element -> !ids.add(element.getAttribute("id"));
    assertTrue(
        all(page, "*").stream().filter(e -> e.hasAttribute("id")).noneMatch(isTaken),
        "an id stands twice");
    assertEquals(1, text.split("turn speakers and headphones down", -1).length - 1);
  }

  /** A ceiling is one of samples in either mode (definitions.md, 4); all else is read as asked. */
  @Test
  void levelsAreInTheUnitOfTheModeThatTheyAreReadIn() throws Exception {
    String ceilings = "(clip|ceiling) at -?[0-9.]+ dBFS|the samples reach -?[0-9.]+ dBFS";
    for (String mode : List.of("--no-true-peak", "--true-peak")) {
      String unit = mode.equals("--true-peak") ? "dBTP" : "dBFS";
      String other = mode.equals("--true-peak") ? "dBFS" : "dBTP";
      Document page = page(mode, "--goal", "-8", "--ceiling", "-1" + unit, "--top", "1");
      String text = page.getDocumentElement().getTextContent().replaceAll(ceilings, "");
      // The one true peak that is measured in either mode.
      text = text.replaceFirst("true peak-?[0-9.]+ dBTP", "");
      assertFalse(text.contains(other), text);
      assertTrue(text.split(unit, -1).length > 8, text);
    }
    String fixed = folder.resolve("fixed").toString();
    for (String command : List.of("list", "plan", "stems", "render --plan --to " + fixed)) {
      List<String> args = new ArrayList<>(List.of(command.split(" ", -1)));
      args.addAll(List.of(stems.toString(), "--true-peak", "--line", "-4"));
      Outcome outcome = TestConsole.run(args.toArray(String[]::new));
      assertEquals(0, outcome.status(), outcome.err());
      assertFalse(outcome.out().replaceAll(ceilings, "").contains("dBFS"), outcome.out());
      assertTrue(outcome.out().contains("dBTP"), outcome.out());
    }
  }

  /** A goal may draw the line below the average peak: then the storeys change places. */
  @Test
  void aLineBelowTheAveragePeakIsDrawnBelowIt() throws Exception {
    Document page = page("--line", "-22");
    List<String> heights =
        all(page, "span").stream()
            .filter(span -> span.getAttribute("class").equals("side"))
            .map(span -> span.getTextContent() + " " + span.getAttribute("style"))
            .toList();
    assertEquals(3, heights.size(), heights.toString());
    assertTrue(heights.get(1).matches("-22.0 line top:60.61%"), heights.toString());
    assertTrue(heights.get(2).matches("-8.2 average top:30.30%"), heights.toString());
    assertTrue(
        page.getDocumentElement().getTextContent().contains("below the line, from there"),
        heights.toString());
  }

  @Test
  void aReferenceAndAnEarlierExportAreShown() throws Exception {
    Path old = Files.createDirectories(folder.resolve("old"));
    wave(old.resolve(HOSTILE + ".wav"), 0.6);
    wave(old.resolve(HEBREW + ".wav"), 0.5);
    Document page =
        page("--since", old.toString(), "--reference", stems.resolve(HEBREW + ".wav").toString());
    Set<String> ids = new HashSet<>();
    all(page, "section").forEach(section -> ids.add(section.getAttribute("id")));
    assertTrue(ids.containsAll(Set.of("since", "bands", "map", "near")), ids.toString());
    assertFalse(ids.contains("fixes"));
    Outcome list = TestConsole.run("list", stems.toString(), "--json", "--since", old.toString());
    long gone =
        new ObjectMapper()
            .readTree(list.out()).get("since").get("moments").findValuesAsText("state").stream()
                .filter("gone"::equals)
                .count();
    assertEquals(List.of((double) gone), figures(page, "gone"));
  }

  @ParameterizedTest
  @CsvSource({
    "'--to there.html', is already there; name another",
    "'--to no/report.html', its folder does not exist",
    "'--to new.html --top -1', --top must be 0 to 50: --top -1",
    "'--to new.html --tempo estimate', finds no steady beat",
    "'--to new.html --reference no.wav', no.wav",
  })
  void whatCannotBeIsSaidInOneLineAndLeavesNothing(String options, String words)
      throws IOException {
    Files.writeString(folder.resolve("there.html"), "mine");
    List<String> args = new ArrayList<>();
    for (String word : options.split(" ", -1)) {
      args.add(word.contains(".") ? folder.resolve(word).toString() : word);
    }
    Outcome outcome = report(args.toArray(String[]::new));
    assertTrue(outcome.status() > 0);
    assertTrue(outcome.errLine().contains(words), outcome.err());
    assertEquals("mine", Files.readString(folder.resolve("there.html")));
    assertFalse(Files.exists(folder.resolve("new.html")));
  }

  @Test
  void aStemIsNeverWrittenOver() throws IOException {
    Path stem = stems.resolve(HEBREW + ".wav");
    byte[] before = Files.readAllBytes(stem);
    Outcome outcome = report("--to", stem.toString(), "--force");
    assertEquals(1, outcome.status());
    assertTrue(outcome.errLine().contains("lies in the stems' folder"), outcome.err());
    assertEquals(-1, Arrays.mismatch(before, Files.readAllBytes(stem)));
  }
}
