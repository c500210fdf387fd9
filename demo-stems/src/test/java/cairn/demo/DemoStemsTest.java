package cairn.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.signal.Crew;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DemoStemsTest {

  @TempDir static Path written;
  @TempDir Path other;

  private static DemoSong song;
  private static StemSet set;

  /** Writes the song once, over two files of an earlier demo, beside a session. */
  @BeforeAll
  static void writeOnce() throws IOException {
    Files.createDirectories(written.resolve("drums"));
    Files.writeString(written.resolve("drums/caixa.wav"), "an earlier one");
    Files.writeString(written.resolve(DemoStems.TRUTH), "an earlier one");
    Files.writeString(written.resolve("cairn-session.json"), "{}");
    song = DemoStems.write(written, DemoSong.DEFAULT_SEED, /* force= */ true);
    set = StemFolder.scan(List.of(written), ScanOptions.DEFAULT);
  }

  @Test
  void theFolderHoldsTheStemsTheTruthAndWhatWasThere() throws IOException {
    TreeSet<String> expected = new TreeSet<>(List.of(DemoStems.TRUTH, "cairn-session.json"));
    song.stems().forEach(stem -> expected.add(stem.path()));
    TreeSet<String> found = new TreeSet<>();
    try (Stream<Path> files = Files.walk(written)) {
      files
          .filter(Files::isRegularFile)
          .forEach(file -> found.add(written.relativize(file).toString().replace('\\', '/')));
    }
    assertEquals(expected, found);
    assertEquals("{}", Files.readString(written.resolve("cairn-session.json")));
  }

  @Test
  void theFolderIsReadAsTheSongInStemOrderAndOnlyTheTruthIsSkipped() {
    assertEquals(48_000, set.toSession().sampleRateHz());
    assertEquals(song.stems().size(), set.toSession().stems().size());
    for (int k = 0; k < song.stems().size(); k++) {
      assertEquals(song.stems().get(k).name(), set.toSession().stems().get(k).name());
      assertEquals(song.stems().get(k).channels(), set.toSession().stems().get(k).channels());
      assertEquals(song.frames(), set.toSession().stems().get(k).frames());
    }
    assertTrue(set.skippedLine().orElseThrow().contains(DemoStems.TRUTH));
  }

  @Test
  void eachFormatGivesBackTheRenderedSamples() throws IOException {
    try (StemFiles files = set.open();
        StemReader reader = files.openReader()) {
      for (String name : List.of("agogo", "brass low", "caixa")) {
        int k = song.stems().stream().map(DemoStem::name).toList().indexOf(name);
        double[][] rendered = song.stems().get(k).render();
        double[][] read = new double[rendered.length][song.frames()];
        reader.read(k, 0, song.frames(), read, 0);
        for (int c = 0; c < rendered.length; c++) {
          assertArrayEquals(rendered[c], read[c], 0, name);
        }
      }
    }
  }

  @Test
  void theAnalysisListsEveryPlantedMomentWithItsStems() throws Exception {
    Pass pass;
    try (StemFiles files = set.open()) {
      pass = new Analysis(set.toSession(), files, Crew.ALONE, Progress.NONE).run(Settings.DEFAULT);
    }
    Map<Long, Moment> listed = new HashMap<>();
    for (Moment moment : pass.moments()) {
      listed.put(moment.peakFrame(), moment);
    }
    for (PlantedMoment planted : song.planted()) {
      Moment moment = listed.remove((long) planted.frame());
      assertTrue(moment != null, planted.toString());
      List<String> stems =
          moment.makingUp().stream()
              .map(contribution -> set.toSession().stems().get(contribution.stem()).name())
              .toList();
      assertEquals(planted.stems(), stems, planted.toString());
      assertEquals(planted.channel(), moment.channel(), planted.toString());
      assertEquals(planted.isLong(), moment.isLong(), planted.toString());
      assertEquals(planted.excessDb(), moment.excessDb(), 1e-9, planted.toString());
    }
    assertTrue(3 * listed.size() < pass.moments().size(), listed.size() + " not planted");
  }

  @Test
  void theTruthHasARowForEachPlantedMoment() throws IOException {
    List<String> rows =
        List.of(
            Files.readString(written.resolve(DemoStems.TRUTH), StandardCharsets.UTF_8)
                .split("\r\n"));
    assertEquals(
        "frame,seconds,bar,beat,part,stems,levelDb,excessDb,channel,long,figure,text", rows.get(0));
    assertEquals(song.planted().size(), rows.size() - 1);
    for (int i = 1; i < rows.size(); i++) {
      PlantedMoment planted = song.planted().get(i - 1);
      assertTrue(rows.get(i).startsWith(planted.frame() + ","), rows.get(i));
      assertTrue(rows.get(i).contains("\"" + String.join("; ", planted.stems()) + "\""));
    }
  }

  @Test
  void anEarlierDemoIsReplacedOnlyByForce() throws IOException {
    Files.writeString(other.resolve(DemoStems.TRUTH), "an earlier one");
    String message = refusal(other, /* force= */ false);
    assertEquals(
        "'" + other + "' holds a demo already; name another, or replace it with --force", message);
    assertEquals("an earlier one", Files.readString(other.resolve(DemoStems.TRUTH)));
  }

  @Test
  void aFolderWithSomethingElseInItIsRefusedEvenWithForce() throws IOException {
    Files.createDirectories(other.resolve("drums"));
    Files.writeString(other.resolve("drums/my own take.wav"), "mine");
    String message = refusal(other, /* force= */ true);
    assertEquals(
        "'"
            + other
            + "' holds '"
            + Path.of("drums", "my own take.wav")
            + "', which is not of a demo; name a new or an empty folder",
        message);
    assertFalse(Files.exists(other.resolve("drums/caixa.wav")));
  }

  @Test
  void aLinkInPlaceOfAStemIsRefused() throws IOException {
    Path precious =
        Files.writeString(written.resolveSibling(other.getFileName() + ".precious"), "mine");
    Files.createDirectories(other.resolve("drums"));
    Files.createSymbolicLink(other.resolve("drums/caixa.wav"), precious);
    assertTrue(refusal(other, /* force= */ true).contains("which is not of a demo"));
    assertEquals("mine", Files.readString(precious));
    Files.delete(precious);
  }

  @Test
  void aFileInPlaceOfTheFolderIsRefused() throws IOException {
    Path file = Files.writeString(other.resolve("parade"), "mine");
    assertEquals(
        "'" + file + "' is no folder; name a new or an empty one",
        refusal(file, /* force= */ true));
  }

  private static String refusal(Path folder, boolean force) {
    return assertThrows(
            DemoStems.Refused.class, () -> DemoStems.write(folder, DemoSong.DEFAULT_SEED, force))
        .getMessage();
  }
}
