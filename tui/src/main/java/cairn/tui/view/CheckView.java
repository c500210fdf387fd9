package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.model.Screen;
import java.util.ArrayList;
import java.util.List;

/** What is to know about the stems, then all messages so far. */
final class CheckView {

  private static final int FIRST_ROW = 3;

  /** Rows under the list for the whole of a line that is cut in it. */
  private static final int WHOLE_ROWS = 3;

  private CheckView() {}

  static void draw(Sheet sheet) {
    Pictures.title(sheet, Screen.CHECK, "");
    List<String> notes = sheet.model().notes();
    List<String> lines = new ArrayList<>(notes);
    lines.addAll(sheet.model().said());
    sheet
        .canvas()
        .put(
            FIRST_ROW - 1,
            2,
            lines.isEmpty()
                ? "nothing to say about the stems, and no message yet"
                : notes.isEmpty()
                    ? "nothing to say about the stems; what was said so far, the latest last"
                    : "about the stems, then what was said so far, the latest last");
    int shown = sheet.rows() - FIRST_ROW - 3 - WHOLE_ROWS - 1;
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        shown,
        lines.size(),
        (row, index, style) -> {
          String line = SafeText.of(lines.get(index));
          boolean grave = line.startsWith("warning:") || line.startsWith("stopped:");
          sheet.canvas().put(row, 2, index < notes.size() ? "!" : "-", Style.PLAIN);
          sheet.sentence(row, 4, line, sheet.columns() - 4, grave ? Style.OVER : style);
        });
    int selected = sheet.model().selectedRow();
    if (selected < lines.size()) {
      whole(sheet, SafeText.of(lines.get(selected)));
    }
  }

  /** The whole of the selected line, if it was cut. */
  private static void whole(Sheet sheet, String line) {
    int cells = sheet.columns() - 4;
    if (SafeText.cells(line) <= cells) {
      return;
    }
    int row = sheet.rows() - 3 - WHOLE_ROWS;
    StringBuilder text = new StringBuilder();
    for (String word : line.split(" ", -1)) {
      boolean full =
          text.length() > 0 && SafeText.cells(text.toString()) + 1 + SafeText.cells(word) > cells;
      if (full && row < sheet.rows() - 4) {
        sheet.sentence(row, 4, text.toString(), cells, Style.PLAIN);
        text.setLength(0);
        row++;
      }
      text.append(text.length() == 0 ? "" : " ").append(word);
    }
    sheet.sentence(row, 4, text.toString(), cells, Style.PLAIN);
  }
}
