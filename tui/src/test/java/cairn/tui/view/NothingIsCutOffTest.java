package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Pass;
import cairn.collisions.Yokes;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.tui.model.Deeds;
import cairn.tui.model.Draft;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.Song;
import cairn.tui.model.State;
import cairn.tui.model.StemLoudness;
import cairn.tui.model.TextField;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** What is said can be read on the screen that says it, in the smallest window. */
class NothingIsCutOffTest {

  private static final Size SMALLEST = new Size(80, 24);
  private static final ParadeModels PARADE = ParadeModels.all();

  /** A screen's text, as one line. */
  private static String words(Model model) {
    return Pictures.draw(model).asText().replaceAll("\\s+", " ");
  }

  private static Model saying(Screen screen, String message) {
    Draft draft = new Draft(PARADE.screen(screen, SMALLEST, ParadeModels.UTF_8));
    draft.field = Optional.empty();
    draft.message = Optional.of(message);
    return draft.model();
  }

  @Test
  void aLongMessageTakesTwoRowsOnAnyScreen() {
    String message =
        "warning: '/home/somebody/the carnival parade/cairn-session.json' could not be written:"
            + " No space left on device; make room, then go on: nothing is lost so far";
    for (Screen screen : Screen.values()) {
      String words = words(saying(screen, message));
      assertTrue(words.contains(message), words);
    }
  }

  @Test
  void aMessageThatIsHardlyTooLongGoesWithoutItsHint() {
    String deed = "undone: brass high 0.40 ms later at 1:07.783 and 3 more taken off";
    Model model = saying(Screen.WALK, deed + "; r does it again");
    String[] rows = Pictures.draw(model).asText().split("\n", -1);
    assertEquals(deed, rows[SMALLEST.rows() - 2].strip());
    assertTrue(rows[SMALLEST.rows() - 3].contains("clears"), rows[SMALLEST.rows() - 3]);
  }

  @Test
  void theLettersOfAStemStandBesideItsOffset() {
    Draft draft = new Draft(PARADE.screen(Screen.STEMS, SMALLEST, ParadeModels.UTF_8));
    int k = 2;
    var faders = new ArrayList<>(draft.model().faders());
    faders.set(k, faders.get(k).withOffset(-240));
    draft.deeds = new Deeds(draft.deeds.marks(), Set.of(), Map.of(), Set.of(k), faders);
    String row = Pictures.draw(draft.model()).asText().split("\n", -1)[3 + k];
    assertTrue(row.matches(".* \\+0\\.0\\* +f +5\\.00 earlier *"), row);
  }

  @Test
  void aLoudnessThatIsStillMeasuredIsShownAsSuch() {
    Draft draft = new Draft(PARADE.screen(Screen.STEMS, SMALLEST, ParadeModels.UTF_8));
    Song song = draft.song.orElseThrow();
    Pass pass = song.pass();
    Pass plain =
        new Pass(
            pass.session(),
            pass.settings(),
            pass.summary(),
            pass.line(),
            pass.moments(),
            pass.runs(),
            pass.stems(),
            Optional.empty(),
            Optional.empty());
    draft.song = Optional.of(ParadeSong.song(plain, song.stems(), song.groups()));
    draft.stemLoudness = Optional.of(StemLoudness.PENDING);
    String bass = "  bass +-11\\.48 +-32\\.92 +";
    assertTrue(row(draft, 9).matches(bass + "… +… .*"), row(draft, 9));
    draft.stemLoudness = Optional.of(new StemLoudness(true, pass.loudness()));
    assertTrue(row(draft, 9).matches(bass + "29\\.2 +-38\\.4 .*"), row(draft, 9));
  }

  @Test
  void theVerdictOfASecondPassFitsTheSmallestWindow() {
    Model second = PARADE.second(Screen.WALK, SMALLEST, ParadeModels.UTF_8);
    int told = 0;
    for (int i = 0; i < second.rows().size(); i++) {
      Draft draft = new Draft(second);
      draft.message = Optional.empty();
      draft.keys = 1;
      draft.select(Screen.WALK, i);
      State state = draft.rows.get(i).state();
      if (state == State.LOWER || state == State.STILL) {
        draft.moment =
            Optional.of(PARADE.stems.look(draft.song.get(), Marks.NONE, draft.rows.get(i), true));
        String words = words(draft.model());
        assertTrue(words.matches(".*(Lower than|Still as) in pass 1.*"), words);
        assertTrue(
            words.matches(".*(Gentlest: |No clean fix: |Over for |leave it)[^…]* Space next .*"),
            words);
        told++;
      }
    }
    assertTrue(told > 0);
  }

  @Test
  void thatNothingIsOverTheLineIsSaidInOneRow() {
    Draft draft = new Draft(PARADE.fresh(SMALLEST, ParadeModels.UTF_8));
    Song song = draft.song.get();
    Pass high = PARADE.stems.analysed(song.pass().settings().withLine(new Line.Level(12.5)));
    draft.song = Optional.of(ParadeSong.song(high, song.stems(), song.groups()));
    draft.rows = List.of();
    draft.moment = Optional.empty();
    String row = row(draft, SMALLEST.rows() - 2);
    assertTrue(
        row.matches(
            "Nothing over the line: \\d+\\.\\d dB to spare; the limiter takes \\d\\.\\d dB\\. L moves"
                + " it\\."),
        row);
  }

  private static String field(Screen screen, TextField.Purpose purpose, Yokes yokes) {
    Draft draft = new Draft(PARADE.screen(screen, SMALLEST, ParadeModels.UTF_8));
    Song song = draft.song.orElseThrow();
    Pass pass = song.pass();
    Pass yoked =
        new Pass(
            pass.session().withYokes(yokes),
            pass.settings(),
            pass.summary(),
            pass.line(),
            pass.moments(),
            pass.runs(),
            pass.stems(),
            pass.loudness(),
            pass.limiter());
    draft.song = Optional.of(ParadeSong.song(yoked, song.stems(), song.groups()));
    draft.select(Screen.STEMS, 0);
    draft.field = Optional.of(new TextField(purpose, ""));
    return row(draft, SMALLEST.rows() - 1);
  }

  @Test
  void underAnOpenFieldStandsWhatItTakes() {
    for (TextField.Purpose purpose : TextField.Purpose.values()) {
      Screen screen =
          purpose == TextField.Purpose.FIND
              ? Screen.HELP
              : purpose == TextField.Purpose.GOAL ? Screen.LADDER : Screen.WALK;
      String row = field(screen, purpose, Yokes.NONE);
      assertTrue(row.matches("Enter (keeps|does) it  Esc (drops it  .*|back)"), row);
      assertFalse(row.contains("…"), row);
    }
  }

  @Test
  void anEmptyFieldIsSaidToPartTheYokeThatIsThere() {
    String alone = field(Screen.STEMS, TextField.Purpose.YOKE, Yokes.NONE);
    assertTrue(alone.endsWith("  a part of the other stem's name"), alone);
    Yokes yokes = Yokes.of(List.of(List.of(0, 3)));
    String name = PARADE.song.stems().get(3);
    String yoked = field(Screen.STEMS, TextField.Purpose.YOKE, yokes);
    assertTrue(yoked.endsWith("  empty: parts it from " + name), yoked);
  }

  @Test
  void exportSaysWhatIsMissingBeforeAnyKey() {
    Draft draft = new Draft(PARADE.screen(Screen.EXPORT, SMALLEST, ParadeModels.UTF_8));
    assertTrue(row(draft, SMALLEST.rows() - 2).startsWith("Enter asks where to write it."));
    long frame = draft.song.orElseThrow().pass().moments().get(0).peakFrame();
    for (Marks marks : List.of(Marks.NONE, new Marks(List.of(Mark.fine(frame))))) {
      draft.deeds = draft.deeds.withMarks(marks);
      String said = row(draft, SMALLEST.rows() - 2);
      assertTrue(said.matches("no fix is marked.*: W, then Enter, takes one; P, .*[a-z]"), said);
    }
  }

  private static String row(Draft draft, int row) {
    return Pictures.draw(draft.model()).asText().split("\n", -1)[row];
  }

  @Test
  void onceTheReadingWasCancelledNothingSaysThatItGoesOn() {
    Draft draft = new Draft(Model.start(SMALLEST, ParadeModels.UTF_8, "parade"));
    for (Screen screen : List.of(Screen.WALK, Screen.CHECK)) {
      draft.screen = screen;
      draft.said = List.of();
      assertTrue(words(draft.model()).matches(".*(reading|looking into|being checked).*"));
      draft.said = List.of("stopped: cancelled");
      String words = words(draft.model());
      assertFalse(words.matches(".*(reading|looking into|being checked).*"), words);
      assertTrue(words.contains("read"), words);
    }
  }
}
