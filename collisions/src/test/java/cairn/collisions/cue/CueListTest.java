package cairn.collisions.cue;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Yokes;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.time.TempoMap;
import cairn.collisions.time.TimeNotation;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.junit.jupiter.api.Test;

class CueListTest {

  private static final int RATE = 48_000;
  private static final int FRAMES = 3 * RATE;

  /** Two clicks that meet at sample 0 and at the last one, and a lone one between. */
  private static ArrayStems stems() {
    return new ArrayStems(RATE)
        .mono("caixa", FRAMES, n -> n == 0 || n == FRAMES - 1 ? 0.5 : n == RATE ? 0.8 : 0.01)
        .mono("03 surdo", FRAMES, n -> n == 0 ? 0.45 : n == FRAMES - 1 ? 0.4 : 0);
  }

  private static Pass pass() {
    return stems().analyse(Settings.DEFAULT.withLine(new Line.Level(-6)));
  }

  private static final Mark LATER = Mark.of(0, new Nudge(1, -30, 240, 29));
  private static final Mark TRIM = Mark.of(RATE, new Trim(0, RATE - 5, RATE + 5, 12));
  private static final Mark CLIP =
      Mark.of(FRAMES - 1, new Clip(0, FRAMES - 1, FRAMES, -106)).withNote("only the \"stick\"");

  @Test
  void eachMarkIsACueOnTheMomentsOwnFrame() {
    Pass pass = pass();
    List<Long> listed = pass.moments().stream().map(Moment::peakFrame).sorted().toList();
    assertEquals(List.of(0L, (long) RATE, FRAMES - 1L), listed);

    CueList list =
        CueList.of(pass, new Marks(List.of(CLIP, TRIM, LATER)), TimeNotation.CLOCK, Set.of(TRIM));

    assertEquals(listed, list.cues().stream().map(Cue::frame).toList());
    // Sums 0.95 at 0, 0.8 at 48000 and 0.9 at the end: ranks 1, 3 and 2.
    assertEquals(
        List.of(OptionalInt.of(1), OptionalInt.of(3), OptionalInt.of(2)),
        list.cues().stream().map(Cue::rank).toList());
    assertEquals(
        List.of("0:00.000", "0:01.000", "0:03.000"), list.cues().stream().map(Cue::time).toList());
    assertEquals(
        List.of(
            "03 surdo: 0.6 ms later (29 samples)",
            "caixa: trim 1.2 dB",
            "caixa: clip at -10.6 dBFS"),
        list.cues().stream().map(Cue::text).toList());
    assertEquals(List.of(false, true, false), list.cues().stream().map(Cue::done).toList());
    assertEquals(Optional.of("only the \"stick\""), list.cues().get(2).note());
    assertEquals(
        List.of(LATER, TRIM, CLIP).stream().map(m -> ((Mark.OfFix) m).fix()).toList(),
        list.cues().stream().map(cue -> cue.fix().orElseThrow()).toList());
  }

  @Test
  void everyStemOfAYokeHasItsCueAndAClipStaysOnItsOwn() {
    ArrayStems stems = stems();
    Pass pass =
        stems.analyse(
            stems.session().withYokes(Yokes.of(List.of(List.of(0, 1)))),
            Settings.DEFAULT.withLine(new Line.Level(-6)));
    CueList list = CueList.of(pass, new Marks(List.of(CLIP, TRIM, LATER)), TimeNotation.CLOCK);
    assertEquals(
        List.of(
            "caixa: 0.6 ms later (29 samples)",
            "03 surdo: 0.6 ms later (29 samples)",
            "caixa: trim 1.2 dB",
            "03 surdo: trim 1.2 dB",
            "caixa: clip at -10.6 dBFS"),
        list.cues().stream().map(Cue::text).toList());
  }

  @Test
  void regionsAreCutToTheSession() {
    CueList list = CueList.of(pass(), new Marks(List.of(LATER, CLIP)), TimeNotation.CLOCK);
    assertEquals(0, list.cues().get(0).fromFrame());
    assertEquals(240, list.cues().get(0).endFrame());
    assertEquals(FRAMES - 1, list.cues().get(1).fromFrame());
    assertEquals(FRAMES, list.cues().get(1).endFrame());
  }

  @Test
  void excessIsThatOfTheMoment() {
    Pass pass = pass();
    CueList list = CueList.of(pass, new Marks(List.of(LATER)), TimeNotation.CLOCK);
    assertEquals(pass.moments().get(0).excessDb(), list.cues().get(0).excessDb().orElseThrow(), 0);
  }

  @Test
  void allAddsMomentsWithoutAMarkAndThoseCalledFine() {
    CueList list =
        CueList.ofAll(
            pass(),
            new Marks(List.of(LATER, Mark.fine(RATE).withNote("it is the accent"))),
            TimeNotation.CLOCK,
            Set.of());
    assertEquals(
        List.of("03 surdo: 0.6 ms later (29 samples)", "caixa: fine as it is"),
        list.cues().stream().limit(2).map(Cue::text).toList());
    assertTrue(
        list.cues().get(2).text().startsWith("caixa, 03 surdo: collision, "),
        list.cues().get(2).text());
    assertEquals(Optional.empty(), list.cues().get(2).fix());
    assertEquals(0, list.cues().get(2).stem());
  }

  @Test
  void momentsCalledFineAreNoWork() {
    assertTrue(
        CueList.of(pass(), new Marks(List.of(Mark.fine(RATE))), TimeNotation.CLOCK).isEmpty());
  }

  @Test
  void listsCanBeNarrowed() {
    CueList list =
        CueList.of(
            pass(), new Marks(List.of(LATER, TRIM, CLIP)), TimeNotation.CLOCK, Set.of(LATER));
    assertEquals(List.of(0, 1), list.stems());
    assertEquals(2, list.ofStems(Set.of(0)).cues().size());
    assertEquals(List.of(1), list.ofStems(Set.of(1)).stems());
    assertEquals(2, list.withoutDone().cues().size());
    // The two highest moments are those at 0 and at the end.
    assertEquals(List.of(0L, FRAMES - 1L), list.top(2).cues().stream().map(Cue::frame).toList());
  }

  @Test
  void severalMarksOfOneMomentStayInTheirOrder() {
    Mark second = Mark.of(0, new Trim(0, 0, 100, 5));
    CueList list = CueList.of(pass(), new Marks(List.of(LATER, second)), TimeNotation.CLOCK);
    assertEquals(
        List.of("03 surdo: 0.6 ms later (29 samples)", "caixa: trim 0.5 dB"),
        list.cues().stream().map(Cue::text).toList());
    assertEquals(2, list.top(1).cues().size());
  }

  @Test
  void aMarkBesideItsMomentStillHasItsRankAndOneFarFromAllHasNone() {
    CueList list =
        CueList.of(
            pass(),
            new Marks(
                List.of(
                    Mark.of(RATE + 7, new Trim(0, RATE, RATE + 20, 3)),
                    Mark.of(2 * RATE, new Trim(0, 2 * RATE, 2 * RATE + 20, 3)))),
            TimeNotation.CLOCK);
    assertEquals(OptionalInt.of(3), list.cues().get(0).rank());
    assertEquals(RATE + 7, list.cues().get(0).frame());
    assertEquals(OptionalInt.empty(), list.cues().get(1).rank());
    assertTrue(list.cues().get(1).excessDb().isEmpty());
  }

  @Test
  void timesAreInTheNotationAsked() {
    CueList list =
        CueList.of(
            pass(),
            new Marks(List.of(TRIM)),
            new TimeNotation.BarsBeats(new TempoMap(60, 4, 4, 0)));
    assertEquals("1|2|000", list.cues().get(0).time());
  }

  @Test
  void phrasesSayAmountsInWords() {
    Session plain = stems().session();
    assertEquals("0.02 ms earlier (1 sample)", phrase(new Nudge(0, 0, 9, -1), plain));
    assertEquals("0.08 ms later (4 samples)", phrase(new Nudge(0, 0, 9, 4), plain));
    assertEquals("3.0 ms later (144 samples)", phrase(new Nudge(0, 0, 9, 144), plain));
    assertEquals("trim 24.0 dB", phrase(new Trim(0, 0, 9, 240), plain));
    assertEquals("clip at 0.5 dBFS", phrase(new Clip(0, 0, 9, 5), plain));
  }

  @Test
  void aClipBehindAFaderSaysBothLevels() {
    // With the fader at −2.5 dB, −10.6 dBFS on the bus are −8.1 dBFS in the file.
    Session plain = stems().session();
    Session faded =
        new Session(RATE, 0, plain.stems(), List.of(Fader.UNITY.withGainDb(-2.5), Fader.UNITY));
    assertEquals(
        "clip at -10.6 dBFS on the bus, -8.1 in the file", phrase(new Clip(0, 0, 9, -106), faded));
  }

  private static String phrase(Fix fix, Session session) {
    return FixPhrase.of(fix, session);
  }
}
