package cairn.tui.view;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Pass;
import cairn.collisions.moment.Moment;
import cairn.io.files.SafeText;
import cairn.tui.model.Draft;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.Song;
import cairn.tui.model.State;
import cairn.tui.model.TextField;
import cairn.tui.update.Rows;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Screens in windows of any size, with names that nobody would wish for. */
class AnyWindowTest {

  private static final long SEED = 20_261_125;

  private static final List<String> NASTY =
      List.of(
          "鼓と笛の行列" + "とても長い名前".repeat(8),
          "a\u0301\u0302\u0303" + "e\u0308".repeat(60),
          "left\u202Eright\u2066 caixa",
          "tab\there\nand \u001B[31mred",
          "x".repeat(100),
          "x".repeat(99) + "y",
          "🥁🎺🥁 band",
          " ",
          "surdo \\ low",
          "ﷺ wide letter",
          "caixa",
          "caixa ",
          "日本",
          "Ωmega — dash",
          "한국 북",
          "\uD800 half");

  /** Every cell has a character; a wide one is followed by its empty half and nothing else is. */
  private static void assertWhole(Canvas canvas, String what) {
    Size size = canvas.size();
    for (int row = 0; row < size.rows(); row++) {
      int cells = 0;
      for (int column = 0; column < size.columns(); column++) {
        String text = canvas.text(row, column);
        if (text.isEmpty()) {
          assertTrue(column > 0, what);
          assertEquals(2, SafeText.cells(canvas.text(row, column - 1)), what);
        }
        cells += SafeText.cells(text);
        for (int i = 0; i < text.length(); i++) {
          assertFalse(Character.isISOControl(text.charAt(i)), what);
          assertFalse(text.charAt(i) >= '\u202A' && text.charAt(i) <= '\u202E', what);
        }
      }
      assertEquals(size.columns(), cells, what + ", row " + row);
    }
    assertTrue(canvas.cursorRow() < size.rows() && canvas.cursorColumn() < size.columns(), what);
  }

  private static void assertAscii(Canvas canvas, String what) {
    assertTrue(canvas.asText().chars().allMatch(c -> c == '\n' || (c >= ' ' && c < 0x7F)), what);
  }

  private static List<String> safe(List<String> names) {
    return names.stream().map(SafeText::of).toList();
  }

  private static Draft nasty(Model model) {
    Draft draft = new Draft(model);
    Song song = draft.song.orElseThrow();
    draft.song =
        Optional.of(
            new Song(
                SafeText.of("行列 " + "\u202E" + "z".repeat(200)),
                12,
                song.pass(),
                safe(NASTY),
                safe(NASTY),
                song.groups(),
                List.of(),
                Optional.empty()));
    List<Song.Section> sections = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      sections.add(
          new Song.Section(
              SafeText.of(NASTY.get(i % NASTY.size())), i * 86_400L, (i + 1) * 86_400L));
    }
    draft.sections = sections;
    draft.narrowed = "鼓".repeat(70);
    draft.message = Optional.of("長".repeat(300));
    draft.notes = safe(NASTY);
    draft.readOnly = Optional.of("another program has it");
    return draft;
  }

  @Test
  void noRowIsWiderThanItsWindowWhateverTheNames() {
    ParadeModels models = ParadeModels.all();
    Random random = new Random(SEED);
    for (int run = 0; run < 60; run++) {
      Size size = new Size(80 + random.nextInt(141), 24 + random.nextInt(47));
      Look look = run % 2 == 0 ? ParadeModels.ASCII : ParadeModels.UTF_8;
      List<Screen> screens = List.of(Screen.values());
      Screen screen = screens.get(random.nextInt(screens.size()));
      Draft draft = nasty(models.screen(screen, size, look));
      draft.breadth = random.nextInt(3);
      draft.zoom = random.nextInt(6);
      draft.whatIf = random.nextBoolean();
      draft.picked = OptionalInt.of(random.nextInt(NASTY.size()));
      if (random.nextInt(3) == 0) {
        draft.field = Optional.of(new TextField(TextField.Purpose.NOTE, "鼓\u0301x".repeat(90)));
      }
      if (random.nextInt(3) == 0) {
        draft.message = Optional.empty();
      }
      String what = screen + " in " + size + ", seed " + SEED + ", run " + run;
      Canvas canvas = Pictures.draw(draft.model());
      assertWhole(canvas, what);
      assertFalse(canvas.isSpilt(), what + "\n" + canvas.asText());
      if (!look.unicode()) {
        assertAscii(canvas, what);
      }
    }
  }

  @Test
  void tooSmallAWindowSaysSoInWhateverRoomThereIs() {
    ParadeModels models = ParadeModels.all();
    for (Size size : List.of(new Size(1, 1), new Size(7, 3), new Size(79, 24), new Size(80, 23))) {
      Canvas canvas = Pictures.draw(models.walk(size, ParadeModels.UTF_8));
      assertWhole(canvas, size.toString());
    }
    assertTrue(
        Pictures.draw(models.walk(new Size(79, 24), ParadeModels.UTF_8))
            .asText()
            .startsWith("cairn needs 80 columns and 24 rows, this window has 79 and 24;"));
  }

  /** 2,000 rows: the selected one is always among those drawn, and the cursor is on it. */
  @Test
  void theSelectedRowIsSeenWhereverItIs() {
    ParadeModels models = ParadeModels.all();
    Draft draft = many(models, new Size(80, 24), 2_000);
    for (int selected : new int[] {0, 1, 7, 8, 9, 500, 1_234, 1_991, 1_992, 1_999}) {
      draft.select(Screen.WALK, selected);
      draft.moment = Optional.empty();
      Canvas canvas = Pictures.draw(draft.model());
      assertEquals("›", canvas.text(canvas.cursorRow(), 0), "row " + selected);
      String time = Words.time(selected * 1_000L, ParadeSong.RATE_HZ);
      StringBuilder row = new StringBuilder();
      for (int column = 3; column < 11; column++) {
        row.append(canvas.text(canvas.cursorRow(), column));
      }
      assertEquals(time, row.toString(), "row " + selected);
    }
  }

  @Test
  void whileAMomentIsWorkedOutNoOldFigureIsShown() {
    ParadeModels models = ParadeModels.all();
    Draft draft =
        ParadeModels.sized(
            models.walk(new Size(80, 24), ParadeModels.UTF_8),
            new Size(80, 24),
            ParadeModels.UTF_8);
    assertTrue(Pictures.draw(draft.model()).asText().contains("without"));
    draft.select(Screen.WALK, draft.model().selectedRow() + 1);
    String text = Pictures.draw(draft.model()).asText();
    assertFalse(text.contains("without"), text);
    assertTrue(text.contains("…"), text);
  }

  /** A song with many rows, all after the first moment's model, a sixth of a second or so apart. */
  static Draft many(ParadeModels models, Size size, int rows) {
    Draft draft =
        ParadeModels.sized(models.walk(size, ParadeModels.UTF_8), size, ParadeModels.UTF_8);
    Moment model = models.song.pass().moments().get(0);
    List<Moment> moments = new ArrayList<>();
    List<Row> all = new ArrayList<>();
    for (int i = 0; i < rows; i++) {
      Moment moment =
          new Moment(
              i + 1,
              i * 1_000L,
              model.channel(),
              model.peak(),
              model.averagePeak(),
              model.line(),
              i * 1_000L,
              i * 1_000L + 40,
              41,
              41,
              model.depth(),
              false,
              model.contributions());
      moments.add(moment);
      all.add(new Row(moment, List.of(moment), State.TO_DECIDE, true));
    }
    Pass pass = models.song.pass();
    draft.song =
        Optional.of(
            ParadeSong.song(
                new Pass(
                    pass.session(),
                    pass.settings(),
                    pass.summary(),
                    pass.line(),
                    moments,
                    List.of(),
                    pass.stems(),
                    pass.loudness(),
                    pass.limiter()),
                ParadeSong.NAMES,
                List.of()));
    draft.rows = all;
    return draft;
  }

  /** The rows of a song are those that the update makes. */
  @Test
  void theModelsOfTheseTestsHaveTheRowsOfTheirSong() {
    ParadeModels models = ParadeModels.all();
    Model walk = models.walk(new Size(80, 24), ParadeModels.UTF_8);
    assertEquals(Rows.of(walk), walk.rows());
    Optional<MomentNow> moment = walk.momentNow();
    assertTrue(moment.isPresent());
  }
}
