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
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A loudness goal on the command line: what it asks, and where it cannot be met. */
class GoalTest {

  private static final int RATE = 48_000;

  @TempDir Path stems;

  /**
   * A mono stem: a tone of 1 kHz at {@code peak}, with one sample of {@code spike} in the middle.
   */
  private void tone(String name, double seconds, double peak, double spike) throws IOException {
    double[] x = new double[(int) (seconds * RATE)];
    for (int n = 0; n < x.length; n++) {
      x[n] = peak * Math.sin(2 * Math.PI * n / 48);
    }
    if (spike > 0) {
      x[x.length / 2] = spike;
    }
    write(name, x);
  }

  private void write(String name, double[] x) throws IOException {
    try (OutputStream out = Files.newOutputStream(stems.resolve(name));
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, RATE, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
  }

  private Outcome run(String command, String... more) {
    List<String> args = new ArrayList<>(List.of(command, stems.toString()));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  private JsonNode json(String command, String... more) throws IOException {
    List<String> args = new ArrayList<>(List.of(more));
    args.add("--json");
    Outcome outcome = run(command, args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    return new ObjectMapper().readTree(outcome.out());
  }

  @Test
  void theGoalLineIsCeilingPlusAllowanceMinusTheNeededGain() throws IOException {
    // 1 kHz at peak d dBFS in both channels reads d + 0.007 LUFS (ITU-R BS.1770-5, Annex 1: the
    // weighting's gain at 1 kHz less 0.691), here -20; the spike's block adds a little.
    tone("siren.wav", 10, 0.1, 0.8);
    JsonNode list = json("list", "--goal", "-8", "--ceiling", "-1", "--limiter", "3");
    JsonNode goal = list.get("goal");
    double measured = list.at("/bus/loudPartLufs").asDouble();
    assertEquals(-19.993, measured, 0.05);
    assertEquals(-8, goal.get("targetLufs").asDouble());
    assertEquals(-8 - measured, goal.get("neededGainDb").asDouble(), 1e-4);
    assertEquals(-1 + 3 - (-8 - measured), goal.get("goalLineDb").asDouble(), 1e-4);
    assertEquals(goal.get("goalLineDb"), list.at("/bus/lineDb"));
    double peakDb = list.at("/bus/peakDb").asDouble();
    assertEquals(peakDb + 8 + 11.993 - 8 + 1, goal.get("limiterDb").asDouble(), 0.05);
    JsonNode moment = list.at("/moments/0");
    assertEquals(goal.get("limiterDb"), moment.get("limiterDb"));
    assertEquals(list.at("/bus/crestDb").asDouble(), peakDb + 23.01, 0.05, "crest of the sine");
    assertEquals(list.at("/session/stems/0/integratedLufs"), list.at("/bus/integratedLufs"));
    Outcome table = run("list", "--goal", "-8");
    assertTrue(table.out().contains("dBFS, the goal line"), table.out());
    assertTrue(table.out().contains("limiter at -1.0 dBFS"), table.out());
    assertTrue(
        run("list", "--goal", "-8", "--csv")
            .out()
            .startsWith("rank,kind,frame,seconds,channel,levelDb,excessDb,limiterDb,"));
  }

  @Test
  void aLineGivenBesideTheGoalIsTheLine() throws IOException {
    tone("siren.wav", 10, 0.1, 0.8);
    JsonNode list = json("list", "--goal", "-18", "--line", "-6");
    assertEquals(-6, list.at("/bus/lineDb").asDouble());
    // -0.8 dB over the goal line at a needed gain of 2: within what the limiter may take.
    assertTrue(list.at("/goal/limiterDb").asDouble() < 3, list.get("goal").toString());
    Outcome table = run("list", "--goal", "-18", "--line", "-6");
    assertTrue(table.out().contains(", leave it"), table.out());
    assertTrue(table.out().contains("dBFS, as given"), table.out());
    JsonNode above = json("list", "--goal", "-18", "--limiter", "0.5", "--line", "-6");
    assertTrue(above.at("/goal/limiterDb").asDouble() > 0.5, above.get("goal").toString());
    assertFalse(
        run("list", "--goal", "-18", "--limiter", "0.5", "--line", "-6").out().contains("leave"));
  }

  @Test
  void aPlanAimsAtTheGoalAndSaysWhatTheLimiterStillTakes() throws IOException {
    tone("siren.wav", 10, 0.05, 0);
    tone("knock.wav", 10, 0, 0.7);
    JsonNode plan = json("plan", "--goal", "-18");
    JsonNode goal = plan.get("goal");
    assertEquals(goal.get("goalLineDb"), plan.get("lineDb"));
    assertEquals(
        goal.get("limiterDb").asDouble() - plan.get("wonDb").asDouble(),
        goal.get("limiterAfterDb").asDouble(),
        1.1e-4);
    assertTrue(goal.get("limiterAfterDb").asDouble() <= 3 + 1e-4, goal.toString());
    Outcome table = run("plan", "--goal", "-18");
    // Below the list stands what the plan would leave.
    String after =
        String.format(
            java.util.Locale.ROOT,
            "bus peak %.2f dBFS, %.2f dB for the limiter (cairn plan)",
            plan.get("peakAfterDb").asDouble(),
            Math.max(0, goal.get("limiterAfterDb").asDouble()));
    String list = run("list", "--goal", "-18").out();
    assertTrue(list.contains("after the plan: ") && list.contains(after), list);
    assertFalse(run("list", "--goal", "-18", "--no-plan").out().contains("after the plan"));
    assertFalse(run("list", "--goal", "-18", "--line", "-30").out().contains("after the plan"));
    assertTrue(table.out().contains("dB to take at the peak, may take 3.0; "), table.out());
    assertTrue(table.out().contains(" dB after"), table.out());
  }

  @Test
  void aPlanSaysWhereTheLimiterMayTakeIt() throws IOException {
    tone("siren.wav", 10, 0.1, 0);
    tone("knock.wav", 10, 0, 0.9);
    double limiterDb =
        json("list", "--goal", "-18", "--line", "-6").at("/moments/0/limiterDb").asDouble();
    assertTrue(limiterDb > 0.5 && limiterDb < 3, "limiter " + limiterDb);
    String leave =
        String.format(
            java.util.Locale.ROOT,
            "; or leave it: the limiter would take %.1f dB, you allow 3.0",
            limiterDb);
    String why = json("plan", "--goal", "-18", "--line", "-6").at("/marks/0/why").asText();
    assertTrue(why.contains(leave), why);
    why =
        json("plan", "--goal", "-18", "--line", "-6", "--limiter", "0.5")
            .at("/marks/0/why")
            .asText();
    assertTrue(why.contains("clear") && !why.contains("leave it"), why);
  }

  @Test
  void aGoalThatNeedsNoGainIsSaidPlainly() throws IOException {
    tone("siren.wav", 10, 0.5, 0.9);
    Outcome outcome = run("list", "--goal", "-14");
    assertEquals(0, outcome.status(), outcome.err());
    assertEquals(
        "warning: --goal -14.0 LUFS is less than there is, -6.0 LUFS: it needs no gain, but 8.0 dB"
            + " less; name a louder goal, or leave it out",
        outcome.err().strip());
    assertTrue(outcome.out().contains("dB less than now"), outcome.out());
  }

  @Test
  void whatIsTooShortForALoudnessIsRefused() throws IOException {
    tone("siren.wav", 0.39, 0.5, 0.9);
    Outcome outcome = run("list", "--goal", "-14");
    assertEquals(1, outcome.status());
    assertEquals(
        "stopped: --goal needs a loudness, and what there is from 0:00.000 to 0:00.390 is shorter"
            + " than 400 ms, the shortest that has one; name a longer section, or leave out --goal",
        outcome.errLine());
    JsonNode list = json("list");
    assertTrue(list.at("/bus/integratedLufs").isNull());
    assertTrue(list.at("/bus/loudnessRangeLu").isNull());
    String table = run("list", "--loudness").out();
    assertTrue(table.contains("loudness      not measurable: shorter than 400 ms"), table);
    assertTrue(table.contains("true peak "), table);
  }

  @Test
  void whatIsBelowTheGateIsRefused() throws IOException {
    // One sample of -60 dBFS in ten seconds is no silence for peaks, but for loudness.
    tone("tick.wav", 10, 0, 0.001);
    Outcome outcome = run("plan", "--goal", "-14");
    assertEquals(1, outcome.status());
    assertTrue(
        outcome
            .errLine()
            .startsWith(
                "stopped: --goal needs a loudness, and nothing from 0:00.000 to 0:10.000 is above"
                    + " the gate of -70 LUFS; look at"),
        outcome.err());
  }

  @Test
  void aRateThatTheWeightingDoesNotCoverHasNoLoudness() throws IOException {
    double[] x = new double[7_000];
    x[3_000] = 0.5;
    try (OutputStream out = Files.newOutputStream(stems.resolve("tick.wav"));
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, 7_000, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
    Outcome outcome = run("list", "--goal", "-14");
    assertEquals(1, outcome.status());
    assertTrue(
        outcome.errLine().contains("measured at 8 to 384 kHz, and the stems have 7000 Hz"),
        outcome.err());
    assertFalse(json("list").get("bus").has("integratedLufs"));
  }

  @Test
  void theGoalCanBeForTheWholeSongOrASection() throws IOException {
    // 40 s: the loud part is the second half and 10 s more at most.
    tone("a.wav", 40, 0.02, 0);
    double[] x = new double[40 * RATE];
    for (int n = 30 * RATE; n < x.length; n++) {
      x[n] = 0.1 * Math.sin(2 * Math.PI * n / 48);
    }
    try (OutputStream out = Files.newOutputStream(stems.resolve("b.wav"));
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, RATE, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
    double loud = json("list", "--goal", "-8").at("/goal/neededGainDb").asDouble();
    JsonNode song = json("list", "--goal", "-8", "--goal-part", "song");
    double all = song.at("/goal/neededGainDb").asDouble();
    double quiet =
        json("list", "--goal", "-8", "--section", "0-20").at("/goal/neededGainDb").asDouble();
    // 20·log10(0.02) = -33.98 dBFS, 20·log10(0.12) = -18.42 dBFS; gated, the quiet part falls out.
    assertEquals(-8 + 33.98 - 0.007, quiet, 0.02);
    assertEquals(-8 + 18.42, loud, 0.1);
    assertEquals(-8 - song.at("/bus/integratedLufs").asDouble(), all, 1e-4);
  }

  /**
   * Peaks between samples: a quarter of the rate at 45 degrees stands 3.01 dB above its samples.
   */
  @Test
  void fixesAndPlansAreWorkedOutInTruePeaksIfAsked() throws IOException {
    double[] x = new double[10 * RATE];
    for (int n = 0; n < x.length; n++) {
      x[n] = (n % 16_000 < 200 ? 0.4 : 0.02) * Math.sin(Math.PI / 2 * n + Math.PI / 4);
    }
    write("surdo.wav", x);
    write("caixa.wav", x);
    JsonNode list = json("list", "--true-peak", "--fixes", "--margin", "-1");
    JsonNode plan = json("plan", "--true-peak", "--margin", "-1");
    JsonNode inSamples = json("plan", "--margin", "-1");
    assertEquals("true-peak", plan.get("mode").asText());
    assertEquals(list.at("/bus/peakDb"), plan.get("peakBeforeDb"));
    // The filter reads a quarter of the rate by 0.2 dB off, and the edges ring.
    double between = plan.get("peakBeforeDb").asDouble() - inSamples.get("peakBeforeDb").asDouble();
    assertEquals(3.01, between, 0.5);
    // Half of it is turned down by g dB.
    JsonNode trim = list.at("/moments/0/fixes/0/trim");
    double left = (1 + Math.pow(10, -trim.get("db").asDouble() / 20)) / 2;
    assertEquals(
        list.at("/moments/0/levelDb").asDouble() + 20 * Math.log10(left),
        trim.get("leftDb").asDouble(),
        1e-3);
    String table = run("plan", "--true-peak", "--margin", "-1").out();
    assertTrue(table.contains(" dBTP after: "), table);
  }

  @Test
  void theBandWhereALeadingStemSitsIsTold() throws IOException {
    tone("siren.wav", 2, 0.4, 0.9);
    JsonNode moment = json("list", "--bands").at("/moments/0");
    JsonNode siren = moment.at("/contributions/0");
    // 1 kHz, 0.4 in both channels: 10·log10(0.4²/2) = -10.97 dB; a lone sample adds little.
    assertEquals(1000, siren.get("strongestHz").asDouble());
    assertEquals(30, siren.get("bands").size());
    JsonNode band = siren.at("/bands/16");
    assertEquals(1000, band.get("nominalHz").asDouble());
    assertEquals(-10.97, band.get("db").asDouble(), 0.15);
    String table = run("list", "--bands").out();
    assertTrue(table.contains("siren 100 at 1 kHz"), table);
    assertTrue(json("list").at("/moments/0/contributions/0/bands").isMissingNode());
  }

  @Test
  void aCeilingIsOfTheKindThatLevelsAreUnlessItSaysSo() throws IOException {
    tone("siren.wav", 10, 0.1, 0.8);
    assertEquals("dBFS", json("list", "--goal", "-8").at("/goal/ceilingUnit").asText());
    JsonNode truePeak = json("list", "--goal", "-8", "--true-peak");
    assertEquals("dBTP", truePeak.at("/goal/ceilingUnit").asText());
    assertEquals("true-peak", truePeak.at("/session/mode").asText());
    assertEquals(truePeak.at("/bus/peakDb"), truePeak.at("/bus/truePeakDb"));
    double instant = truePeak.at("/moments/0/instant").asDouble();
    // A lone sample is the largest of its five instants: no phase brings out more of it.
    assertEquals(0, instant);
    String mixed = run("list", "--goal", "-8", "--ceiling", "-1dBTP").out();
    assertTrue(mixed.contains("read from samples, true peaks may ask more"), mixed);
    String matched = run("list", "--goal", "-8", "--ceiling", "-1 dBTP", "--true-peak").out();
    assertFalse(matched.contains("read from"), matched);
    assertTrue(matched.contains("dBTP, the goal line"), matched);
  }
}
