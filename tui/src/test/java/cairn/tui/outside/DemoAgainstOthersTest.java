package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.demo.PlantedMoment;
import cairn.io.sound.SoundFile;
import cairn.io.stems.StemProbe;
import cairn.tui.Demo;
import cairn.tui.command.TestConsole;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The demo song: what was planted, what other programs say of its sum, and what the reference says.
 */
class DemoAgainstOthersTest {

  private static final Path PYTHON = Path.of("src", "test", "python").toAbsolutePath();

  private static String list(String... more) throws IOException {
    List<String> args = new ArrayList<>(List.of("list", Demo.folder().toString(), "--json"));
    args.addAll(List.of(more));
    TestConsole.Outcome outcome = TestConsole.run(args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    return outcome.out();
  }

  @Test
  void everyPlantedMomentIsListedWithItsStems() throws IOException {
    JsonNode listed = new ObjectMapper().readTree(list());
    Map<Long, JsonNode> byFrame = new HashMap<>();
    listed.get("moments").forEach(m -> byFrame.put(m.get("frame").asLong(), m));
    List<PlantedMoment> planted = Demo.song().planted();
    assertTrue(planted.size() >= 24, "planted: " + planted.size());
    for (PlantedMoment truth : planted) {
      JsonNode moment = byFrame.get((long) truth.frame());
      assertTrue(moment != null, "missed: " + truth);
      assertEquals(truth.channel(), moment.get("channel").asInt(), truth.toString());
      List<String> makingUp = new ArrayList<>();
      for (int i = 0; i < moment.get("depth").asInt(); i++) {
        makingUp.add(moment.get("contributions").get(i).get("stem").asText());
      }
      assertEquals(truth.stems(), makingUp, truth.toString());
    }
  }

  @Test
  void framesAreTheSameInJsonAndCsv() throws IOException {
    JsonNode listed = new ObjectMapper().readTree(list());
    String csv = TestConsole.run("list", Demo.folder().toString(), "--csv").out();
    List<String> rows = csv.lines().skip(1).toList();
    assertEquals(listed.get("moments").size(), rows.size());
    for (int i = 0; i < rows.size(); i++) {
      String[] fields = rows.get(i).split(",", 4);
      assertEquals(listed.get("moments").get(i).get("frame").asText(), fields[2]);
    }
  }

  /** ffmpeg's amix adds in single precision: 16 stems near full scale, so 1e-5 is ample. */
  @Test
  void theBusPeakIsThatOfFfmpegsMix() throws IOException, InterruptedException {
    String ffmpeg = OutsideTool.program("ffmpeg");
    Path mix = Files.createTempFile("cairn-mix", ".f32");
    List<String> command = new ArrayList<>(List.of(ffmpeg, "-v", "error", "-y"));
    List<Path> stems = stems();
    for (Path stem : stems) {
      command.addAll(List.of("-i", stem.toString()));
    }
    // A mono input goes into both channels at full level, as definitions.md, 1 has it.
    StringBuilder graph = new StringBuilder();
    for (int k = 0; k < stems.size(); k++) {
      graph.append('[').append(k).append("]aformat=sample_fmts=flt,pan=stereo|c0=c0|c1=");
      graph.append(channels(stems.get(k)) == 1 ? "c0" : "c1").append("[s").append(k).append("];");
    }
    for (int k = 0; k < stems.size(); k++) {
      graph.append("[s").append(k).append(']');
    }
    graph.append("amix=inputs=").append(stems.size()).append(":normalize=0:duration=longest");
    command.addAll(List.of("-filter_complex", graph.toString(), "-f", "f32le", mix.toString()));
    try {
      OutsideTool.Outcome outcome = OutsideTool.run(Demo.folder(), command);
      assertEquals(0, outcome.status(), outcome.text());
      ByteBuffer bytes = ByteBuffer.wrap(Files.readAllBytes(mix)).order(ByteOrder.LITTLE_ENDIAN);
      double peak = 0;
      long frame = -1;
      for (int i = 0; bytes.remaining() >= 4; i++) {
        double level = Math.abs(bytes.getFloat());
        if (level > peak) {
          peak = level;
          frame = i / 2;
        }
      }
      JsonNode bus = new ObjectMapper().readTree(list()).get("bus");
      assertEquals(frame, bus.get("peakFrame").asLong());
      assertEquals(20 * Math.log10(peak), bus.get("peakDb").asDouble(), 0.001);
    } finally {
      Files.delete(mix);
    }
  }

  /** sox -m adds in 32-bit integers; stat prints six decimals of the amplitude. */
  @Test
  void theBusPeakIsThatOfSoxsMix() throws IOException, InterruptedException {
    String sox = OutsideTool.program("sox");
    List<String> command = new ArrayList<>(List.of(sox, "-m"));
    for (Path stem : stems()) {
      // Mono inputs of a mix are doubled to both channels by "remix".
      command.addAll(
          channels(stem) == 1
              ? List.of("-v", "1", "|sox '" + stem + "' -p remix 1 1")
              : List.of("-v", "1", stem.toString()));
    }
    command.addAll(List.of("-n", "stat"));
    OutsideTool.Outcome outcome = OutsideTool.run(Demo.folder(), command);
    assertEquals(0, outcome.status(), outcome.text());
    double peak = 0;
    for (String line : outcome.text().lines().toList()) {
      if (line.startsWith("Maximum amplitude") || line.startsWith("Minimum amplitude")) {
        peak = Math.max(peak, Math.abs(Double.parseDouble(line.replaceAll(".*: *", ""))));
      }
    }
    JsonNode bus = new ObjectMapper().readTree(list()).get("bus");
    assertEquals(peak, Math.pow(10, bus.get("peakDb").asDouble() / 20), 2e-5);
  }

  @Test
  void theReferenceFindsTheSameList(@TempDir Path temp) throws IOException, InterruptedException {
    Path json = Files.writeString(temp.resolve("list.json"), list("--fixes"));
    check(
        "check_list.py",
        List.of("--json", json.toString(), "--fixes", "2", "--stems", Demo.folder().toString()));
  }

  @Test
  void thePlanHoldsWhenTheReferenceCarriesItOut(@TempDir Path temp)
      throws IOException, InterruptedException {
    TestConsole.Outcome plan = TestConsole.run("plan", Demo.folder().toString(), "--json");
    assertEquals(0, plan.status(), plan.err());
    Path json = Files.writeString(temp.resolve("plan.json"), plan.out());
    Path listed = Files.writeString(temp.resolve("list.json"), list());
    check(
        "check_plan.py",
        List.of(
            "--plan",
            json.toString(),
            "--list",
            listed.toString(),
            "--stems",
            Demo.folder().toString()));
  }

  @Test
  void atTwoDecibelsOverTheAverageThePlanWinsItsWholeLine() throws IOException {
    JsonNode plan =
        new ObjectMapper()
            .readTree(
                TestConsole.run("plan", Demo.folder().toString(), "--margin", "2", "--json").out());
    assertEquals(0, plan.get("left").asInt());
    assertEquals(0, plan.get("partlyCleared").asInt());
    assertTrue(plan.get("peakAfterDb").asDouble() <= plan.get("lineDb").asDouble() + 1e-9);
  }

  @Test
  void twoDecibelsAreWonWithNudgesAndTrims() throws IOException {
    JsonNode plan =
        new ObjectMapper()
            .readTree(
                TestConsole.run(
                        "plan",
                        Demo.folder().toString(),
                        "--headroom",
                        "2",
                        "--allow",
                        "nudge,trim",
                        "--json")
                    .out());
    assertTrue(plan.get("wonDb").asDouble() >= 2, plan.toString());
    for (JsonNode mark : plan.get("marks")) {
      assertTrue(Math.abs(mark.path("frames").asInt()) <= 144, mark.toString());
      assertTrue(mark.path("db").asDouble() <= 3.0, mark.toString());
    }
  }

  private static void check(String script, List<String> args)
      throws IOException, InterruptedException {
    String python = OutsideTool.python();
    OutsideTool.program("ffmpeg");
    List<String> command = new ArrayList<>(List.of(python, PYTHON.resolve(script).toString()));
    command.addAll(args);
    OutsideTool.Outcome outcome = OutsideTool.run(PYTHON, command);
    assertEquals(0, outcome.status(), outcome.text());
    assertTrue(outcome.text().contains("same:"), outcome.text());
  }

  private static int channels(Path stem) throws IOException {
    try (SoundFile file = StemProbe.open(stem)) {
      return file.format().channels();
    }
  }

  private static List<Path> stems() throws IOException {
    try (Stream<Path> files = Files.walk(Demo.folder())) {
      return files
          .filter(file -> file.toString().matches(".*\\.(wav|aiff|flac)"))
          .sorted()
          .toList();
    }
  }
}
