package cairn.tui.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The demo song: what was planted, what other programs say of its sum, and what the reference says.
 */
class DemoAgainstOthersTest {

  /**
   * Half of the fourth decimal, the last that a listing prints. The mixes add nothing to it: sums
   * of 24-bit samples that stay below full scale are exact in 32-bit integers and in 32-bit floats,
   * whose significand has 24 bits (IEEE 754-2019, table 3.5).
   */
  private static final double PRINTED_DB = 0.5e-4 + 1e-9;

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
    JsonNode moments = new ObjectMapper().readTree(list()).get("moments");
    TestConsole.Outcome csv = TestConsole.run("list", Demo.folder().toString(), "--csv");
    assertEquals(0, csv.status(), csv.err());
    List<String> lines = csv.out().lines().toList();
    assertTrue(lines.get(0).startsWith("rank,kind,frame,"), lines.get(0));
    assertEquals(moments.size(), lines.size() - 1);
    for (int i = 0; i < moments.size(); i++) {
      String[] fields = lines.get(i + 1).split(",", 4);
      assertEquals(moments.get(i).get("rank").asText(), fields[0]);
      assertEquals(moments.get(i).get("frame").asText(), fields[2]);
    }
  }

  /**
   * ffmpeg's amix writes its sum as raw 32-bit floats, left and right in turn; astats, behind it in
   * the same graph, prints {@code Peak level dB: } of both channels with six decimals.
   */
  @Test
  void theBusPeakIsThatOfFfmpegsMix(@TempDir Path temp) throws IOException, InterruptedException {
    Path mix = temp.resolve("mix.f32");
    OutsideTool.Outcome outcome =
        ffmpegMix("astats=measure_perchannel=none:measure_overall=Peak_level", mix);
    assertBusPeakIsThatOf(mix);
    Matcher printed = Pattern.compile("Peak level dB: (-?[0-9.]+)").matcher(outcome.text());
    assertTrue(printed.find(), outcome.text());
    assertEquals(Double.parseDouble(printed.group(1)), busPeakDb(), PRINTED_DB + 0.5e-6);
  }

  /**
   * The stems summed by ffmpeg.
   *
   * @param measure filter behind the sum
   * @param mix raw 32-bit floats, left and right in turn
   */
  private static OutsideTool.Outcome ffmpegMix(String measure, Path mix)
      throws IOException, InterruptedException {
    String ffmpeg = OutsideTool.program("ffmpeg");
    List<String> command = new ArrayList<>(List.of(ffmpeg, "-hide_banner", "-nostats", "-y"));
    List<Path> stems = stems();
    StringBuilder graph = new StringBuilder();
    StringBuilder inputs = new StringBuilder();
    for (int k = 0; k < stems.size(); k++) {
      command.addAll(List.of("-i", stems.get(k).toString()));
      // A mono stem goes into both channels at full level: definitions.md, 1.
      String right = channels(stems.get(k)) == 1 ? "c0" : "c1";
      graph.append(
          String.format("[%d]aformat=sample_fmts=flt,pan=stereo|c0=c0|c1=%s[s%d];", k, right, k));
      inputs.append("[s").append(k).append(']');
    }
    graph.append(inputs).append("amix=normalize=0:duration=longest:inputs=").append(stems.size());
    graph.append(',').append(measure);
    command.addAll(List.of("-filter_complex", graph.toString(), "-f", "f32le", mix.toString()));
    OutsideTool.Outcome outcome = OutsideTool.run(Demo.folder(), command);
    assertEquals(0, outcome.status(), outcome.text());
    return outcome;
  }

  /**
   * ffmpeg's ebur128 hands on what it reads every 100 ms as metadata with three decimals; our
   * figures must be within 0.1 LU and 0.1 dB, the tolerance of EBU Tech 3341 V4.
   */
  @Test
  void loudnessIsThatOfFfmpegsMeter(@TempDir Path temp) throws IOException, InterruptedException {
    Path read = temp.resolve("read.txt");
    ffmpegMix(
        "ebur128=peak=true:metadata=1,ametadata=mode=print:file=" + read, temp.resolve("mix.f32"));
    String text = Files.readString(read);
    JsonNode bus = new ObjectMapper().readTree(list("--loudness")).get("bus");
    assertEquals(last(text, "I"), bus.get("integratedLufs").asDouble(), 0.1);
    assertEquals(last(text, "LRA"), bus.get("loudnessRangeLu").asDouble(), 0.1);
    assertEquals(largest(text, "S"), bus.get("maxShortTermLufs").asDouble(), 0.1);
    // It reads M every 100 ms and we do every 10 ms: never under it, and at most 0.5 over it on
    // short bursts (measured on cases 13 of EBU Tech 3341).
    double momentary = bus.get("maxMomentaryLufs").asDouble() - largest(text, "M");
    assertTrue(momentary > -0.01 && momentary < 0.5, "" + momentary);
    double truePeak = Math.max(largest(text, "true_peaks_ch0"), largest(text, "true_peaks_ch1"));
    assertEquals(20 * Math.log10(truePeak), bus.get("truePeakDb").asDouble(), 0.1);
  }

  /** The loud part alone, cut out by ffmpeg, as its loudnorm reads it: libebur128's meter. */
  @Test
  void loudnessOfTheLoudPartIsThatOfAnotherMeter(@TempDir Path temp)
      throws IOException, InterruptedException {
    JsonNode listed = new ObjectMapper().readTree(list());
    JsonNode loud = listed.at("/session/loudPart");
    OutsideTool.Outcome outcome =
        ffmpegMix(
            "atrim=start_sample="
                + loud.get(0).asLong()
                + ":end_sample="
                + loud.get(1).asLong()
                + ",loudnorm=print_format=json",
            temp.resolve("mix.f32"));
    Matcher printed = Pattern.compile("\"input_i\" : \"(-?[0-9.]+)\"").matcher(outcome.text());
    assertTrue(printed.find(), outcome.text());
    // Printed with two decimals; it meters at 192 kHz.
    assertEquals(
        Double.parseDouble(printed.group(1)), listed.at("/bus/loudPartLufs").asDouble(), 0.1);
  }

  private static List<Double> all(String text, String name) {
    return Pattern.compile("lavfi\\.r128\\." + name + "=(-?[0-9.]+)")
        .matcher(text)
        .results()
        .map(found -> Double.parseDouble(found.group(1)))
        .toList();
  }

  private static double last(String text, String name) {
    List<Double> all = all(text, name);
    assertTrue(all.size() > 100, name + ": " + all.size());
    return all.get(all.size() - 1);
  }

  private static double largest(String text, String name) {
    last(text, name);
    return all(text, name).stream().mapToDouble(Double::doubleValue).max().orElseThrow();
  }

  /** sox -m adds in 32-bit integers, and writes its sum here as raw 32-bit floats. */
  @Test
  void theBusPeakIsThatOfSoxsMix(@TempDir Path temp) throws IOException, InterruptedException {
    String sox = OutsideTool.program("sox");
    Path mix = temp.resolve("mix.f32");
    List<String> command = new ArrayList<>(List.of(sox, "-m"));
    for (Path stem : stems()) {
      // Without -v sox divides by the number of inputs; "remix 1 1" puts mono into both channels.
      command.addAll(
          channels(stem) == 1
              ? List.of("-v", "1", "|sox '" + stem + "' -p remix 1 1")
              : List.of("-v", "1", stem.toString()));
    }
    command.addAll(List.of("-t", "f32", "-L", mix.toString()));
    OutsideTool.Outcome outcome = OutsideTool.run(Demo.folder(), command);
    assertEquals(0, outcome.status(), outcome.text());
    assertFalse(outcome.text().contains("clipped"), outcome.text());
    assertBusPeakIsThatOf(mix);
  }

  private static void assertBusPeakIsThatOf(Path stereoFloats) throws IOException {
    ByteBuffer bytes =
        ByteBuffer.wrap(Files.readAllBytes(stereoFloats)).order(ByteOrder.LITTLE_ENDIAN);
    assertEquals(Demo.song().frames() * 8L, bytes.remaining());
    double peak = 0;
    long frame = -1;
    for (int i = 0; bytes.hasRemaining(); i++) {
      double level = Math.abs(bytes.getFloat());
      if (level > peak) {
        peak = level;
        frame = i / 2;
      }
    }
    assertEquals(frame, new ObjectMapper().readTree(list()).at("/bus/peakFrame").asLong());
    assertEquals(20 * Math.log10(peak), busPeakDb(), PRINTED_DB);
  }

  private static double busPeakDb() throws IOException {
    return new ObjectMapper().readTree(list()).at("/bus/peakDb").asDouble();
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
