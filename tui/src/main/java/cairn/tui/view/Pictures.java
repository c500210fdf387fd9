package cairn.tui.view;

import cairn.collisions.moment.Moment;
import cairn.io.files.SafeText;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;
import cairn.tui.model.Song;

/** The picture of a model. */
public final class Pictures {

  private Pictures() {}

  /** All cells of the window, and where the cursor rests: on what is selected, or typed. */
  public static Canvas draw(Model model) {
    Sheet sheet = Sheet.of(model);
    if (!model.size().isEnough()) {
      tooSmall(sheet);
      return sheet.canvas();
    }
    switch (model.screen()) {
      case WALK -> walk(sheet);
      case STEMS -> StemsView.draw(sheet);
      case LADDER -> LadderView.draw(sheet);
      case PLAN -> PlanView.draw(sheet);
      case MARKS -> MarksView.draw(sheet);
      case SPECTRUM -> SpectrumView.draw(sheet);
      case EXPORT -> ExportView.draw(sheet);
      case CHECK -> CheckView.draw(sheet);
      case HELP -> HelpView.draw(sheet);
    }
    FootView.draw(sheet);
    return sheet.canvas();
  }

  private static void walk(Sheet sheet) {
    if (sheet.model().song().isEmpty()) {
      LoadingView.draw(sheet);
      return;
    }
    Layout layout = Layout.of(sheet.model().size(), neededRows(sheet.model().song().get()));
    HeadView.draw(sheet);
    MapView.draw(sheet, layout);
    ListView.draw(sheet, layout);
    PileView.draw(sheet, layout);
    CloseUpView.draw(sheet, layout);
    FootView.clears(sheet, layout.footRow());
  }

  /** Rows for all moments unlike each other, and for all stems with what stands under the pile. */
  private static int neededRows(Song song) {
    long heads = song.pass().moments().stream().filter(Moment::isHead).count();
    return (int) Math.max(heads, song.stems().size() + 2L);
  }

  /** The heading of a screen other than the walk; its rows begin under it. */
  static void title(Sheet sheet, Screen screen, String right) {
    if (sheet.model().song().isPresent()) {
      HeadView.title(sheet, "   " + screen, right);
    } else {
      String name = "   " + screen;
      int room = sheet.columns() - name.length();
      int at =
          sheet
              .canvas()
              .put(
                  0,
                  0,
                  SafeText.cut(sheet.model().title(), room, sheet.glyphs().ellipsis()),
                  Style.BOLD);
      sheet.canvas().put(0, at, name);
    }
  }

  /** Row by row, as much as there is room for. */
  private static void tooSmall(Sheet sheet) {
    Size size = sheet.model().size();
    String text =
        "cairn needs "
            + Size.LEAST.columns()
            + " columns and "
            + Size.LEAST.rows()
            + " rows, this window has "
            + size.columns()
            + " and "
            + size.rows()
            + "; make it larger, or q";
    int row = 0;
    StringBuilder line = new StringBuilder();
    for (String word : text.split(" ", -1)) {
      if (line.length() > 0 && line.length() + 1 + word.length() > size.columns()) {
        sheet.canvas().put(row, 0, line.toString());
        row++;
        line.setLength(0);
      }
      line.append(line.length() == 0 ? "" : " ").append(word);
    }
    sheet.canvas().put(row, 0, line.toString());
  }
}
