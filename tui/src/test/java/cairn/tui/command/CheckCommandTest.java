package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Session;
import cairn.collisions.signal.MixDown;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.wave.WaveLayout;
import cairn.tui.Demo;
import cairn.tui.command.TestConsole.Outcome;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The demo stems, whole and spoilt, and mixes of them. */
class CheckCommandTest {

  private static final int RATE = 48_000;
  private static final LinearCoding PCM_24 = LinearCoding.PCM_24_LITTLE;

  @TempDir static Path temp;

  private static StemSet demo;

  /** The sum of the demo stems: 78 MB, as is each of them on the bus, so they are not kept. */
  private static double[][] sum;

  @BeforeAll
  static void readTheDemo() throws IOException {
    demo = StemFolder.scan(List.of(Demo.folder()), ScanOptions.DEFAULT);
    Session session = demo.toSession();
    int frames = Math.toIntExact(session.frames());
    sum = new double[2][frames];
    try (StemFiles files = demo.open();
        MixDown mixDown = new MixDown(session, files.openReader())) {
      mixDown.sum(0, frames, sum);
    }
  }

  private static int index(String name) {
    for (int k = 0; k < demo.stems().size(); k++) {
      if (demo.stems().get(k).name().equals(name)) {
        return k;
      }
    }
    throw new AssertionError(name);
  }

  @AfterAll
  static void letGo() {
    sum = null;
  }

  /** A demo stem as it stands on the bus. */
  private static double[][] stem(String name) throws IOException {
    double[][] x = new double[2][sum[0].length];
    try (StemFiles files = demo.open();
        MixDown mixDown = new MixDown(demo.toSession(), files.openReader())) {
      mixDown.stemOnBus(index(name), 0, x[0].length, x);
    }
    return x;
  }

  private static double[][] changed(double[][] x, DoubleUnaryOperator change) {
    double[][] y = new double[2][x[0].length];
    for (int c = 0; c < 2; c++) {
      for (int n = 0; n < y[c].length; n++) {
        y[c][n] = change.applyAsDouble(x[c][n]);
      }
    }
    return y;
  }

  private static void write(Path file, WaveLayout layout, double[][] x) throws IOException {
    Files.createDirectories(file.getParent());
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer = layout.writeTo(out)) {
      writer.write(x, 0, (int) layout.frames());
    }
  }

  private static Path wave(Path file, double[][] x) throws IOException {
    write(file, WaveLayout.plain(PCM_24, RATE, 2, x[0].length), x);
    return file;
  }

  private static JsonNode check(Path folder, String... more) throws IOException {
    List<String> args = new ArrayList<>(List.of("check", folder.toString(), "--json"));
    args.addAll(List.of(more));
    Outcome outcome = TestConsole.run(args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    return new ObjectMapper().readTree(outcome.out());
  }

  /** The findings of a kind, joined. */
  private static String of(JsonNode report, String kind) {
    StringBuilder found = new StringBuilder();
    for (JsonNode finding : report.get("findings")) {
      if (finding.get("kind").asText().equals(kind)) {
        found
            .append(finding.get("weight").asText())
            .append(": ")
            .append(finding.get("what").asText())
            .append(" [")
            .append(finding.get("where").asText())
            .append("]\n");
      }
    }
    return found.toString();
  }

  @Test
  void theDemoIsFitForTheHunt() throws IOException {
    JsonNode report = check(Demo.folder());
    assertEquals(0, report.get("matter").asInt(), report.toPrettyString());
    assertEquals(16, report.get("stems").size());
    assertEquals(RATE, report.get("sampleRate").asInt());
    Outcome text = TestConsole.run("check", Demo.folder().toString());
    assertTrue(text.out().contains("nothing that matters was found"), text.out());
    assertTrue(text.out().contains("planted-collisions.csv"), text.out());
  }

  @Test
  void twelvePlantedFaultsAreFoundInASpoiltCopy() throws IOException {
    Path spoilt = Files.createDirectory(temp.resolve("spoilt"));
    List<String> plain = List.of("lead voice", "brass high", "surdo two", "surdo low");
    for (String name : plain) {
      wave(spoilt.resolve(name + ".wav"), stem(name));
    }
    // 1: another rate
    write(spoilt.resolve("choir.wav"), WaveLayout.plain(PCM_24, 44_100, 2, RATE), stem("choir"));
    // 2: 480 samples short, from the start
    double[][] bass = stem("bass");
    double[][] late = {
      Arrays.copyOfRange(bass[0], 480, bass[0].length),
      Arrays.copyOfRange(bass[1], 480, bass[1].length)
    };
    wave(spoilt.resolve("bass.wav"), late);
    // 3: another time reference
    WaveLayout layout = WaveLayout.plain(PCM_24, RATE, 2, sum[0].length);
    write(
        spoilt.resolve("brass low.wav"),
        layout.with(new BroadcastInfo("", 172_800_000)),
        stem("brass low"));
    write(
        spoilt.resolve("repinique.wav"),
        layout.with(new BroadcastInfo("", 172_848_000)),
        stem("repinique"));
    // 4: another bit depth
    write(
        spoilt.resolve("agogo.wav"),
        WaveLayout.plain(LinearCoding.PCM_16_LITTLE, RATE, 2, sum[0].length),
        stem("agogo"));
    // 5: clipped 3 dB under its peak of -10.59 dBFS
    wave(
        spoilt.resolve("caixa.wav"),
        changed(stem("caixa"), v -> Math.max(-0.209, Math.min(0.209, v))));
    // 6: a constant offset of 0.01, -40 dBFS
    wave(spoilt.resolve("claps.wav"), changed(stem("claps"), v -> v + 0.01));
    // 7: silent
    wave(spoilt.resolve("shaker.wav"), new double[2][sum[0].length]);
    // 8: the same audio again, 1 dB softer; 9: upside down
    wave(
        spoilt.resolve("whistle copy.wav"),
        changed(stem("whistle"), v -> v * Math.pow(10, -1 / 20.0)));
    wave(spoilt.resolve("whistle.wav"), stem("whistle"));
    wave(spoilt.resolve("tamborim.wav"), stem("tamborim"));
    wave(spoilt.resolve("tamborim old.wav"), changed(stem("tamborim"), v -> -v));
    // 10: names that differ only in case
    wave(spoilt.resolve("Surdo Low.wav"), stem("surdo low sine"));
    // 11: a mix of all, 6 dB down
    wave(spoilt.resolve("rough mix.wav"), changed(sum, v -> v / 2));
    // 12: a file that was cut short in its header
    Files.write(spoilt.resolve("bells.wav"), new byte[] {'R', 'I', 'F', 'F', 1, 2, 3});

    JsonNode report = check(spoilt);
    String all = report.toPrettyString();
    assertTrue(of(report, "rate").contains("stops: 'choir' has 44100 Hz"), all);
    assertTrue(
        of(report, "length").contains("'bass' is 480 samples (10.0 ms) shorter than the other"),
        all);
    assertTrue(of(report, "time-reference").contains("48000 samples (1.000 s)"), all);
    assertTrue(of(report, "bit-depth").contains("minor: 'agogo' has 16 bits"), all);
    assertTrue(of(report, "clipped").contains("matters: 'caixa' is clipped"), all);
    assertTrue(of(report, "clipped").contains("flat at -13.60 dBFS"), all);
    assertTrue(of(report, "offset").contains("matters: 'claps' has a constant offset of 0.0"), all);
    assertTrue(of(report, "silent").contains("matters: 'shaker' is silent"), all);
    assertEquals(
        "matters: 'whistle' is the same audio as 'whistle copy', 1.00 dB louder [all of it]\n",
        of(report, "double"));
    assertEquals(
        "matters: 'tamborim' is the same audio as 'tamborim old' upside down [all of it]\n",
        of(report, "inverted"));
    assertTrue(of(report, "name").contains("'Surdo Low.wav' and 'surdo low.wav'"), all);
    assertTrue(of(report, "full-mix").contains("matters: 'rough mix' is a mix"), all);
    assertEquals(1, of(report, "full-mix").lines().count(), all);
    assertTrue(of(report, "unreadable").contains("stops: 'bells.wav'"), all);
    // One stem a fault, and no other that matters.
    assertEquals(10, report.get("matter").asInt(), all);
    assertEquals(1, of(report, "clipped").lines().count(), all);
    assertEquals(1, of(report, "offset").lines().count(), all);

    Outcome letter = TestConsole.run("check", spoilt.toString(), "--letter");
    assertEquals(0, letter.status());
    assertTrue(letter.out().startsWith("Hello,\n\nthank you for the stems."), letter.out());
    assertTrue(letter.out().contains("'choir' has 44100 Hz"), letter.out());
    assertTrue(letter.out().contains("please export it again at the rate"), letter.out());
    assertFalse(letter.out().contains("--mute"), letter.out());
  }

  @Test
  void aMixWithoutOneStemAndShiftedIsReadForWhatItIs() throws IOException {
    // 2.5 s later, 1 dB softer, upside down, without the bass.
    int lag = 5 * RATE / 2;
    double[][] bass = stem("bass");
    double[][] mix = new double[2][sum[0].length + lag];
    for (int c = 0; c < 2; c++) {
      for (int n = 0; n < sum[0].length; n++) {
        mix[c][n + lag] = -0.8912509 * (sum[c][n] - bass[c][n]);
      }
    }
    Path print = wave(temp.resolve("no bass.wav"), mix);
    JsonNode report = check(Demo.folder(), "--print", print.toString());
    String all = report.toPrettyString();
    JsonNode found = report.get("print");
    assertEquals(lag, found.get("lagFrames").asInt());
    assertEquals(-1, found.get("gainDb").asDouble(), 0.001);
    assertTrue(found.get("reversed").asBoolean());
    assertEquals(1, found.get("stems").size(), all);
    assertEquals("bass", found.at("/stems/0/stem").asText());
    assertTrue(found.at("/stems/0/missing").asBoolean());
    // Rounding to 24 bits is all that is left: -151 dBFS.
    assertTrue(found.get("restDb").asDouble() < -100, all);
    assertTrue(of(report, "print-offset").contains("(2.500 s) later than the stems"), all);
    assertTrue(of(report, "print-gain").contains("1.00 dB softer"), all);
    assertTrue(of(report, "print-polarity").contains("reversed"), all);
    assertTrue(of(report, "print-stem").contains("'bass' is missing"), all);
    assertEquals(34, found.get("moments").size());
    assertEquals("", of(report, "print-dynamics"));
  }

  @Test
  void aLimitedMixIsToldByItsLoudestPlaces() throws IOException {
    // 3 dB into a curve that bends from 0.25 on: the louder, the lower.
    double[][] mix =
        changed(
            sum,
            v -> {
              double x = 1.4 * Math.abs(v);
              double y = x <= 0.25 ? x : 0.25 + (1 - Math.exp(-(x - 0.25) / 0.4)) * 0.4;
              return Math.signum(v) * y;
            });
    Path print = wave(temp.resolve("limited.wav"), mix);
    JsonNode report = check(Demo.folder(), "--print", print.toString());
    String all = report.toPrettyString();
    assertEquals(0, report.at("/print/lagFrames").asInt());
    assertTrue(of(report, "print-dynamics").contains("went through dynamics"), all);
    JsonNode first = report.at("/print/moments/0");
    // The highest peak, -0.32 dBFS = 0.964: 1.349 comes out as 0.624, 6.7 dB lower; the gain of
    // the whole lies between the curve's 2.92 dB and that.
    assertTrue(first.get("levelDb").asDouble() < -3 && !first.get("seen").asBoolean(), all);
  }

  @Test
  void aMixThatCoversAPartIsSaidToBeShorter() throws IOException {
    double[][] part = {
      Arrays.copyOfRange(sum[0], 10 * RATE, 30 * RATE),
      Arrays.copyOfRange(sum[1], 10 * RATE, 30 * RATE)
    };
    Path print = wave(temp.resolve("part.wav"), part);
    JsonNode report = check(Demo.folder(), "--print", print.toString());
    assertEquals(-10 * RATE, report.at("/print/lagFrames").asInt());
    assertTrue(
        of(report, "print-length")
            .contains("is shorter than the song: it covers 0:10.000 to 0:30.000 of the stems"),
        report.toPrettyString());
  }

  @Test
  void aMixOfAnotherSongIsSaidToBeOne() throws IOException {
    double[][] other = new double[2][10 * RATE];
    for (int n = 0; n < other[0].length; n++) {
      double beat = Math.exp(-(n % 20_000) / 3_000.0);
      other[0][n] = 0.4 * beat * Math.sin(2 * Math.PI * 57 * n / RATE);
      other[1][n] = 0.3 * Math.sin(2 * Math.PI * (330 + n / 9_000 % 7 * 50) * n / RATE);
    }
    Path print = wave(temp.resolve("other.wav"), other);
    JsonNode report = check(Demo.folder(), "--print", print.toString());
    assertTrue(
        of(report, "print").contains("is of another song, or of another version"),
        report.toPrettyString());
    assertFalse(report.has("print"));
  }

  @Test
  void aMixOfAnotherRateIsNotCompared() throws IOException {
    Path print = temp.resolve("44.wav");
    write(print, WaveLayout.plain(PCM_24, 44_100, 2, 44_100), sum);
    JsonNode report = check(Demo.folder(), "--print", print.toString());
    assertTrue(
        of(report, "print").contains("has 44100 Hz, the stems 48000 Hz: it was not compared"),
        report.toPrettyString());
  }

  @Test
  void whatCannotGoTogetherIsRefused() throws IOException {
    Outcome both = TestConsole.run("check", Demo.folder().toString(), "--json", "--letter");
    assertEquals(2, both.status());
    assertTrue(both.errLine().contains("--letter and --json: leave one out"), both.err());
    Outcome none = TestConsole.run("check", temp.resolve("nowhere").toString());
    assertEquals(1, none.status());
    assertTrue(none.errLine().contains("does not exist"), none.err());
    Outcome mix =
        TestConsole.run("check", Demo.folder().toString(), "--print", temp + "/nowhere.wav");
    assertEquals(1, mix.status());
    assertTrue(mix.errLine().contains("does not exist"), mix.err());
  }
}
