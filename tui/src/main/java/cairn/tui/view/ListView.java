package cairn.tui.view;

import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.io.files.SafeText;
import cairn.tui.model.Model;
import cairn.tui.model.Order;
import cairn.tui.model.Row;
import cairn.tui.model.Screen;
import cairn.tui.model.State;
import java.util.List;

/** The moments, one row for all that are alike; only those that are seen are drawn. */
final class ListView {

  private static final int TIME_END = 11;
  private static final int EXCESS_END = 17;
  private static final int MILLIS_END = 21;
  private static final int LIKE = 22;
  private static final int STEM = 25;
  private static final int LEFT = 28;
  private static final int MOST_ALIKE = 99;

  private ListView() {}

  static void draw(Sheet sheet, Layout layout) {
    Model model = sheet.model();
    int end = layout.listColumns() - 1;
    heading(sheet, layout, end);
    List<Row> rows = model.rows();
    int selected = model.selectedOn(Screen.WALK);
    int first = Sheet.firstShown(selected, layout.listRows(), rows.size());
    for (int i = 0; i < layout.listRows() && first + i < rows.size(); i++) {
      row(sheet, layout.listRow() + i, rows.get(first + i), end, first + i == selected);
    }
    sheet.canvas().cursor(layout.listRow() + (rows.isEmpty() ? 0 : selected - first), 0);
  }

  private static void heading(Sheet sheet, Layout layout, int end) {
    Model model = sheet.model();
    Canvas canvas = sheet.canvas();
    int row = layout.headingRow();
    canvas.put(row, 3, "time", model.order() == Order.TIME ? Style.BOLD : Style.PLAIN);
    canvas.put(row, 12, "excess", model.order() == Order.EXCESS ? Style.BOLD : Style.PLAIN);
    canvas.put(row, 20, "ms like");
    long open = model.rows().stream().filter(r -> r.state().isOpen()).count();
    String left = open + "/" + model.rows().size();
    String words = left.length() + 5 <= end - LEFT ? left + " left" : left;
    if (model.narrowed().isEmpty()) {
      canvas.putRight(row, Math.max(end, LEFT + words.length()), words);
      return;
    }
    // What the list is narrowed to takes the place of the words.
    String to = "/" + SafeText.of(model.narrowed());
    int at = sheet.cut(row, LEFT, to, end - LEFT - left.length() - 1, Style.BOLD);
    canvas.put(row, at + 1, left);
  }

  private static void row(Sheet sheet, int at, Row row, int end, boolean selected) {
    Canvas canvas = sheet.canvas();
    Moment head = row.head();
    int rate = sheet.model().song().get().sampleRateHz();
    Style plain = selected ? Style.BOLD : Style.PLAIN;
    if (selected) {
      canvas.put(at, 0, sheet.glyphs().cursor(), Style.BOLD);
    }
    canvas.put(at, 1, String.valueOf(row.state().letter()), style(row.state()));
    canvas.putRight(at, TIME_END, Words.time(head.peakFrame(), rate), plain);
    canvas.putRight(at, EXCESS_END, Words.excess(head.excessDb()), plain);
    canvas.putRight(at, MILLIS_END, Words.millis((double) head.longestRun(), rate), plain);
    int alike = row.places().size();
    if (alike > 1) {
      canvas.put(at, LIKE, alike > MOST_ALIKE ? MOST_ALIKE + "+" : "x" + alike, plain);
    }
    stems(sheet, at, head, end - STEM, plain);
  }

  private static Style style(State state) {
    return switch (state) {
      case TO_DECIDE, LOWER, STILL, NEW -> Style.OVER;
      case NUDGED, TRIMMED, CLIPPED, FINE, DONE -> Style.MARKED;
      case GONE -> Style.PLAIN;
    };
  }

  /** The stem that leads and how many more it takes; where there is room, all their names. */
  private static void stems(Sheet sheet, int at, Moment head, int cells, Style style) {
    List<Contribution> making = head.contributions().isEmpty() ? List.of() : head.makingUp();
    if (making.isEmpty()) {
      sheet.cut(at, STEM, head.isLong() ? "long: level" : "new", cells, style);
      return;
    }
    int column = STEM;
    int end = STEM + cells;
    for (int i = 0; i < making.size(); i++) {
      int more = making.size() - 1 - i;
      String rest = more == 0 ? "" : " +" + more;
      String comma = i == 0 ? "" : ", ";
      int room = end - column - comma.length() - rest.length();
      String name = sheet.names().whole(making.get(i).stem());
      boolean fits = SafeText.cells(name) <= room;
      if (i > 0 && !fits) {
        sheet.canvas().put(at, column, " +" + (more + 1), style);
        return;
      }
      column = sheet.canvas().put(at, column, comma, style);
      column =
          sheet
              .canvas()
              .put(at, column, fits ? name : sheet.names().fit(making.get(i).stem(), room), style);
      if (i + 1 < making.size() && end < STEM + 20) {
        // The narrow list names one stem.
        sheet.canvas().put(at, column, rest, style);
        return;
      }
    }
  }
}
