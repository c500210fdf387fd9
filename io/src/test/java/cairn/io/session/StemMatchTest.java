package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Fader;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import java.util.List;
import java.util.OptionalInt;
import java.util.Set;
import org.junit.jupiter.api.Test;

class StemMatchTest {

  private static final StemRef REPINIQUE = new StemRef("repinique", "drums/repinique.wav");

  private static final StemRef BASS_FLAC = new StemRef("bass", "bass.flac");

  /** The surdo is gone, the bass another file, the repinique new; the caixa is now first. */
  private static final List<StemRef> NOW = List.of(Sessions.CAIXA, REPINIQUE, BASS_FLAC);

  private final SavedSession session = Sessions.full();
  private final StemMatch match = session.match(NOW);

  @Test
  void stemsAreFoundByFileThenByName() {
    assertEquals(OptionalInt.of(0), match.indexOf(Sessions.CAIXA));
    assertEquals(OptionalInt.of(2), match.indexOf(Sessions.BASS));
    assertEquals(OptionalInt.empty(), match.indexOf(Sessions.SURDO));
    assertEquals(
        List.of(
            "'surdo low' is not there any more; what was set and marked for it stays in the"
                + " session",
            "'bass' was 'bass.wav' and is 'bass.flac' now: taken for the same stem",
            "'repinique' is new to the session"),
        match.lines());
  }

  @Test
  void aStemRenamedIsMissingAndNew() {
    StemMatch renamed =
        StemMatch.of(List.of(Sessions.BASS), List.of(new StemRef("bass 2", "bass 2.wav")));
    assertEquals(List.of(Sessions.BASS), renamed.missing());
    assertEquals(List.of(new StemRef("bass 2", "bass 2.wav")), renamed.fresh());
  }

  @Test
  void twoStemsThatSwapTheirFilesStayWithTheirFiles() {
    StemRef a = new StemRef("a", "1.wav");
    StemRef b = new StemRef("b", "2.wav");
    StemMatch swapped =
        StemMatch.of(List.of(a, b), List.of(new StemRef("a", "2.wav"), new StemRef("b", "1.wav")));
    assertEquals(OptionalInt.of(1), swapped.indexOf(a));
    assertEquals(OptionalInt.of(0), swapped.indexOf(b));
    assertTrue(swapped.missing().isEmpty());
  }

  @Test
  void marksComeWithTheIndicesOfNow() {
    Marks marks = session.marks(match);
    assertEquals(3, marks.list().size());
    assertEquals(0, ((Mark.OfFix) marks.list().get(0)).fix().stem());
    assertEquals(2, ((Mark.OfFix) marks.list().get(1)).fix().stem());
    assertEquals(Sessions.FINE, marks.list().get(2));
    assertEquals(Set.of(marks.list().get(0)), session.done(match));
  }

  @Test
  void faderLeftAloneAndYokeFollowTheirStem() {
    List<Fader> plain = List.of(Fader.UNITY, Fader.UNITY.withOffset(7), Fader.UNITY);
    List<Fader> faders = session.faders(match, plain);
    assertEquals(0.1, faders.get(0).gainDb());
    assertEquals(7, faders.get(1).offset());
    assertEquals(-1.5, faders.get(2).gainDb());
    assertEquals(Set.of(0), session.leftAlone(match));
    assertEquals(List.of(), session.yokes(match));
    assertEquals(List.of(List.of(1, 2)), session.yokes(session.match(Sessions.STEMS)));
  }

  @Test
  void whatAMissingStemHasStaysThroughChanges() {
    Marks marks = session.marks(match);
    SavedSession changed =
        session
            .withMarks(marks.remove(marks.list().get(2)), Sessions.noneDone(), match)
            .withStems(
                session.faders(match, List.of(Fader.UNITY, Fader.UNITY, Fader.UNITY)),
                List.of(1),
                match)
            .withYokes(List.of(List.of(1, 2)), match);
    assertEquals(SavedMark.of(Sessions.SURDO, Sessions.TRIM, false), changed.marks().get(0));
    assertEquals(3, changed.marks().size());
    assertEquals(
        List.of(Sessions.CAIXA, REPINIQUE, BASS_FLAC, Sessions.SURDO),
        changed.stems().stream().map(SavedStem::ref).toList());
    assertEquals(
        List.of(
            new Yoke(List.of(REPINIQUE, BASS_FLAC)),
            new Yoke(List.of(Sessions.CAIXA, Sessions.SURDO))),
        changed.yokes());
    // And is there again once the stem is.
    StemMatch back = changed.match(Sessions.STEMS);
    assertTrue(back.indexOf(Sessions.SURDO).isPresent());
    assertEquals(2, ((Mark.OfFix) changed.marks(back).list().get(0)).fix().stem());
  }

  @Test
  void aNoteChangedKeepsTheMarkAndItsPlace() {
    StemMatch all = session.match(Sessions.STEMS);
    Marks marks = session.marks(all);
    assertEquals(session, session.withMarks(marks, session.done(all), all));
    Mark first = marks.list().get(0);
    SavedSession noted =
        session.withMarks(marks.replace(first, first.withNote("late")), session.done(all), all);
    assertEquals("late", noted.marks().get(0).mark().note().orElseThrow());
  }
}
