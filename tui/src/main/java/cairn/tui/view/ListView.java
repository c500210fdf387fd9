package cairn.tui.view;

import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.State;
import java.util.List;
import java.util.stream.Collectors;

/** The moments, one row for all that are alike. */
final class ListView {

  private static final int STEM_COLUMN = 26;

  private ListView() {}

  static void draw(Canvas canvas, Model model, Layout layout, Glyphs glyphs) {
    int width = layout.listColumns() - 1;
    List<Row> rows = model.rows();
    long open = rows.stream().filter(row -> row.state().isOpen()).count();
    String heading = "   time     excess   ms like ";
    canvas.put(layout.headingRow(), 0, heading);
    canvas.putCut(
        layout.headingRow(),
        heading.length(),
        open + "/" + rows.size() + " left" + (model.narrowed().isEmpty() ? "" : " /"),
        width - heading.length(),
        Style.PLAIN);
    int first = first(model, layout.listRows());
    for (int i = 0; i < layout.listRows() && first + i < rows.size(); i++) {
      row(canvas, model, glyphs, rows.get(first + i), layout.listRow() + i, width);
    }
    int selected = model.selectedOn(Screen.WALK);
    if (!rows.isEmpty()) {
      int at = layout.listRow() + selected - first;
      canvas.put(at, 0, glyphs.cursor(), Style.BOLD);
      canvas.restyle(at, 0, 2, Style.BOLD);
      canvas.cursor(at, 0);
    } else {
      canvas.cursor(layout.listRow(), 0);
    }
  }

  /** The first row shown, so that the selected one is in the middle where it can be. */
  private static int first(Model model, int shown) {
    int selected = model.selectedOn(Screen.WALK);
    return Math.max(0, Math.min(selected - shown / 2, model.rows().size() - shown));
  }

  private static void row(Canvas canvas, Model model, Glyphs glyphs, Row row, int at, int width) {
    Moment head = row.head();
    int rate = model.song().get().sampleRateHz();
    State state = row.state();
    Style style = state.isOpen() ? Style.OVER : state == State.GONE ? Style.PLAIN : Style.MARKED;
    canvas.put(at, 1, String.valueOf(state.letter()), style);
    canvas.putRight(at, 11, Words.time(head.peakFrame(), rate), Style.PLAIN);
    canvas.putRight(at, 17, Figures.signed(head.excessDb(), 2), Style.PLAIN);
    canvas.putRight(at, 22, Words.millis(head.longestRun(), rate), Style.PLAIN);
    if (row.places().size() > 1) {
      canvas.put(at, 23, "x" + row.places().size());
    }
    List<Contribution> leading = head.contributions().isEmpty() ? List.of() : head.makingUp();
    int room = width - STEM_COLUMN - 1;
    if (head.isLong()) {
      canvas.putCut(at, STEM_COLUMN + 1, Words.cut("long: level", room, glyphs), room, Style.PLAIN);
    } else if (leading.isEmpty()) {
      canvas.putCut(at, STEM_COLUMN + 1, "risen", room, Style.PLAIN);
    } else if (canvas.size().columns() >= 110) {
      String names =
          leading.stream().map(c -> Words.stem(model, c.stem())).collect(Collectors.joining(", "));
      canvas.putCut(at, STEM_COLUMN + 1, Words.cut(names, room, glyphs), room, Style.PLAIN);
    } else {
      String more = leading.size() > 1 ? " +" + (leading.size() - 1) : "";
      String name =
          Words.cut(Words.stem(model, leading.get(0).stem()), room - more.length(), glyphs);
      int end = canvas.put(at, STEM_COLUMN + 1, name);
      canvas.put(at, end, more);
    }
  }
}
