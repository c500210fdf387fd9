package cairn.tui.effect;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.fix.Trim;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.io.files.XdgFolders;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Song;
import cairn.tui.outside.SmallSong;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Effects on real stems, and what of them is there again at the next opening. */
class EffectRunnerTest {

  private static final Goal GOAL = new Goal(-9, -1, PeakMode.SAMPLE_PEAK, 2, Goal.Part.LOUD);

  @TempDir private Path scratch;

  /** A command line that names stems and, it may be, a goal. */
  private static final class Asked extends AskedStems {
    private final Optional<Goal> goal;
    private final XdgFolders folders;

    Asked(Path stems, Optional<Goal> goal, XdgFolders folders) {
      super(stems);
      this.goal = goal;
      this.folders = folders;
    }

    @Override
    public XdgFolders folders() {
      return folders;
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
    public int threads() {
      return 2;
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
      first.answer(new Effect.Save(1, kept(read), true), Event.Saved.class);
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
  void aFileThatIsThereIsReplacedOnlyWhereThatIsAskedForInTheField() throws Exception {
    try (Opening opening = new Opening(stems("cues", Optional.empty()))) {
      Event.SongRead read = opening.read();
      Kept kept = kept(read);
      Moment moment = read.song().pass().moments().get(0);
      Trim trim = new Trim(0, moment.firstOver(), moment.lastOver() + 1, 10);
      Kept marked =
          new Kept(
              new Marks(List.of(new Mark.OfFix(moment.peakFrame(), trim, Optional.empty()))),
              Set.of(),
              Map.of(),
              Set.of(),
              kept.faders(),
              kept.sections(),
              kept.settings(),
              kept.order(),
              kept.selectedFrame(),
              kept.used());
      Path target = Path.of("cues.csv");
      opening.answer(new Effect.WriteCues("csv", target, false, marked), Event.Written.class);
      Event.Failed failed =
          opening.answer(new Effect.WriteCues("csv", target, false, marked), Event.Failed.class);
      assertTrue(
          failed
              .why()
              .endsWith(
                  "cues.csv' is already there; name another, or replace it with ! before its name"),
          failed.why());
      opening.answer(new Effect.WriteCues("csv", target, true, marked), Event.Written.class);
    }
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
  void aStemSetEarlierThanItsFirstSoundIsWarnedOf() throws Exception {
    try (Opening opening = new Opening(stems("six", Optional.empty()))) {
      List<Fader> faders = new ArrayList<>(opening.read().song().pass().session().faders());
      assertEquals(List.of(), opening.notes);
      faders.set(1, faders.get(1).withOffset(-2 * 48_000));
      Event.Noted noted =
          opening.answer(new Effect.Analyse(faders, Optional.empty()), Event.Noted.class);
      assertEquals(1, noted.lines().size());
      assertTrue(
          noted.lines().get(0).matches("warning: '.+' is set 2000\\.00 ms earlier: .+ lost; .+"),
          noted.lines().get(0));
    }
  }

  @Test
  void aLeastFixIsInPlaceOfTheStemsMarkNotOnTopOfIt() throws Exception {
    try (Opening opening = new Opening(stems("seven", Optional.empty()))) {
      long frame = opening.read().song().pass().moments().get(0).peakFrame();
      MomentNow plain = look(opening, frame, Marks.NONE);
      int k = plain.pile().contributions().get(0).stem();
      Trim least = (Trim) plain.fixes().get(k).trim().orElseThrow().fix();
      Trim half =
          new Trim(k, least.startFrame(), least.endFrame(), Math.max(1, least.tenthsDb() / 2));
      Marks marks = new Marks(List.of(new Mark.OfFix(frame, half, Optional.empty())));
      MomentNow marked = look(opening, frame, marks);
      assertTrue(marked.pile().over(), "half of the least does not clear it");
      assertEquals(plain.fixes().get(k), marked.fixes().get(k));
    }
  }

  private static MomentNow look(Opening opening, long frame, Marks marks) throws Exception {
    return opening
        .answer(
            new Effect.ReckonMoment(marks, List.of(frame), true, Set.of()),
            Event.MomentReckoned.class)
        .moment();
  }

  @Test
  void aStemIsAsLoudAsTheBusWithNothingElseOnIt() throws Exception {
    try (Opening opening = new Opening(stems("eight", Optional.empty()))) {
      Pass pass = opening.read().song().pass();
      Event.StemsMetered metered =
          opening.answer(new Effect.MeterStems(), Event.StemsMetered.class);
      assertEquals(pass, metered.pass());
      LoudnessSummary found = metered.loudness().found().orElseThrow();
      assertEquals(pass.session().stems().size(), found.stems());
      for (int k = 0; k < found.stems(); k++) {
        List<Fader> solo = new ArrayList<>(pass.session().faders());
        solo.set(k, solo.get(k).withSoloed(true));
        Pass alone =
            opening
                .answer(new Effect.Analyse(solo, Optional.empty()), Event.SongRead.class)
                .song()
                .pass();
        assertEquals(
            Loudness.of(alone.loudness().orElseThrow().bus()).integratedLufs().orElseThrow(),
            Loudness.of(found.stem(k)).integratedLufs().orElseThrow(),
            1e-9);
      }
    }
  }

  @Test
  void settingsOfWholeStemsAreTriedAside() throws Exception {
    try (Opening opening = new Opening(stems("five", Optional.empty()))) {
      opening.read();
      Event.SettingsTried tried =
          opening.answer(new Effect.TrySettings(Set.of(0)), Event.SettingsTried.class);
      assertTrue(tried.settings().isThere());
      assertEquals("", tried.settings().failure());
      assertTrue(tried.settings().moves().stream().allMatch(move -> move.setting().stem() > 0));
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
