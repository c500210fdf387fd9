package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.tui.Demo;
import cairn.tui.command.TestConsole;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Others sum the rendered stems to the peak that the plan predicts. */
class RenderAgainstOthersTest {

  /** dB; what the others print their levels to. */
  private static final double PRINTED = 0.01;

  @TempDir Path folder;

  private double render() throws Exception {
    String demo = Demo.folder().toString();
    String fixed = folder.resolve("fixed").toString();
    TestConsole.Outcome outcome = TestConsole.run("render", demo, "--plan", "--to", fixed);
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.out().contains("The second analysis shows what was told"), outcome.out());
    return new ObjectMapper()
        .readTree(TestConsole.run("plan", demo, "--json").out())
        .get("peakAfterDb")
        .doubleValue();
  }

  private List<String> stems() throws Exception {
    try (Stream<Path> all = Files.walk(folder.resolve("fixed"))) {
      List<String> stems = all.filter(Files::isRegularFile).map(Path::toString).sorted().toList();
      assertEquals(16, stems.size());
      return stems;
    }
  }

  @Test
  void soxSumsThemToThePredictedPeak() throws Exception {
    String sox = OutsideTool.program("sox");
    double predictedDb = render();
    List<String> command = new ArrayList<>(List.of(sox, "-m"));
    for (String stem : stems()) {
      // Without -v sox divides by the number of inputs; "remix 1 1" puts mono into both channels.
      command.addAll(
          isMono(stem)
              ? List.of("-v", "1", "|sox '" + stem + "' -p remix 1 1")
              : List.of("-v", "1", stem));
    }
    command.addAll(List.of("-n", "stats"));
    OutsideTool.Outcome outcome = OutsideTool.run(folder, command);
    Matcher peak = Pattern.compile("Pk lev dB +(\\S+)").matcher(outcome.text());
    assertTrue(peak.find(), outcome.text());
    assertEquals(predictedDb, Double.parseDouble(peak.group(1)), PRINTED);
  }

  @Test
  void ffmpegSumsThemToThePredictedPeak() throws Exception {
    String ffmpeg = OutsideTool.program("ffmpeg");
    double predictedDb = render();
    List<String> command = new ArrayList<>(List.of(ffmpeg, "-nostdin", "-v", "info"));
    List<String> stems = stems();
    StringBuilder filter = new StringBuilder();
    for (int k = 0; k < stems.size(); k++) {
      command.addAll(List.of("-i", stems.get(k)));
      // A mono stem goes into both channels as it is.
      filter
          .append("[" + k + ":a]aformat=sample_fmts=dblp,pan=stereo|c0=c0|c1=")
          .append(isMono(stems.get(k)) ? "c0" : "c1")
          .append("[s" + k + "];");
    }
    for (int k = 0; k < stems.size(); k++) {
      filter.append("[s" + k + "]");
    }
    filter.append("amix=inputs=" + stems.size() + ":normalize=0:duration=longest,astats");
    command.addAll(List.of("-filter_complex", filter.toString(), "-f", "null", "-"));
    OutsideTool.Outcome outcome = OutsideTool.run(folder, command);
    Matcher peak =
        Pattern.compile("Overall\\R(?:.*\\R)*?.*Peak level dB: (\\S+)").matcher(outcome.text());
    assertTrue(peak.find(), outcome.text());
    assertEquals(predictedDb, Double.parseDouble(peak.group(1)), PRINTED);
  }

  private static boolean isMono(String stem) throws Exception {
    try (var sound = cairn.io.stems.StemProbe.open(Path.of(stem))) {
      return sound.format().channels() == 1;
    }
  }
}
