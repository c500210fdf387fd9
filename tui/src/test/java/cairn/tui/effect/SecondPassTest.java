package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PassComparison.State;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.model.Earlier;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.Song;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Stems that are exported again begin a second pass. Six seconds of two stems at 8 kHz: a bed of
 * 0.2 and strokes of 0.6, 0.5 and 0.45 in the second to fourth second, so that A, the mean of all
 * windows that pass the gate, is far under the strokes and the line, 0.32, too.
 */
class SecondPassTest {

  private static final int RATE = 8_000;
  private static final long[] STROKES = {10_000, 18_000, 26_000};
  private static final Line LINE = new Line.Held(0.32);

  @TempDir private Path folder;

  private void write(Path where, int shift, double... strokes) throws IOException {
    Files.createDirectories(where);
    double[] bed = new double[6 * RATE];
    double[] caixa = new double[6 * RATE];
    for (int n = 0; n < bed.length; n++) {
      // No two windows are the same, so that a shift can be told.
      double size = 0.1 + 0.02 * Math.sin(0.0007 * (n - shift));
      bed[n] = size * Math.sin(0.3 * (n - shift)) * Math.sin(0.0011 * (n - shift));
    }
    for (int i = 0; i < strokes.length; i++) {
      caixa[(int) STROKES[i] + shift] = strokes[i];
    }
    write(where.resolve("bed.wav"), bed);
    write(where.resolve("caixa.wav"), caixa);
  }

  private static void write(Path file, double[] x) throws IOException {
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_64_LITTLE, RATE, 1, x.length).writeTo(out)) {
      writer.write(new double[][] {x}, 0, x.length);
    }
  }

  private static Opening open(Path stems, Optional<Path> since) throws IOException {
    return new Opening(
        new AskedStems(stems) {
          @Override
          public Optional<Path> since() {
            return since;
          }

          @Override
          public Settings settings(Session session, PeakMode unlessAsked) {
            return Settings.DEFAULT.withLine(LINE);
          }
        });
  }

  /** A first pass, in which the highest stroke is trimmed by 6 dB and the third called fine. */
  private void firstPass(Path stems) throws Exception {
    write(stems, 0, 0.6, 0.5, 0.45);
    try (Opening opening = open(stems, Optional.empty())) {
      Event.SongRead read = opening.read();
      assertEquals(1, read.song().passNumber());
      assertEquals(3, read.song().pass().moments().size());
      Kept kept = read.kept().orElseThrow();
      Marks marks =
          Marks.NONE
              .add(Mark.of(STROKES[0], new Trim(1, STROKES[0] - 40, STROKES[0] + 40, 60)))
              .add(Mark.fine(STROKES[2]));
      opening.answer(new Effect.ReckonBus(marks), Event.BusReckoned.class);
      opening.answer(
          new Effect.Save(
              1,
              new Kept(
                  marks,
                  kept.done(),
                  Map.of(STROKES[1], "the drummer leaned in"),
                  kept.leftAlone(),
                  kept.faders(),
                  kept.sections(),
                  kept.settings(),
                  kept.order(),
                  STROKES[1],
                  kept.used()),
              true),
          Event.Saved.class);
    }
  }

  private static State stateAt(Song song, long frame) {
    return song.earlier()
        .orElseThrow()
        .compared()
        .at(frame)
        .get(0)
        .map(PassComparison.Fate::state)
        .orElse(State.NEW);
  }

  @Test
  void theSameStemsStayTheFirstPass() throws Exception {
    firstPass(folder);
    try (Opening opening = open(folder, Optional.empty())) {
      Event.SongRead again = opening.read();
      assertEquals(1, again.song().passNumber());
      assertTrue(again.song().earlier().isEmpty());
      assertEquals(2, again.kept().orElseThrow().marks().list().size());
    }
  }

  @Test
  void stemsExportedOverTheOldOnesAreTheSecondPassAndStayIt() throws Exception {
    firstPass(folder);
    write(folder, 0, 0.3, 0.4, 0.45);
    for (int time = 0; time < 2; time++) {
      try (Opening opening = open(folder, Optional.empty())) {
        Event.SongRead read = opening.read();
        Song song = read.song();
        assertEquals(2, song.passNumber());
        assertEquals(0.32, song.pass().line().level(0), "the line is held, to the bit");
        assertEquals(State.GONE, stateAt(song, STROKES[0]));
        assertEquals(State.LOWER, stateAt(song, STROKES[1]));
        assertEquals(State.STILL, stateAt(song, STROKES[2]));
        Earlier earlier = song.earlier().orElseThrow();
        PassComparison.Fate gone = earlier.fate(STROKES[0]).orElseThrow();
        // The trim was of 6 dB; halving the stroke, bed aside, is 6.02.
        assertEquals(6.0, gone.toldDb().orElseThrow(), 0.7);
        assertEquals(6.02, gone.gotDb(), 0.7);
        assertEquals(
            List.of(STROKES[0]),
            earlier.gone().stream().map(moment -> moment.peakFrame()).toList());
        assertEquals("caixa", earlier.fixes().get(0).stem());
        Kept kept = read.kept().orElseThrow();
        assertEquals(List.of(STROKES[2]), kept.marks().fineFrames());
        assertEquals(List.of(), kept.marks().fixes());
        assertEquals("the drummer leaned in", kept.notes().get(STROKES[1]));
        assertEquals(
            List.of("caixa"),
            earlier.compared().stems().changed(),
            "the second stroke changed where nothing was marked");
        opening.answer(new Effect.Save(1, kept, true), Event.Saved.class);
      }
    }
  }

  /** Saves the same with other sections, settings and another moment. */
  private static void save(
      Opening opening, Kept kept, List<Song.Section> sections, Settings settings, long moment)
      throws Exception {
    opening.answer(
        new Effect.Save(
            1,
            new Kept(
                kept.marks(),
                kept.done(),
                kept.notes(),
                kept.leftAlone(),
                kept.faders(),
                sections,
                settings,
                kept.order(),
                moment,
                kept.used()),
            true),
        Event.Saved.class);
  }

  @Test
  void aLineThatWasMovedInASecondPassStaysMoved() throws Exception {
    firstPass(folder);
    write(folder, 0, 0.3, 0.4, 0.45);
    try (Opening opening = open(folder, Optional.empty())) {
      Event.SongRead read = opening.read();
      Settings moved = read.song().pass().settings().withLine(new Line.Level(-8));
      opening.answer(new Effect.Analyse(List.of(), Optional.of(moved)), Event.SongRead.class);
      Kept kept = read.kept().orElseThrow();
      save(opening, kept, kept.sections(), moved, -1);
    }
    try (Opening opening = open(folder, Optional.empty())) {
      Song song = opening.read().song();
      assertEquals(new Line.Level(-8), song.pass().line().line());
      assertEquals(
          0.32,
          song.earlier().orElseThrow().compared().earlier().lineLevel(),
          "passes are compared at the line of the earlier one");
    }
  }

  @Test
  void aSessionGoesOnInAnotherFolderMovedAlongWithTheStems() throws Exception {
    Path first = folder.resolve("first");
    Path second = folder.resolve("second");
    firstPass(first);
    byte[] before = Files.readAllBytes(first.resolve("cairn-session.json"));
    write(second, 100, 0.3, 0.5, 0.45);
    try (Opening opening = open(second, Optional.of(first))) {
      Event.SongRead read = opening.read();
      Earlier earlier = read.song().earlier().orElseThrow();
      assertEquals(2, read.song().passNumber());
      assertEquals(100, earlier.compared().shiftFrames());
      assertEquals(State.GONE, stateAt(read.song(), STROKES[0] + 100));
      assertEquals(State.STILL, stateAt(read.song(), STROKES[1] + 100));
      Kept kept = read.kept().orElseThrow();
      assertEquals(List.of(STROKES[2] + 100), kept.marks().fineFrames());
      assertEquals(Map.of(STROKES[1] + 100, "the drummer leaned in"), kept.notes());
      assertEquals(STROKES[0] + 100, earlier.fixes().get(0).mark().momentFrame());
    }
    assertEquals(
        new String(before, java.nio.charset.StandardCharsets.UTF_8),
        Files.readString(first.resolve("cairn-session.json")),
        "the earlier session stays as it is");
  }

  @Test
  void theRangeAndTheSectionThatWereAskedForMoveAlongWithTheStems() throws Exception {
    Path first = folder.resolve("first");
    Path second = folder.resolve("second");
    write(first, 0, 0.6, 0.5, 0.45);
    TimeRange range = new TimeRange(200, STROKES[2] + 2_000);
    TimeRange section = new TimeRange(1_000, STROKES[2]);
    try (Opening opening = open(first, Optional.empty())) {
      Event.SongRead read = opening.read();
      Song again =
          opening
              .answer(
                  new Effect.Analyse(
                      List.of(),
                      Optional.of(
                          read.song().pass().settings().withRange(range).withSection(section))),
                  Event.SongRead.class)
              .song();
      save(
          opening,
          read.kept().orElseThrow(),
          List.of(new Song.Section("drop", 3_000, 9_000)),
          again.pass().settings(),
          STROKES[1]);
    }
    write(second, 100, 0.3, 0.5, 0.45);
    try (Opening opening = open(second, Optional.of(first))) {
      Event.SongRead read = opening.read();
      Settings asked = read.song().pass().settings();
      assertEquals(100, read.song().earlier().orElseThrow().compared().shiftFrames());
      assertEquals(Optional.of(new TimeRange(300, STROKES[2] + 2_100)), asked.range());
      assertEquals(Optional.of(new TimeRange(1_100, STROKES[2] + 100)), asked.section());
      assertEquals(
          List.of(new Song.Section("drop", 3_100, 9_100)), read.kept().orElseThrow().sections());
      assertEquals(State.STILL, stateAt(read.song(), STROKES[1] + 100));
    }
  }

  @Test
  void anEarlierExportWithoutASessionIsReadForIt() throws Exception {
    Path first = folder.resolve("first");
    Path second = folder.resolve("second");
    write(first, 0, 0.6, 0.5, 0.45);
    write(second, 0, 0.6, 0.15, 0.45);
    try (Opening opening = open(second, Optional.of(first))) {
      Song song = opening.read().song();
      assertEquals(2, song.passNumber());
      assertEquals(State.GONE, stateAt(song, STROKES[1]));
      assertTrue(
          song.earlier().orElseThrow().fate(STROKES[0]).orElseThrow().toldDb().isEmpty(),
          "nothing was marked, so nothing was told");
    }
    assertEquals(
        List.of("bed.wav", "caixa.wav"), names(first), "nothing is written beside earlier stems");
  }

  private static List<String> names(Path where) throws IOException {
    List<String> names = new ArrayList<>();
    try (var all = Files.list(where)) {
      all.map(file -> file.getFileName().toString()).sorted().forEach(names::add);
    }
    return names;
  }
}
