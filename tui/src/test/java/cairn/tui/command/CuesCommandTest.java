package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.fix.Trim;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.session.Preferences;
import cairn.io.session.SavedSession;
import cairn.io.session.SessionFile;
import cairn.io.session.StemRef;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.wave.WaveLayout;
import cairn.tui.Demo;
import cairn.tui.command.TestConsole.Outcome;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import javax.sound.midi.MetaMessage;
import javax.sound.midi.MidiSystem;
import javax.sound.midi.Track;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CuesCommandTest {

  private static final int RATE = 8_000;

  @TempDir Path folder;

  /** Stems at a time reference of one hour, of which two meet at 1 s and at 2 s. */
  private Path stems() throws IOException {
    Path stems = Files.createDirectories(folder.resolve("stems"));
    stem(stems.resolve("caixa.wav"), 0.5, 0.4);
    stem(stems.resolve("surdo.wav"), 0.45, 0.4);
    stem(stems.resolve("agogo.wav"), 0, 0);
    return stems;
  }

  private static void stem(Path file, double first, double second) throws IOException {
    double[][] samples = new double[1][3 * RATE];
    for (int n = 0; n < samples[0].length; n++) {
      samples[0][n] = 0.1 * Math.sin(2 * Math.PI * n / 80);
    }
    samples[0][RATE + 20] = first;
    samples[0][2 * RATE + 20] = second;
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.PCM_24_LITTLE, RATE, 1, 3 * RATE)
                .with(new BroadcastInfo("", 3600L * RATE))
                .writeTo(out)) {
      writer.write(samples, 0, 3 * RATE);
    }
  }

  private Outcome cues(Path stems, String... more) {
    List<String> args = new ArrayList<>(List.of("cues", stems.toString()));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  private String to(String name) {
    return folder.resolve(name).toString();
  }

  private static JsonNode json(Path file) throws IOException {
    return new ObjectMapper().readTree(Files.readString(file)).get("cues");
  }

  /** The frame that was found is the frame that every format holds. */
  @Test
  void theFrameOfEveryCueIsTheFrameOfTheList() throws Exception {
    String demo = Demo.folder().toString();
    List<Long> listed = new ArrayList<>();
    for (JsonNode moment :
        new ObjectMapper().readTree(TestConsole.run("list", demo, "--json").out()).get("moments")) {
      listed.add(moment.get("frame").longValue());
    }
    listed.sort(null);
    assertEquals(34, listed.size());
    for (String ending : List.of("csv", "json", "txt", "mid", "wav")) {
      Outcome outcome = TestConsole.run("cues", demo, "--all", "--to", to("all." + ending));
      assertEquals(0, outcome.status(), outcome.err());
      assertEquals("", outcome.out());
    }
    List<Long> csv =
        Files.readAllLines(folder.resolve("all.csv")).stream()
            .skip(1)
            .map(line -> Long.parseLong(line.split(",", -1)[1]))
            .toList();
    assertEquals(listed, csv);
    List<Long> fromJson = new ArrayList<>();
    json(folder.resolve("all.json")).forEach(cue -> fromJson.add(cue.get("moment").longValue()));
    assertEquals(listed, fromJson);
    List<Long> text =
        Files.readAllLines(folder.resolve("all.txt")).stream()
            .filter(line -> line.startsWith("[ ]"))
            .map(line -> Long.parseLong(line.split(" +", -1)[3]))
            .toList();
    assertEquals(listed, text);
    List<Long> midi = new ArrayList<>();
    Track track = MidiSystem.getSequence(folder.resolve("all.mid").toFile()).getTracks()[0];
    for (int i = 0; i < track.size(); i++) {
      if (track.get(i).getMessage() instanceof MetaMessage meta && meta.getType() == 6) {
        midi.add(track.get(i).getTick());
      }
    }
    assertEquals(listed, midi);
    byte[] wave = Files.readAllBytes(folder.resolve("all.wav"));
    int at = new String(wave, StandardCharsets.ISO_8859_1).indexOf("cue ", 5_000_000);
    ByteBuffer chunk = ByteBuffer.wrap(wave).order(ByteOrder.LITTLE_ENDIAN).position(at + 8);
    assertEquals(2 * listed.size(), chunk.getInt());
    List<Long> points = new ArrayList<>();
    for (int i = 0; i < listed.size(); i++) {
      points.add((long) chunk.getInt(at + 12 + 48 * i + 20));
    }
    assertEquals(listed, points);
  }

  @Test
  void theMarksOfTheSavedSessionAreTaken() throws IOException {
    Path stems = stems();
    StemSet set = StemFolder.scan(List.of(stems), ScanOptions.DEFAULT);
    Mark first = Mark.of(RATE + 20, new Trim(1, RATE, RATE + 100, 12));
    Mark second =
        Mark.of(2 * RATE + 20, new Trim(2, 2 * RATE, 2 * RATE + 100, 7)).withNote("softly");
    SavedSession fresh =
        SavedSession.of(".", RATE, StemRef.of(set), set.toSession().faders(), Preferences.DEFAULT);
    SavedSession session =
        fresh.withMarks(
            new Marks(List.of(first, second)), Set.of(first), fresh.match(StemRef.of(set)));
    SessionFile.write(stems.resolve(SessionFile.NAME), session, set.inputs());

    assertEquals(0, cues(stems, "--to", to("c.json")).status());
    JsonNode cues = json(folder.resolve("c.json"));
    assertEquals(2, cues.size());
    assertEquals("caixa: trim 1.2 dB", cues.get(0).get("text").textValue());
    assertTrue(cues.get(0).get("done").booleanValue());
    assertEquals("softly", cues.get(1).get("note").textValue());

    assertEquals(0, cues(stems, "--to", to("todo.json"), "--skip-done").status());
    assertEquals(1, json(folder.resolve("todo.json")).size());

    Files.move(stems.resolve(SessionFile.NAME), folder.resolve("mine.json"));
    assertEquals(0, cues(stems, "--to", to("m.json"), "--session", to("mine.json")).status());
    assertEquals(cues, json(folder.resolve("m.json")));
  }

  @Test
  void withoutMarksItSaysHowToGetSome() throws IOException {
    Outcome outcome = cues(stems(), "--to", to("c.csv"));
    assertEquals(1, outcome.status());
    assertTrue(
        outcome.errLine().contains("no session is saved in")
            && outcome.err().contains("--plan")
            && outcome.err().contains("--all"),
        outcome.err());
    assertFalse(Files.exists(folder.resolve("c.csv")));
  }

  @ParameterizedTest
  @CsvSource({
    "'--rate 25', 00:00:01:00",
    "'--rate 25 --start 10:00:00:00', 10:00:01:00",
    "'--rate 25 --start timeref', 01:00:01:00",
    "'--rate 29.97drop --start 00:00:59;29', 00:01:01;01",
    "'--start timeref', 60:01.003",
    "'--notation samples --start timeref', 28808020",
    "'--tempo 60', 1|2|002",
    "'--tempo 60 --notation clock', 0:01.003",
    "'--tempo 60 --bar-one 1', 1|1|002",
  })
  void timesAreInTheNotationAskedFor(String options, String time) throws IOException {
    // The first moment is sample 8020 at 8000 Hz: 1.0025 s, 2.4 ticks after the second beat.
    List<String> args = new ArrayList<>(List.of("--plan", "--to", to("c.json")));
    args.addAll(List.of(options.split(" ", -1)));
    Outcome outcome = cues(stems(), args.toArray(String[]::new));
    assertEquals(0, outcome.status(), outcome.err());
    JsonNode cue = json(folder.resolve("c.json")).get(0);
    assertEquals(RATE + 20, cue.get("moment").longValue());
    assertEquals(time, cue.get("time").textValue());
  }

  @Test
  void aTempoMapIsFollowedInCuesAndList() throws IOException {
    // 60 quarter notes a minute in 3/4, ticks of 480 a quarter.
    byte[] map =
        java.util.HexFormat.of()
            .parseHex(
                ("4D546864 00000006 0000 0001 01E0 4D54726B 00000013"
                        + " 00FF51030F4240 00FF580403021808 00FF2F00")
                    .replace(" ", ""));
    Path file = Files.write(folder.resolve("map.mid"), map);
    Outcome cues = cues(stems(), "--plan", "--to", to("c.json"), "--tempo-map", file.toString());
    assertEquals(0, cues.status(), cues.err());
    JsonNode found = json(folder.resolve("c.json"));
    assertEquals("1|2|002", found.get(0).get("time").textValue());
    Outcome list = TestConsole.run("list", stems().toString(), "--tempo-map", file.toString());
    assertEquals(0, list.status(), list.err());
    assertTrue(list.out().contains("1|2|002"), list.out());
  }

  @Test
  void midiSaysHowFarMarkersLieBesideTheirSamples() throws IOException {
    Path stems = stems();
    assertTrue(
        cues(stems, "--plan", "--to", to("exact.mid"))
            .err()
            .contains("every marker is on its sample at 8000 Hz"));
    Outcome tempo = cues(stems, "--plan", "--to", to("tempo.mid"), "--tempo", "120");
    // 480 us at 960 ticks of half a second: 2.08 samples at 8000 Hz at the most.
    assertTrue(tempo.err().contains("at most 2.1; --midi exact"), tempo.err());
    assertTrue(
        cues(stems, "--plan", "--to", to("x.mid"), "--tempo", "120", "--midi", "exact")
            .err()
            .contains("every marker is on its sample"));
    assertArrayEquals(
        Files.readAllBytes(folder.resolve("exact.mid")),
        Files.readAllBytes(folder.resolve("x.mid")));
  }

  @Test
  void onePerStemIsAFileEach() throws IOException {
    Outcome outcome = cues(stems(), "--all", "--per-stem", "--format", "csv", "--to", to("sheets"));
    assertEquals(0, outcome.status(), outcome.err());
    try (var files = Files.list(folder.resolve("sheets"))) {
      assertEquals(
          List.of("caixa.csv"), files.map(f -> f.getFileName().toString()).sorted().toList());
    }
  }

  @ParameterizedTest
  @CsvSource({
    "2, '--to c.pdf', .csv, .json, .txt, .mid or .wav",
    "2, '--to c', '.csv, .json, .txt, .mid or .wav, or --format'",
    "2, '--to d --per-stem', say --format",
    "2, '--to c.csv --start 01:00:00:00', add --rate 25",
    "2, '--to c.csv --rate 26', must be one of 23.976",
    "2, '--to c.csv --rate 25 --start 01:00:00:25', frames to 24",
    "2, '--to c.csv --rate 29.97drop --start 00:01:00;00', does not exist in drop-frame",
    "2, '--to c.csv --notation timecode', needs a rate",
    "2, '--to c.csv --notation clock --rate 25', is for time code",
    "2, '--to c.csv --notation bars', needs a tempo",
    "2, '--to c.csv --notation bars --tempo 90 --start timeref', --bar-one",
    "2, '--to c.mid --midi tempo', needs a tempo",
    "2, '--to c.csv --top 0', --top must be 1 or more",
    "2, '--to c.csv --stem choir', no stem is called 'choir'",
    "2, '--to c.csv --tempo 90 --tempo-map no.mid', leave out --tempo",
    "2, '--to c.csv --session s.json', leave one out",
    "1, '--to c.csv --tempo-map no.mid', no.mid' is not there",
    "1, '--to c.csv --tempo-map stems/caixa.wav', is no Standard MIDI File",
    "1, '--to no/c.csv', its folder does not exist",
    "1, '--to stems/c.wav', lies in the stems' folder",
    "1, '--to stems/caixa.wav --format csv --force', is one of the inputs",
    "1, '--to c.csv --stem agogo', no cue is on agogo; cues are on caixa",
    "1, '--to c.mid --tempo 2', room for a tempo of 2.00",
    "1, '--to there.csv', replace it with --force",
    "1, '--to c.csv --line 3', nothing is over the line",
    "1, '--to stems --format csv --force', is a folder",
  })
  void whatCannotBeIsSaidInOneLine(int status, String options, String words) throws IOException {
    Path stems = stems();
    Files.writeString(folder.resolve("there.csv"), "mine");
    List<String> args = new ArrayList<>(List.of("--plan"));
    for (String word : options.split(" ", -1)) {
      boolean path = word.matches("(stems|no|c|d|there|s)([./].*)?");
      args.add(path ? to(word) : word);
    }
    Outcome outcome = cues(stems, args.toArray(String[]::new));
    assertEquals(status, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().contains(words), words + " in " + outcome.err());
    assertEquals("mine", Files.readString(folder.resolve("there.csv")));
    assertEquals(0.5, peakOf(stems.resolve("caixa.wav")), 1e-6);
  }

  private static double peakOf(Path file) throws IOException {
    try (var sound = cairn.io.wave.WaveFile.open(file)) {
      double[][] block = new double[1][3 * RATE];
      sound.openReader().read(0, 3 * RATE, block, 0);
      return block[0][RATE + 20];
    }
  }
}
