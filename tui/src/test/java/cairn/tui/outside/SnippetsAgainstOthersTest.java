package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.Demo;
import cairn.tui.command.TestConsole;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Others find the snippets as loud, as long and as high as the index says. */
class SnippetsAgainstOthersTest {

  @TempDir Path folder;

  @Test
  void nothingIsAboveTheLevelAndPeaksAreThoseOfTheIndex() throws Exception {
    String ffmpeg = OutsideTool.program("ffmpeg");
    String sox = OutsideTool.program("sox");
    Path listen = folder.resolve("listen");
    TestConsole.Outcome outcome =
        TestConsole.run(
            "snippets",
            Demo.folder().toString(),
            "--plan",
            "--headroom",
            "1.5",
            "--to",
            listen.toString());
    assertEquals(0, outcome.status(), outcome.err());
    List<String> rows = Files.readAllLines(listen.resolve("index.csv"));
    assertTrue(rows.size() > 1, rows.toString());
    double loudest = Double.NEGATIVE_INFINITY;
    for (String row : rows.subList(1, rows.size())) {
      String[] fields = row.split(",", -1);
      double gainDb = Double.parseDouble(fields[12]);
      for (int which = 0; which < 2; which++) {
        String file = listen.resolve(fields[6 + which]).toString();
        String stats = OutsideTool.run(folder, List.of(sox, file, "-n", "stats")).text();
        // Within what sox prints and the index rounds to.
        assertEquals(
            Double.parseDouble(fields[10 + which]) + gainDb,
            number("Pk lev dB +(\\S+)", stats),
            0.02,
            row);
        assertEquals(3.0, number("Length s +(\\S+)", stats), 0.001);
        String meter =
            OutsideTool.run(
                    folder,
                    List.of(ffmpeg, "-nostdin", "-i", file, "-af", "ebur128", "-f", "null", "-"))
                .text();
        Matcher momentary = Pattern.compile(" M: *(-?[0-9.]+)").matcher(meter);
        while (momentary.find()) {
          loudest = Math.max(loudest, Double.parseDouble(momentary.group(1)));
        }
      }
    }
    // ffmpeg reads every 100 ms, the gain was found every 10 ms: it may see up to 0.5 LU less.
    assertTrue(loudest <= -19.95 && loudest > -20.6, "loudest " + loudest);
  }

  private static double number(String pattern, String text) {
    Matcher found = Pattern.compile(pattern).matcher(text);
    assertTrue(found.find(), text);
    return Double.parseDouble(found.group(1));
  }
}
