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
  void anOffsetThatPushesSoundBeforeTheStartIsTold() throws IOException {
    tone("kick.wav", 0.3);
    tone("caixa.wav", 0.3);
    Outcome outcome = list("--offset", "caixa=-9ms");
    assertEquals(0, outcome.status(), outcome.err());
    // The tone starts with a zero: at 8 kHz its first sound is a sample later.
    assertEquals(
        "warning: 'caixa' is set 9.00 ms earlier: 8.88 ms of its sound lie before the start of the"
            + " song and are lost; 0.13 ms earlier loses none",
        outcome.errLine());
    assertEquals("", list("--offset", "caixa=9ms").err());
  }

  @Test
  void byHowMuchAStemIsShorterIsTold() throws IOException {
    tone("kick.wav", 0.3);
    tone("caixa.wav", 0.3);
    tone("claps.wav", 0.3);
    wave("agogo.wav", RATE, 1, LinearCoding.PCM_16_LITTLE, new double[RATE / 2]);
    wave("bells.wav", RATE, 1, LinearCoding.PCM_16_LITTLE, new double[2 * RATE - 7_999]);
    String out = TestConsole.run("check", stems.toString()).out();
    assertTrue(out.contains("'agogo' is 12000 samples (1.500 s) shorter than the other 3"), out);
    assertTrue(out.contains("'bells' is 7999 samples (999.9 ms) shorter than the other 3"), out);
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
    stopped(list("--from", "1:00"), "--from 1:00.000", "end of the song, 0:02.000", "earlier");
    stopped(list("--from", "2"), "--from 0:02.000", "0:02.000");
    assertEquals(
        0, list("--from", "1.9", "--to", "1:00").status(), "the end may lie past the song");
  }

  @Test
  void aSectionOutsideOfWhatIsLookedAt() throws IOException {
    tone("kick.wav", 0.3);
    stopped(
        list("--to", "1", "--section", "1.5-2"),
        "--section from 0:01.500 to 0:02.000",
        "from 0:00.000 to 0:01.000",
        "name a section");
  }

  @Test
  void threeChannelsNameTheFileTheCountAndTheWayOut() throws IOException {
    tone("kick.wav", 0.3);
    byte[] file =
        Files.readAllBytes(wave("hall.wav", RATE, 2, LinearCoding.PCM_16_LITTLE, 0, 0, 0));
    // 3 frames of 2 channels become 2 frames of 3: channels at byte 22, block align at byte 32.
    file[22] = 3;
    file[32] = 6;
    Files.write(stems.resolve("hall.wav"), file);
    stopped(list(), "'hall.wav'", "3 channels", "export it as stereo or as mono files");
  }

  @Test
  void aLinkThatLeadsRoundInACircle() throws IOException {
    tone("kick.wav", 0.3);
    Files.createSymbolicLink(stems.resolve("again"), stems);
    stopped(list(), "'again'", "leads round in a circle", "remove it");
  }

  @Test
  void aStemOfOneFrameAlone() throws IOException {
    wave("one.wav", RATE, 1, LinearCoding.PCM_16_LITTLE, 0.5);
    Outcome outcome = list("--json");
    assertEquals(0, outcome.status(), outcome.err());
    JsonNode json = new ObjectMapper().readTree(outcome.out());
    // One frame of 0.5: 20 log10 0.5 = -6.02 dBFS.
    assertEquals(-6.02, json.get("bus").get("peakDb").asDouble(), 0.005);
    assertEquals(0, json.get("moments").size(), "a peak is not above its own average");
  }

  @Test
  void aBusMutedToSilenceNamesTheFaders() throws IOException {
    tone("kick.wav", 0.3);
    stopped(list("--mute", "*"), "from 0:00.000 to 0:02.000", "--mute, --only and --gain");
  }

  @Test
  void aWordWithAnAtSignIsNoFileOfArguments() throws IOException {
    // One that exists: a file of arguments would be read, and --csv be obeyed.
    Path file = Files.writeString(stems.resolve("words"), "--csv");
    stopped(TestConsole.run("list", "@" + file), "'@" + file + "' does not exist");
  }

  @Test
  void theSuggestedWordsSurviveTheShell() throws IOException {
    tone("queen's lead vox.wav", 0.3);
    Outcome plan = TestConsole.run("plan", stems.toString());
    assertEquals(0, plan.status(), plan.err());
    assertTrue(plan.err().contains("--keep 'queen'\\''s lead vox'"), plan.err());
  }

  @Test
  void aLineInsideTheMusicSaysWhereTheListBecomesShort() throws IOException {
    // Single frames 100 ms apart, farther than the 35 ms that join, each 0.001 higher than the one
    // before: 250 moments over -40 dBFS (0.01).
    double[] samples = new double[25 * RATE];
    for (int hit = 0; hit < 250; hit++) {
      samples[hit * RATE / 10 + 400] = 0.5 + 0.001 * hit;
    }
    wave("agogo.wav", RATE, 1, LinearCoding.FLOAT_64_LITTLE, samples);
    Outcome outcome = list("--line", "-40");
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().startsWith("warning: "), outcome.err());
    assertTrue(outcome.err().contains("250 moments are over it; at --line "), outcome.err());
    // The 41st highest is 0.709, -2.99 dBFS, so the line goes to -2.9 dBFS = 0.7161: 0.717 to
    // 0.749 stay above it, 33 moments.
    assertTrue(outcome.err().contains("at --line -2.9, 33 would remain"), outcome.err());
  }

  @Test
  void aWrongCommandIsNamedAlone() {
    Outcome outcome = TestConsole.run("lst", "parade");
    assertEquals(2, outcome.status());
    assertEquals("", outcome.out());
    assertEquals("there is no command 'lst'; see cairn --help", outcome.errLine());
    Outcome bare = TestConsole.run("list");
    assertEquals(2, bare.status());
    assertTrue(bare.errLine().contains("'STEMS'"), bare.err());
  }

  @Test
  void aMisspeltNameIsAnsweredWithNamesThatAreSafeAndCanBeTyped() throws IOException {
    tone("surdo\u001Bred.wav", 0.3);
    Outcome outcome = list("--mute", "nobody");
    assertEquals(2, outcome.status());
    assertEquals(
        "--mute: no stem is called 'nobody'; the stems are surdo\\u{1B}red; see cairn list --help",
        outcome.errLine());
    assertEquals(0, list("--gain", "surdo\\u{1B}red=1").status());
    assertEquals(0, list("--gain", "surdo\u001Bred=1").status());
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
    "--line x, --line",
    "--margin 1 --line -3, leave one out",
    "--meter 4/4, add --tempo",
    "--window beat, add --tempo",
    "--tempo 0, --tempo takes quarter notes a minute",
    "--tempo 100 --meter 4, --meter takes",
    "--section 5-2, ends before it starts",
    "--section 1-2 --baseline song, --baseline loud",
    "--from 1:75, 60 seconds or more",
    "--from 2 --to 1, --to must be at least a sample after --from: --from 2: --to 1",
    "--to 0, --to must be at least a sample after the start: --to 0",
    "--section 1-1.00001, --section must be at least a sample long: --section 1-1.00001",
    "--margin NaN, --margin must be -60 to 60 dB: --margin NaN",
    "--margin 1 --margin 2, --margin is given twice",
    "--line 61, --line must be -144 to 60 dB: --line 61.0",
    "--tempo 1001, or the word estimate: --tempo 1001",
    "--tempo fast, --tempo fast",
    "--tempo 100 --meter 4/3, 32 or 64: --meter 4/3",
    "--tempo 100 --bar-one NaN, --bar-one must be within 1000000 s of the start: --bar-one NaN",
    "--bar-one 2, --bar-one needs a tempo: add --tempo BPM",
    "--section 1:2, such as 1:54-2:48",
    "--from soon, soon is no time; write 1:54",
    "--gain kick=NaN, --gain takes a gain of -144 to 144 dB: --gain kick=NaN",
    "--gain =3, NAME=AMOUNT",
    "--gain nobody=1, --gain: no stem is called nobody; the stems are kick",
    "--offset kick=soon, --offset takes samples or milliseconds",
    "--offset kick=3601000ms, at most an hour",
    "--only nobody, --only: no stem is called",
    "--polarity nobody, --polarity: no stem is called",
    "--mono-gain 145, --mono-gain must be -144 to 144 dB: --mono-gain 145.0",
    "--threads 257, --threads must be 1 to 256: --threads 257",
    "--threads 2 --threads 3, --threads",
    "--top x, --top",
    "--kind duet, duet",
    "--place nowhere, nowhere",
    "--gain kick, NAME=AMOUNT",
    "--gain kick=loud, -144 to 144 dB",
    "--offset kick=0.5, whole samples",
    "--mute nobody, no stem is called",
    "--threads 0, --threads must be 1",
    "--json --csv, leave one out",
    "--top 0, --top must be 1",
    "--stem nobody, no stem is called",
    "--keep nobody, no stem is called",
    "--goal loud, --goal takes a level such as -8: --goal loud",
    "--goal -8dBTP, --goal takes a level such as -8: --goal -8dBTP",
    "--goal 1, --goal must be -70 to 0 LUFS: --goal 1.0",
    "--goal -8 --ceiling x, --ceiling takes a level such as -1 or -1dBTP: --ceiling x",
    "--goal -8 --ceiling 3, --ceiling must be -60 to 0 dB: --ceiling 3.0",
    "--goal -8 --limiter -1, --limiter must be 0 to 60 dB: --limiter -1.0",
    "--goal -8 --goal-part chorus, --goal-part",
    "--ceiling -1, --ceiling needs a goal: add --goal LUFS",
    "--limiter 3, --limiter needs a goal: add --goal LUFS",
    "--goal-part song, --goal-part needs a goal: add --goal LUFS",
    "--colour, --colour"
  })
  void nonsenseOptionsGetTheRuleAndTheValue(String words, String mustSay) throws IOException {
    tone("kick.wav", 0.3);
    Outcome outcome = list(words.split(" ", -1));
    assertEquals(2, outcome.status(), outcome.err());
    assertEquals("", outcome.out());
    assertTrue(outcome.errLine().replace("'", "").contains(mustSay), outcome.err());
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

  private Outcome withYokes(String command, String... more) throws IOException {
    tone("kick.wav", 0.3);
    tone("low.wav", 0.2);
    tone("caixa.wav", 0.1);
    String[] args = new String[more.length + 2];
    args[0] = command;
    args[1] = stems.toString();
    System.arraycopy(more, 0, args, 2, more.length);
    return TestConsole.run(args);
  }

  private static void wrongLine(Outcome outcome, String mustSay) {
    assertEquals(2, outcome.status(), outcome.err());
    assertTrue(outcome.err().contains(mustSay), outcome.err());
  }

  @Test
  void aYokeOfOneStemIsRefused() throws IOException {
    wrongLine(withYokes("plan", "--yoke", "kick,kick"), "--yoke must name two stems or more");
    wrongLine(withYokes("list", "--yoke", "kick"), "--yoke must name two stems or more");
    wrongLine(withYokes("list", "--yoke", "kick,"), "--yoke: no stem is called ''");
  }

  @Test
  void aYokeWithAStemLeftAloneIsRefusedAndSaysWhy() throws IOException {
    wrongLine(
        withYokes("plan", "--yoke", "kick,low", "--keep", "low"),
        "'low' is left alone, but would move with 'kick', to which it is yoked");
  }

  @Test
  void aCycleOfYokesIsOneGroup() throws IOException {
    Outcome list =
        withYokes(
            "list", "--json", "--yoke", "kick,low", "--yoke", "low,caixa", "--yoke", "caixa,kick");
    assertEquals(0, list.status(), list.err());
    assertTrue(
        list.out().replaceAll("\\s", "").contains("\"yokedWith\":[\"kick\",\"low\"]"), list.out());
  }

  @Test
  void aCeilingUnderItsStemsAveragePeakIsWarnedOf() throws IOException {
    Outcome tried = withYokes("stems", "--try-ceiling", "kick=-20");
    assertEquals(0, tried.status(), tried.err());
    assertTrue(tried.errLine().startsWith("warning: a ceiling of -20.0 dBFS"), tried.err());
    assertTrue(tried.out().contains("ceiling at -20.0 dBFS"), tried.out());
    wrongLine(
        withYokes("stems", "--try-ceiling", "kick"), "--try-ceiling takes a stem and a level");
    wrongLine(withYokes("stems", "--try-ceiling", "kick=-1.25"), "to a tenth");
  }

  @Test
  void toneLimitsOutOfRangeAreRefused() throws IOException {
    wrongLine(withYokes("plan", "--max-tone", "-1"), "--max-tone must be 0 to 60 dB");
  }
}
