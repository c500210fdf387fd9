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
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What the command line says to material and words that it cannot use: one line, and the way out.
 */
class BadInputTest {

  private static final int RATE = 8_000;

  @TempDir Path stems;

  private Path wave(String name, int rate, int channels, LinearCoding coding, double... samples)
      throws IOException {
    double[][] block = new double[channels][];
    Arrays.fill(block, samples);
    Path file = stems.resolve(name);
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(coding, rate, channels, samples.length).writeTo(out)) {
      writer.write(block, 0, samples.length);
    }
    return file;
  }

  private Path tone(String name, double peak) throws IOException {
    double[] samples = new double[2 * RATE];
    for (int n = 0; n < samples.length; n++) {
      samples[n] = peak * Math.sin(2 * Math.PI * n / 80);
    }
    samples[RATE + 20] = 1.6 * peak;
    return wave(name, RATE, 1, LinearCoding.FLOAT_32_LITTLE, samples);
  }

  private Outcome list(String... more) {
    String[] args = new String[more.length + 2];
    args[0] = "list";
    args[1] = stems.toString();
    System.arraycopy(more, 0, args, 2, more.length);
    return TestConsole.run(args);
  }

  private void stopped(Outcome outcome, String... mustSay) {
    assertEquals(1, outcome.status(), outcome.err());
    assertEquals("", outcome.out(), "standard output holds data only");
    assertTrue(outcome.errLine().startsWith("stopped: "), outcome.err());
    for (String part : mustSay) {
      assertTrue(outcome.err().contains(part), "must say " + part + ": " + outcome.err());
    }
  }

  @Test
  void aFolderThatIsNotThere() {
    stopped(TestConsole.run("list", stems.resolve("no").toString()), "no'", "does not exist");
  }

  @Test
  void anEmptyFolder() {
    stopped(list(), "holds no stems", "WAVE, AIFF or FLAC");
  }

  @Test
  void differingRatesNameTheStemThatDiffers() throws IOException {
    tone("kick.wav", 0.3);
    tone("caixa.wav", 0.3);
    wave("surdo.wav", 44_100, 1, LinearCoding.PCM_16_LITTLE, 0.1, 0.2);
    stopped(list(), "surdo", "44100 Hz", "8000 Hz", "export it again");
  }

  @Test
  void aFileWithoutAudio() throws IOException {
    tone("kick.wav", 0.3);
    wave("empty.wav", RATE, 1, LinearCoding.PCM_16_LITTLE);
    stopped(list(), "'empty.wav'", "export it again or leave it out");
  }

  @Test
  void aValueThatIsNotANumberNamesItsSample() throws IOException {
    Path broken = wave("broken.wav", RATE, 1, LinearCoding.FLOAT_64_LITTLE, new double[100]);
    byte[] file = Files.readAllBytes(broken);
    ByteBuffer.wrap(file)
        .order(ByteOrder.LITTLE_ENDIAN)
        .putDouble(file.length - (100 - 42) * 8, Double.NaN);
    Files.write(broken, file);
    stopped(list(), "'broken.wav'", "sample 42", "export it again");
  }

  @Test
  void bytesThatAreNoAudioUnderASoundEnding() throws IOException {
    tone("kick.wav", 0.3);
    Files.writeString(stems.resolve("notes.wav"), "these are not samples at all");
    stopped(list(), "'notes.wav'");
  }

  @Test
  void aCompressedCodingIsNamed() throws IOException {
    byte[] file = Files.readAllBytes(tone("law.wav", 0.3));
    file[20] = 7;
    Files.write(stems.resolve("law.wav"), file);
    stopped(list(), "'law.wav'", "export it");
  }

  @Test
  void allSilence() throws IOException {
    wave("quiet.wav", RATE, 1, LinearCoding.PCM_16_LITTLE, new double[RATE]);
    stopped(list(), "silent");
  }

  @Test
  void aTruncatedFileIsReadWithAWarning() throws IOException {
    byte[] file = Files.readAllBytes(tone("kick.wav", 0.3));
    Files.write(stems.resolve("kick.wav"), Arrays.copyOf(file, file.length - 1000));
    Outcome outcome = list();
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().startsWith("warning: "), outcome.err());
    assertTrue(outcome.err().contains("kick"), outcome.err());
  }

  @Test
  void otherFilesAreSkippedAndNamedOnce() throws IOException {
    tone("kick.wav", 0.3);
    Files.writeString(stems.resolve("notes.txt"), "bring water");
    Outcome outcome = list();
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().startsWith("skipped: 'notes.txt'"), outcome.err());
  }

  @Test
  void namesWithControlsAreShownHarmless() throws IOException {
    tone("surdo\u001B[31m\n\u202Ered.wav", 0.3);
    Outcome outcome = list();
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.out().contains("surdo\\u{1B}[31m\\u{A}\\u{202E}red"), outcome.out());
    assertFalse(outcome.out().contains("\u001B"));
    assertFalse(outcome.out().contains("\u202E"));
  }

  @Test
  void oddButUsableStemsAreNoFault() throws IOException {
    tone("bed.wav", 0.9);
    wave("one.wav", RATE, 1, LinearCoding.PCM_16_LITTLE, 0.5);
    wave("still.wav", RATE, 2, LinearCoding.PCM_16_LITTLE, new double[RATE]);
    for (int i = 0; i < 300; i++) {
      wave("many " + i + ".wav", RATE, 1, LinearCoding.PCM_16_LITTLE, 0.001, -0.001);
    }
    Outcome outcome = list("--json");
    assertEquals(0, outcome.status(), outcome.err());
    JsonNode json = new ObjectMapper().readTree(outcome.out());
    assertEquals(303, json.get("session").get("stems").size());
    assertTrue(json.get("bus").get("peakDb").asDouble() > 0, "peaks above 0 dBFS are kept");
    json.get("session")
        .get("stems")
        .forEach(
            stem -> {
              if (stem.get("name").asText().equals("still")) {
                assertTrue(stem.get("peakDb").isNull());
                assertTrue(stem.get("averagePeakDb").isNull());
              }
            });
  }

  @Test
  void aRangePastTheEnd() throws IOException {
    tone("kick.wav", 0.3);
    stopped(list("--from", "1:00"));
  }

  @Test
  void aLineAboveThePeakIsGoodNews() throws IOException {
    tone("kick.wav", 0.3);
    Outcome outcome = list("--line", "0");
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.out().contains("no moment stands out"), outcome.out());
    Outcome plan = TestConsole.run("plan", stems.toString(), "--line", "0");
    assertEquals(0, plan.status(), plan.err());
    assertTrue(plan.out().startsWith("Nothing to do"), plan.out());
  }

  @ParameterizedTest
  @CsvSource({
    "--margin 99, --margin must be",
    "--line x, '--line'",
    "--margin 1 --line -3, leave one out",
    "--meter 4/4, add --tempo",
    "--window beat, add --tempo",
    "--tempo 0, tempo must be",
    "--tempo 100 --meter 4, --meter takes",
    "--section 5-2, ends before it starts",
    "--section 1-2 --baseline song, --baseline loud",
    "--from 1:75, 60 seconds or more",
    "--from 2 --to 1, must end after it starts",
    "--gain kick, NAME=AMOUNT",
    "--gain kick=loud, -144 to 144 dB",
    "--offset kick=0.5, whole samples",
    "--mute nobody, no stem is called",
    "--threads 0, --threads must be 1",
    "--json --csv, leave one out",
    "--top 0, --top must be 1",
    "--stem nobody, no stem is called",
    "--keep nobody, no stem is called",
    "--colour, --colour"
  })
  void nonsenseOptionsGetTheRuleAndTheValue(String words, String mustSay) throws IOException {
    tone("kick.wav", 0.3);
    Outcome outcome = list(words.split(" ", -1));
    assertEquals(2, outcome.status(), outcome.err());
    assertEquals("", outcome.out());
    assertTrue(outcome.errLine().contains(mustSay.replace("'", "")), outcome.err());
    assertTrue(outcome.err().contains("--help"), outcome.err());
  }

  @ParameterizedTest
  @CsvSource({
    "--headroom 0, --headroom must be over 0",
    "--headroom 2 --margin 1, leave out",
    "--max-nudge 0, --max-nudge must be",
    "--max-trim 0.05, --max-trim must be",
    "--max-clip -1, --max-clip must be",
    "--allow squash, --allow"
  })
  void nonsenseOptionsOfAPlanToo(String words, String mustSay) throws IOException {
    tone("kick.wav", 0.3);
    String[] more = words.split(" ", -1);
    String[] args = new String[more.length + 2];
    args[0] = "plan";
    args[1] = stems.toString();
    System.arraycopy(more, 0, args, 2, more.length);
    Outcome outcome = TestConsole.run(args);
    assertEquals(2, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().contains(mustSay), outcome.err());
  }

  @Test
  void everyHelpFitsIntoEightyColumns() {
    for (String command : new String[] {"list", "plan", "demo", "completion"}) {
      Outcome help = TestConsole.run(command, "--help");
      assertEquals(0, help.status());
      help.out().lines().forEach(line -> assertTrue(line.length() <= 80, line));
    }
    TestConsole.run("--help").out().lines().forEach(l -> assertTrue(l.length() <= 80, l));
    TestConsole.run().out().lines().forEach(l -> assertTrue(l.length() <= 80, l));
  }

  @Test
  void theTableIsCutOnATerminalOnly() throws IOException {
    tone("a stem with a name that is a good deal longer than most.wav", 0.3);
    Outcome wide = list();
    Outcome cut = TestConsole.run(OptionalInt.of(40), "list", stems.toString());
    assertTrue(wide.out().lines().anyMatch(line -> line.length() > 40));
    cut.out().lines().forEach(line -> assertTrue(line.length() <= 40, line));
  }

  @Test
  void aCompletionScriptIsPrinted() {
    Outcome outcome = TestConsole.run("completion");
    assertEquals(0, outcome.status());
    assertTrue(outcome.out().contains("--margin"), "options are completed");
  }
}
