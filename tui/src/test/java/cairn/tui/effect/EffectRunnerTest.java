package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.loudness.Goal;
import cairn.collisions.time.TempoMap;
import cairn.io.files.XdgFolders;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import cairn.io.stems.Survey;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.Song;
import cairn.tui.outside.SmallSong;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Effects on real stems, and what of them is there again at the next opening. */
class EffectRunnerTest {

  private static final Goal GOAL = new Goal(-9, -1, PeakMode.SAMPLE_PEAK, 2, Goal.Part.LOUD);

  @TempDir private Path scratch;

  /** A command line that names stems and, it may be, a goal. */
  private record Asked(Path stems, Optional<Goal> goal, XdgFolders folders) implements Stems {
    @Override
    public StemSet scan() throws IOException {
      return StemFolder.scan(List.of(stems), ScanOptions.DEFAULT);
    }

    @Override
    public Survey survey() throws IOException {
      return StemFolder.survey(List.of(stems), ScanOptions.DEFAULT);
    }

    @Override
    public Session session(StemSet set) {
      return set.toSession();
    }

    @Override
    public Optional<PeakMode> mode() {
      return Optional.empty();
    }

    @Override
    public Settings settings(Session session, PeakMode unlessAsked) {
      return goal.map(g -> Settings.DEFAULT.withGoal(g, true)).orElse(Settings.DEFAULT);
    }

    @Override
    public boolean asksForSettings() {
      return goal.isPresent();
    }

    @Override
    public boolean namesGoal() {
      return goal.isPresent();
    }

    @Override
    public boolean asksForFaders() {
      return false;
    }

    @Override
    public Optional<TempoMap> tempo() {
      return Optional.empty();
    }

    @Override
    public Optional<Path> sessionFile() {
      return Optional.empty();
    }

    @Override
    public int threads() {
      return 2;
    }
  }

  /** One opening of the stems; events are taken in the order in which they come. */
  private static final class Opening implements AutoCloseable {
    private final BlockingQueue<Event> events = new LinkedBlockingQueue<>();
    private final EffectRunner runner;
    private final List<String> notes = new ArrayList<>();

    Opening(Stems stems) throws IOException {
      runner = new EffectRunner(stems, events::add);
      runner.open();
    }

    /** Begins an effect and waits for its answer. */
    <E extends Event> E answer(Effect effect, Class<E> kind) throws InterruptedException {
      runner.begin(effect);
      while (true) {
        Event event = events.poll(30, TimeUnit.SECONDS);
        if (event instanceof Event.Noted noted) {
          notes.addAll(noted.lines());
        }
        assertFalse(event == null || event instanceof Event.Failed, String.valueOf(event));
        if (kind.isInstance(event)) {
          return kind.cast(event);
        }
      }
    }

    Event.SongRead read() throws InterruptedException {
      return answer(new Effect.Analyse(List.of(), Optional.empty()), Event.SongRead.class);
    }

    @Override
    public void close() throws IOException {
      runner.close();
    }
  }

  private Stems stems(String name, Optional<Goal> goal) throws IOException {
    return new Asked(
        SmallSong.write(scratch.resolve(name)),
        goal,
        XdgFolders.of(Map.of("HOME", scratch.resolve("home").toString()), ""));
  }

  @Test
  void aGoalIsKeptWithTheSessionAndIsTheNextSessionsDefault() throws Exception {
    Settings drawn;
    try (Opening first = new Opening(stems("one", Optional.of(GOAL)))) {
      Event.SongRead read = first.read();
      drawn = read.song().pass().settings();
      assertEquals(Optional.of(GOAL), drawn.goal());
      first.answer(new Effect.Save(1, kept(read)), Event.Saved.class);
      assertTrue(
          first.notes.get(0).startsWith("goal -9.0 LUFS, limiter at -1.0 dBFS, may take 2.0 dB:"),
          first.notes.toString());
    }
    assertTrue(Files.isRegularFile(scratch.resolve("home/.config/cairn/defaults.json")));

    try (Opening again = new Opening(stems("one", Optional.empty()))) {
      Song song = again.read().song();
      assertEquals(drawn, song.pass().settings());
      assertTrue(song.pass().settings().goalDrawsLine());
      assertEquals(List.of(), again.notes);
    }
    try (Opening other = new Opening(stems("two", Optional.empty()))) {
      assertEquals(Optional.of(GOAL), other.read().song().pass().settings().goal());
      assertEquals(
          "goal -9.0 LUFS, limiter at -1.0 dBFS, may take 2.0 dB: as in the last session;"
              + " L, then e, sets another",
          other.notes.get(0));
    }
  }

  private static Kept kept(Event.SongRead read) {
    Kept kept = read.kept().orElseThrow();
    return new Kept(
        kept.marks(),
        kept.done(),
        kept.notes(),
        kept.leftAlone(),
        kept.faders(),
        kept.sections(),
        read.song().pass().settings(),
        kept.order(),
        kept.selectedFrame(),
        kept.used());
  }

  @Test
  void theCheckReadsTheStemsAside() throws Exception {
    Stems stems = stems("three", Optional.empty());
    Files.writeString(scratch.resolve("three/notes.txt"), "bring the big drum");
    try (Opening opening = new Opening(stems)) {
      opening.read();
      Event.Checked checked = opening.answer(new Effect.CheckStems(), Event.Checked.class);
      assertEquals(1, checked.findings().size());
      assertEquals("'notes.txt' is not summed: not a stem", checked.findings().get(0).what());
      assertEquals(opening.notes, checked.notes());
    }
  }

  @Test
  void theSpectrumOfTheBusIsMeasured() throws Exception {
    try (Opening opening = new Opening(stems("four", Optional.empty()))) {
      opening.read();
      Event.SpectraMeasured measured =
          opening.answer(new Effect.MeasureSpectra(), Event.SpectraMeasured.class);
      assertTrue(measured.spectra().bus().orElseThrow().integratedLufs().isPresent());
      assertEquals("", measured.spectra().name());
    }
  }
}
