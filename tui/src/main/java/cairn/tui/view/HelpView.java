package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.keys.Binding;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Screen;
import cairn.tui.update.RowCounts;
import java.util.List;
import java.util.Locale;

/** All keys of the screen under the help, searched by what was typed. */
final class HelpView {

  private static final int FIRST_ROW = 3;
  private static final int WORDS = 14;
  private static final int WHAT = 25;

  private HelpView() {}

  static void draw(Sheet sheet) {
    Pictures.title(sheet, Screen.HELP, "");
    Screen under = RowCounts.under(sheet.model());
    String filter = sheet.model().helpFilter();
    List<Binding> rows = KeyMap.help(under, filter);
    String heading =
        (rows.isEmpty() ? "no key" : rows.size() + (rows.size() == 1 ? " key" : " keys"))
            + " on "
            + name(under)
            + (filter.isEmpty() ? "; type to search them" : " with '" + SafeText.of(filter) + "'");
    sheet.sentence(FIRST_ROW - 1, 2, heading, sheet.columns() - 2, Style.PLAIN);
    int shown = sheet.rows() - FIRST_ROW - 3;
    Scrolled.draw(
        sheet,
        FIRST_ROW,
        shown,
        rows.size(),
        (row, index, style) -> {
          Binding binding = rows.get(index);
          sheet.cut(row, 2, binding.shown(), WORDS - 3, Style.BOLD);
          sheet.cut(row, WORDS, binding.words(under), WHAT - WORDS - 1, style);
          sheet.sentence(row, WHAT, binding.what(), sheet.columns() - WHAT, style);
        });
  }

  /** What the selected key does. */
  static String standing(Sheet sheet) {
    List<Binding> rows = KeyMap.help(RowCounts.under(sheet.model()), sheet.model().helpFilter());
    int at = sheet.model().selectedRow();
    return at < rows.size() ? rows.get(at).what() : "";
  }

  private static String name(Screen screen) {
    return screen == Screen.WALK
        ? "the walk"
        : screen.toString().charAt(0) + screen.toString().substring(1).toLowerCase(Locale.ROOT);
  }
}
