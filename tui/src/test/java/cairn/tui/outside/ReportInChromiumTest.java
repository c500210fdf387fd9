package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A browser opens the report as a phone, a screen and at night do, all in one page that holds each
 * in a frame of its width, and measures it. One frame holds a page that is wrong in every way that
 * is looked for, so that a check that sees nothing cannot pass.
 */
class ReportInChromiumTest {

  private static final int PHONE = 390;
  private static final int SCREEN = 1200;
  private static final int HEIGHT = 900;

  private static final int RATE_HZ = 8_000;

  /** One of them is long, to see whether it fits. */
  private static final List<String> STEMS =
      List.of("caixa", "surdo", "the second repinique, as it was played on the last evening");

  private static final String WRONG =
      "<!DOCTYPE html><html><head><title>wrong</title></head><body><div style='width:700px'>w</div>"
          + "<svg viewBox='0 0 1 1' style='width:0;height:0'></svg><br>"
          + "<img src='http://wrong.invalid/a.png'/>"
          + "<script>console.error('wrong')</script></body></html>";

  /**
   * What is measured in each frame: its width and how wide its page is; what stands out to the
   * right, where nothing about it scrolls or cuts it; what it loaded; pictures, and those of no
   * size; whether the dark colours are on; whether it is XML.
   */
  private static final String MEASURE =
      """
      addEventListener("load", () => {
        const found = [];
        for (const frame of document.querySelectorAll("iframe")) {
          const page = frame.contentDocument, root = page.documentElement;
          const box = e => e.getBoundingClientRect();
          const cut = e => e !== null && e !== page.body
            && (getComputedStyle(e).overflowX !== "visible" && box(e).right <= root.clientWidth + 0.5
              || cut(e.parentElement));
          const svg = [...page.querySelectorAll("svg")];
          found.push({
            title: page.title,
            frame: frame.clientWidth, width: root.scrollWidth, height: root.scrollHeight,
            out: [...page.querySelectorAll("body *")].filter(
              e => box(e).right > root.clientWidth + 0.5 && !cut(e.parentElement))
              .map(e => e.tagName + " " + e.textContent.slice(0, 40)),
            loaded: frame.contentWindow.performance.getEntriesByType("resource").map(r => r.name),
            pictures: svg.length,
            flat: svg.filter(e => box(e).width < 20 || box(e).height < 20).length,
            dark: frame.contentWindow.matchMedia("(prefers-color-scheme: dark)").matches,
            paper: getComputedStyle(page.body).backgroundColor,
            xml: new DOMParser().parseFromString(frame.srcdoc, "application/xhtml+xml")
              .querySelector("parsererror") === null,
          });
        }
        const text = document.createElement("pre");
        text.id = "found";
        text.textContent = JSON.stringify(found);
        document.body.append(text);
      });
      """;

  @TempDir Path folder;

  /** Four seconds of tones, with few peaks in common. */
  private static Path stems(Path folder) throws IOException {
    Files.createDirectories(folder);
    for (int k = 0; k < STEMS.size(); k++) {
      double[] x = new double[4 * RATE_HZ];
      for (int n = 0; n < x.length; n++) {
        x[n] = 0.1 * Math.sin(2 * Math.PI * n / (60 + 20 * k));
      }
      for (int i = 1; i < 4; i++) {
        for (int n = 0; n < 40; n++) {
          x[i * RATE_HZ + n] +=
              (0.3 - 0.04 * i) * Math.exp(-n / 8.0) * Math.cos(n * (0.4 + 0.3 * k));
        }
      }
      try (OutputStream out = Files.newOutputStream(folder.resolve(STEMS.get(k) + ".wav"));
          LinearSoundWriter writer =
              WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE_HZ, 1, x.length).writeTo(out)) {
        writer.write(new double[][] {x}, 0, x.length);
      }
    }
    return folder;
  }

  private String page(String name, String... command) throws Exception {
    Path target = folder.resolve(name);
    List<String> args = new ArrayList<>(List.of(command));
    args.addAll(List.of("--to", target.toString()));
    TestConsole.Outcome outcome = TestConsole.run(args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    return Files.readString(target);
  }

  private static String frame(String page, int width, boolean dark) {
    return "<iframe style='width:%dpx;height:%dpx;border:0;color-scheme:%s' srcdoc=\"%s\"></iframe>"
        .formatted(
            width,
            HEIGHT,
            dark ? "dark" : "light",
            page.replace("&", "&amp;").replace("\"", "&quot;"));
  }

  @Test
  void everyPageFitsItsScreenAndNeedsNothingElse() throws Exception {
    String chromium = OutsideTool.program("chromium");
    String stems = stems(folder.resolve("parade")).toString();
    String fixed = folder.resolve("fixed").toString();
    TestConsole.Outcome rendered = TestConsole.run("render", stems, "--plan", "--to", fixed);
    assertEquals(0, rendered.status(), rendered.err());
    String first = page("first.html", "report", stems, "--tempo", "104", "--top", "2");
    String second = page("second.html", "report", fixed, "--since", stems);
    String goal =
        page(
            "goal.html",
            "report",
            stems,
            "--true-peak",
            "--goal",
            "-8",
            "--ceiling",
            "-1dBTP",
            "--top",
            "1",
            "--reference",
            folder.resolve("fixed/surdo.wav").toString());
    String frames =
        frame(first, PHONE, false)
            + frame(first, SCREEN, false)
            + frame(second, PHONE, true)
            + frame(goal, PHONE, true)
            + frame(WRONG, PHONE, false);
    Path all = folder.resolve("all.html");
    Files.writeString(
        all,
        "<!DOCTYPE html><meta charset='utf-8'><style>body{margin:0;width:3000px}"
            + "iframe{vertical-align:top}</style><script>"
            + MEASURE
            + "</script><body>"
            + frames);
    Path picture = folder.resolve("all.png");
    OutsideTool.Outcome outcome =
        OutsideTool.run(
            folder,
            List.of(
                chromium,
                "--headless",
                // The pages are our own; without this it does not start for root.
                "--no-sandbox",
                "--no-zygote",
                "--disable-gpu",
                "--in-process-gpu",
                "--disable-extensions",
                "--hide-scrollbars",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--host-resolver-rules=MAP * ~NOTFOUND",
                "--enable-logging=stderr",
                "--user-data-dir=" + folder.resolve("profile"),
                "--window-size=" + (3 * PHONE + SCREEN) + "," + HEIGHT,
                "--screenshot=" + picture,
                "--dump-dom",
                all.toUri().toString()));
    assertEquals(0, outcome.status(), outcome.text());
    Matcher found = Pattern.compile("<pre id=\"found\">(.*?)</pre>").matcher(outcome.text());
    assertTrue(found.find(), outcome.text().substring(0, Math.min(2_000, outcome.text().length())));
    JsonNode pages =
        new ObjectMapper()
            .readTree(
                found.group(1).replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&"));
    assertEquals(5, pages.size());
    for (int i = 0; i < 4; i++) {
      JsonNode page = pages.get(i);
      String what = page.toString();
      assertTrue(page.get("title").asText().endsWith(": the report"), what);
      assertTrue(page.get("width").asInt() <= page.get("frame").asInt(), what);
      assertEquals(0, page.get("out").size(), what);
      assertEquals(0, page.get("loaded").size(), what);
      assertTrue(page.get("pictures").asInt() >= 1, what);
      assertEquals(0, page.get("flat").asInt(), what);
      assertTrue(page.get("xml").asBoolean(), what);
      assertEquals(i > 1, page.get("dark").asBoolean(), what);
      assertEquals(i > 1 ? "rgb(22, 23, 26)" : "rgb(252, 251, 248)", page.get("paper").asText());
    }
    assertTrue(pages.get(0).get("pictures").asInt() > 8, pages.get(0).toString());
    JsonNode wrong = pages.get(4);
    assertTrue(wrong.get("width").asInt() > PHONE && wrong.get("out").size() > 0, wrong.toString());
    assertEquals("http://wrong.invalid/a.png", wrong.get("loaded").get(0).asText());
    assertEquals(1, wrong.get("flat").asInt());
    assertFalse(wrong.get("xml").asBoolean());
    List<String> said = outcome.text().lines().filter(line -> line.contains(":CONSOLE")).toList();
    assertFalse(said.isEmpty(), "the wrong page's message is not seen");
    assertEquals(List.of(), said.stream().filter(line -> !line.contains("wrong")).toList());
    isDrawn(ImageIO.read(picture.toFile()));
  }

  /** In each frame some of the picture is not paper, in more colours than text alone has. */
  private static void isDrawn(BufferedImage image) {
    int[] edges = {0, PHONE, PHONE + SCREEN, 2 * PHONE + SCREEN, 3 * PHONE + SCREEN};
    for (int i = 0; i < 4; i++) {
      int paper = image.getRGB(edges[i] + 1, 1);
      Set<Integer> colours = new HashSet<>();
      long drawn = 0;
      for (int y = 0; y < HEIGHT; y++) {
        for (int x = edges[i]; x < edges[i + 1]; x++) {
          colours.add(image.getRGB(x, y));
          drawn += image.getRGB(x, y) == paper ? 0 : 1;
        }
      }
      double share = (double) drawn / HEIGHT / (edges[i + 1] - edges[i]);
      assertTrue(share > 0.02 && share < 0.6, i + ": " + share + " drawn on");
      assertTrue(colours.size() > 30, i + ": " + colours.size() + " colours");
    }
  }
}
