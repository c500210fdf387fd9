package cairn.tui.view;

import cairn.collisions.check.Finding;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** What the check found, what else is to know, then all messages so far. */
final class CheckView {

  private static final int FIRST_ROW = 3;

  /** Rows under the list for the whole of what is selected. */
  private static final int WHOLE_ROWS = 5;

  /**
   * One row.
   *
   * @param sign {@code !} for what matters, {@code i} for what is good to know, {@code -} for what
   *     was said
   * @param text one sentence, safe
   * @param more what stands under the list while it is selected, safe
   * @param style how it is drawn
   */
  private record Line(String sign, String text, List<String> more, Style style) {}

  private CheckView() {}

  static void draw(Sheet sheet) {
    Pictures.title(sheet, Screen.CHECK, "");
    List<Line> lines = lines(sheet.model());
    sheet.sentence(FIRST_ROW - 1, 2, heading(sheet.model()), sheet.columns() - 2, Style.PLAIN);
    int shown = sheet.rows() - FIRST_ROW - 3 - WHOLE_ROWS - 1;
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        shown,
        lines.size(),
        (row, index, style) -> {
          Line line = lines.get(index);
          sheet.canvas().put(row, 2, line.sign(), Style.PLAIN);
          sheet.sentence(
              row,
              4,
              line.text(),
              sheet.columns() - 4,
              line.style() == Style.PLAIN ? style : line.style());
        });
    int selected = sheet.model().selectedRow();
    if (selected < lines.size()) {
      whole(sheet, lines.get(selected));
    }
  }

  private static List<Line> lines(Model model) {
    List<Line> lines = new ArrayList<>();
    for (Finding finding : model.findings().orElse(List.of())) {
      List<String> more = new ArrayList<>();
      if (!finding.where().isEmpty()) {
        more.add("where: " + SafeText.of(finding.where()));
      }
      more.add("to do: " + SafeText.of(finding.whatToDo()));
      boolean matters = finding.weight().matters();
      lines.add(
          new Line(
              matters ? "!" : "i",
              SafeText.of(finding.weight().words() + ": " + finding.what()),
              more,
              matters ? Style.OVER : Style.PLAIN));
    }
    model.notes().forEach(note -> lines.add(said(note, "i")));
    model.said().forEach(message -> lines.add(said(message, "-")));
    return lines;
  }

  private static Line said(String text, String sign) {
    boolean grave = text.startsWith("warning:") || text.startsWith("stopped:");
    return new Line(
        grave ? "!" : sign, SafeText.of(text), List.of(), grave ? Style.OVER : Style.PLAIN);
  }

  private static String heading(Model model) {
    Optional<List<Finding>> findings = model.findings();
    boolean isMore = !model.notes().isEmpty() || !model.said().isEmpty();
    String then = isMore ? "; below, all messages so far" : "";
    if (findings.isEmpty()) {
      return (model.isUnread() ? "the stems were not read" : "the stems are being checked …")
          + then;
    }
    long matter = findings.get().stream().filter(f -> f.weight().matters()).count();
    long minor = findings.get().size() - matter;
    return (matter == 0
            ? "the stems: nothing that matters" + (minor == 0 ? "" : ", " + minor + " to know")
            : "the stems: "
                + Figures.count(matter, "finding")
                + (matter == 1 ? " that matters" : " that matter")
                + (minor == 0 ? "" : ", " + minor + " to know"))
        + then;
  }

  /** The whole of the selected line if it was cut, and what is to be done. */
  private static void whole(Sheet sheet, Line line) {
    int cells = sheet.columns() - 4;
    List<String> texts = new ArrayList<>();
    if (SafeText.cells(line.text()) > cells) {
      texts.add(line.text());
    }
    texts.addAll(line.more());
    int row = sheet.rows() - 3 - WHOLE_ROWS;
    int end = row + WHOLE_ROWS;
    for (String whole : texts) {
      if (row < end) {
        row = sheet.wrapped(row, end - row, 4, whole, Style.PLAIN);
      }
    }
  }
}
