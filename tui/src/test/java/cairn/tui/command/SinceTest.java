package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Fader;
import cairn.collisions.Settings;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.session.Preferences;
import cairn.io.session.SavedSession;
import cairn.io.session.SavedSettings;
import cairn.io.session.SessionFile;
import cairn.io.session.StemRef;
import cairn.io.session.Unknown;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
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
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code cairn list NEW --since OLD}, and what it says where it cannot compare. */
class SinceTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 4 * RATE;

  @TempDir Path temp;

  private Path old;
  private Path fresh;

  @BeforeEach
  void write() throws IOException {
    // Over a bed of noise of at most 0.1 the kick makes three moments.
    old = temp.resolve("old");
    fresh = temp.resolve("new");
    song(old, 1, 0, Map.of(4_000, 0.5, 12_000, 0.6, 20_000, 0.9));
    // Gone, lower by some 2 dB, still there, and a new one; 25 samples later.
    song(fresh, 1, 25, Map.of(12_000, 0.45, 20_000, 0.9, 28_000, 0.65));
  }

  private static void song(Path folder, long seed, int later, Map<Integer, Double> hits)
      throws IOException {
    Random random = new Random(seed);
    double[] bed = new double[FRAMES + later];
    double[] kick = new double[FRAMES + later];
    for (int n = 0; n < FRAMES; n++) {
      bed[n + later] = 0.2 * random.nextDouble() - 0.1;
    }
    hits.forEach((frame, size) -> kick[frame + later] = size);
    wave(folder.resolve("bed.wav"), RATE, bed);
    wave(folder.resolve("kick.wav"), RATE, kick);
  }

  private static void wave(Path file, int rate, double[] samples) throws IOException {
    Files.createDirectories(file.getParent());
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_64_LITTLE, rate, 1, samples.length).writeTo(out)) {
      writer.write(new double[][] {samples}, 0, samples.length);
    }
  }

  private Outcome since(String... more) {
    List<String> args = new ArrayList<>(List.of("list", fresh.toString()));
    args.addAll(List.of("--since", old.toString(), "--line", "-8"));
    args.addAll(List.of(more));
    return TestConsole.run(args.toArray(String[]::new));
  }

  @Test
  void theTableCountsAndTellsEachMomentsState() {
    Outcome outcome = since();
    assertEquals(0, outcome.status(), outcome.err());
    String head =
        outcome.out().lines().filter(l -> l.startsWith("since ")).findFirst().orElseThrow();
    assertTrue(
        head.startsWith(
            "since         1 gone, 1 lower, 1 still there, 1 new; shift 25 samples later;"
                + " line held at -8.00 dBFS, average peak "),
        head);
    List<String> states =
        outcome
            .out()
            .lines()
            .filter(l -> l.matches(" *\\d+ +0:\\d\\d\\.\\d{3} .*"))
            .map(l -> l.replaceAll(".*(still there|lower|new).*", "$1"))
            .toList();
    assertEquals(List.of("still there", "new", "lower"), states, outcome.out());
    // 4,000 + 25 samples of 8 kHz.
    assertTrue(
        outcome.out().lines().anyMatch(l -> l.matches("0:00\\.503 .* gone .*kick .*%")),
        outcome.out());
    assertTrue(outcome.out().contains("\nchanged       kick\n"), outcome.out());
    assertFalse(outcome.out().contains("told"), "no marks are known");
  }

  @Test
  void bothAreHeldAgainstEachOtherInTruePeaksIfAsked() throws IOException {
    Outcome outcome = since("--true-peak", "--json");
    assertEquals(0, outcome.status(), outcome.err());
    JsonNode list = new ObjectMapper().readTree(outcome.out());
    assertEquals("true-peak", list.at("/session/mode").asText());
    // The bed about the hit of 0.9 is the same in both, so nothing fell there.
    JsonNode still = list.at("/since/moments/0");
    assertEquals("still", still.get("state").asText(), list.at("/since").toString());
    assertEquals(list.at("/bus/peakDb"), still.get("levelDb"));
    assertEquals(0, still.get("gotDb").asDouble());
  }

  @Test
  void csvHasTheSameStatesAndTheEarlierMomentsThatAreNoneAnyMore() {
    List<String> lines = since("--csv").out().lines().toList();
    assertTrue(lines.get(0).endsWith(",stems,shares,state,earlierDb,toldDb,gotDb"), lines.get(0));
    assertEquals(5, lines.size());
    int fields = lines.get(0).split(",", -1).length;
    List<String> states = new ArrayList<>();
    for (String line : lines.subList(1, 5)) {
      String[] row = line.split(",", -1);
      assertEquals(fields, row.length, line);
      states.add(row[0] + " " + row[2] + " " + row[fields - 4]);
    }
    assertEquals(List.of("1 20025 still", "2 28025 new", "3 12025 lower", " 4025 gone"), states);
  }

  @Test
  void jsonHasTheFieldsOfTheContract() throws IOException {
    Outcome outcome = since("--json");
    // Data alone on standard output: the stems are named beside it.
    assertEquals("changed: kick", outcome.errLine());
    JsonNode json = new ObjectMapper().readTree(outcome.out());
    assertEquals(-8.0, json.at("/bus/lineDb").asDouble(), 0);
    JsonNode since = json.get("since");
    List<String> names = new ArrayList<>();
    since.fieldNames().forEachRemaining(names::add);
    assertEquals(List.of("shiftFrames", "averagePeakDb", "moments"), names);
    assertEquals(25, since.get("shiftFrames").asInt());
    assertEquals(4, since.get("moments").size());
    List<String> moments = new ArrayList<>();
    for (JsonNode moment : since.get("moments")) {
      names.clear();
      moment.fieldNames().forEachRemaining(names::add);
      assertEquals(List.of("frame", "levelDb", "state", "toldDb", "gotDb"), names);
      assertTrue(moment.get("toldDb").isNull());
      assertEquals(moment.get("state").asText().equals("new"), moment.get("gotDb").isNull());
      moments.add(moment.get("frame").asText() + " " + moment.get("state").asText());
    }
    // Earlier ones by rank in the earlier pass's frames, then the new one in its own.
    assertEquals(List.of("20000 still", "12000 lower", "4000 gone", "28025 new"), moments);
  }

  @Test
  void aPartOfTheSongIsComparedWithTheSamePart() throws IOException {
    JsonNode since =
        new ObjectMapper().readTree(since("--json", "--from", "1", "--to", "3").out()).get("since");
    assertEquals(2, since.get("moments").size());
  }

  @Test
  void theEarlierSessionGivesFadersLineAndWhatItsMarksTold() throws IOException {
    StemSet set = StemFolder.scan(List.of(old), ScanOptions.DEFAULT);
    List<Fader> faders = List.of(Fader.UNITY.withGainDb(-6), Fader.UNITY);
    SavedSession plain =
        SavedSession.of(".", RATE, StemRef.of(set), faders, Preferences.DEFAULT)
            .withSettings(
                new SavedSettings(
                    Settings.DEFAULT.withLine(new Line.Level(-8)),
                    Optional.empty(),
                    0,
                    Unknown.NONE));
    // From 0.6 to 0.45 are 2.5 dB: the desk did as it was told.
    Mark mark = Mark.of(12_000, new Trim(1, 11_900, 12_100, 25));
    SavedSession marked =
        plain.withMarks(new Marks(List.of(mark)), Set.of(), plain.match(StemRef.of(set)));
    SessionFile.write(old.resolve(SessionFile.NAME), marked, set.inputs());

    Outcome outcome =
        TestConsole.run("list", fresh.toString(), "--since", old.toString(), "--json");
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.err().contains("those of the session in "), outcome.err());
    JsonNode json = new ObjectMapper().readTree(outcome.out());
    assertEquals(-8.0, json.at("/bus/lineDb").asDouble(), 1e-4);
    assertEquals(-6.0, json.at("/session/stems/0/gainDb").asDouble());
    List<String> told = new ArrayList<>();
    for (JsonNode moment : json.at("/since/moments")) {
      told.add(moment.get("frame") + " " + moment.get("toldDb"));
      if (moment.get("frame").asInt() == 12_000) {
        double toldDb = moment.get("toldDb").asDouble();
        assertTrue(toldDb > 2 && toldDb < 3, "toldDb=" + toldDb);
        // 10^(-2.5 / 20) is 0.7499, not 0.75.
        assertEquals(toldDb, moment.get("gotDb").asDouble(), 0.01);
      }
    }
    assertEquals(List.of("20000 0.0", "4000 0.0"), List.of(told.get(0), told.get(2)));

    Outcome table = TestConsole.run("list", fresh.toString(), "--since", old.toString());
    // The hit at 4,000 went without a mark.
    assertTrue(table.out().contains("\nchanged       where nothing was marked: kick\n"));
    assertTrue(table.out().contains("more than 0.3 dB apart at 1 moment:"), table.out());
  }

  @Test
  void fadersOfStemsThatWereNotThereYetAreNoErrorOfTheEarlierOnes() throws IOException {
    wave(fresh.resolve("whistle.wav"), RATE, new double[] {0.01, 0.02});
    Outcome outcome = since("--gain", "whistle=-6");
    assertEquals(0, outcome.status(), outcome.err());
    assertTrue(outcome.out().contains("\nadded         whistle\n"), outcome.out());
    assertEquals(2, since("--gain", "triangle=-6").status());
  }

  private static void refused(int status, Outcome outcome, String... mustSay) {
    assertEquals(status, outcome.status(), outcome.err());
    assertEquals("", outcome.out());
    for (String part : mustSay) {
      assertTrue(outcome.errLine().contains(part), "must say " + part + ": " + outcome.err());
    }
  }

  private Outcome against(Path folder) {
    return TestConsole.run("list", fresh.toString(), "--since", folder.toString());
  }

  @Test
  void aFolderThatIsNotThereOrNoFolder() throws IOException {
    refused(2, against(temp.resolve("none")), "--since", "none is not there");
    refused(2, against(old.resolve("kick.wav")), "kick.wav is no folder");
    refused(2, TestConsole.run("list", fresh.toString(), "--since", ""), "is not there");
    Path empty = Files.createDirectory(temp.resolve("empty"));
    refused(1, against(empty), "empty", "holds no stems");
  }

  @Test
  void theStemsThemselvesOrAFolderInsideThem() throws IOException {
    refused(2, against(fresh), "names the stems themselves");
    song(fresh.resolve("before"), 1, 0, Map.of(4_000, 0.5));
    refused(2, against(fresh.resolve("before")), "lies inside", "move it out");
    refused(2, against(temp), "lies inside", "move it out");
  }

  @Test
  void anotherRate() throws IOException {
    Path other = temp.resolve("other");
    wave(other.resolve("kick.wav"), 44_100, new double[] {0.5, 0.6});
    refused(1, against(other), "44100 Hz", "8000 Hz", "export these at 44100 Hz");
  }

  @Test
  void anotherSong() throws IOException {
    Path other = temp.resolve("other");
    song(other, 2, 0, Map.of(1_000, 0.5, 9_000, 0.6));
    refused(1, against(other), "another song", "name an earlier export");
  }

  @Test
  void silentEarlierStems() throws IOException {
    Path other = temp.resolve("other");
    wave(other.resolve("kick.wav"), RATE, new double[FRAMES]);
    refused(1, against(other), "earlier stems", "silent");
  }

  @Test
  void aLineThatMovesCannotBeHeld() {
    refused(
        2,
        TestConsole.run("list", fresh.toString(), "--since", old.toString(), "--baseline", "local"),
        "leave out --baseline local");
    assertEquals(0, since("--baseline", "local").status(), "a given line does not move");
  }
}
