package cairn.tui.view;

import cairn.io.files.SafeText;
import cairn.tui.keys.KeyMap;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.TextField;
import cairn.tui.model.Work;
import cairn.tui.update.Steps;
import cairn.tui.update.Verdicts;
import java.util.List;
import java.util.Locale;

/** The rows at the bottom: what clears, what is said, which keys matter. */
final class FootView {

  private FootView() {}

  static void draw(Canvas canvas, Model model, Glyphs glyphs) {
    int columns = canvas.size().columns();
    int bottom = canvas.size().rows() - 1;
    if (model.screen() == Screen.WALK && model.song().isPresent()) {
      String step = "step " + Steps.words(model.stepSize());
      int room = columns - step.length() - 2;
      canvas.put(bottom - 2, 0, Words.cut(glyphs.plain(Verdicts.clears(model)), room, glyphs));
      canvas.putRight(bottom - 2, columns, step, Style.PLAIN);
    }
    message(canvas, model, glyphs, bottom - 1);
    keys(canvas, model, bottom);
  }

  private static void message(Canvas canvas, Model model, Glyphs glyphs, int row) {
    int columns = canvas.size().columns();
    if (model.field().isPresent()) {
      TextField field = model.field().get();
      String before = field.purpose().words() + ": ";
      int at = canvas.put(row, 0, before, Style.BOLD);
      String safe = SafeText.of(field.text());
      // The end of what is typed is what one looks at.
      while (SafeText.cells(safe) > columns - at - 1) {
        safe = safe.substring(safe.offsetByCodePoints(0, 1));
      }
      at = canvas.put(row, at, safe);
      canvas.cursor(row, at);
      return;
    }
    String text =
        model
            .message()
            .orElseGet(
                () ->
                    model.work().isPresent()
                        ? work(model.work().get())
                        : model.screen() == Screen.WALK ? Verdicts.of(model) : "");
    Style style =
        text.startsWith("warning:") || text.startsWith("stopped:") ? Style.OVER : Style.PLAIN;
    canvas.put(row, 0, Words.cut(glyphs.plain(SafeText.of(text)), columns, glyphs), style);
  }

  /** How far long work has come, in words. */
  static String work(Work work) {
    String what =
        switch (work.step()) {
          case SUM -> "reading the stems";
          case EXPLAIN -> "explaining the moments";
          case PLAN -> "trying fixes";
          case WRITE -> "writing";
        };
    long percent = work.total() > 0 ? 100 * work.done() / work.total() : 0;
    StringBuilder text = new StringBuilder(what).append(": ").append(percent).append(" %");
    if (work.bytesPerSecond() > 0) {
      text.append(String.format(Locale.ROOT, ", %.0f MB/s", work.bytesPerSecond() / 1e6));
    }
    if (work.secondsLeft() >= 0) {
      text.append(String.format(Locale.ROOT, ", %.0f s left", work.secondsLeft()));
    }
    return text.append("; Ctrl-C cancels").toString();
  }

  private static void keys(Canvas canvas, Model model, int row) {
    if (model.field().isPresent()) {
      canvas.put(row, 0, "Enter keeps it  Esc drops it");
      return;
    }
    int columns = canvas.size().columns();
    boolean walk = model.screen() == Screen.WALK;
    String right = walk ? "? keys" : "q back  ? keys";
    int room = columns - right.length() - 2;
    StringBuilder text = new StringBuilder();
    List<String> foot = KeyMap.foot(model.screen());
    for (String words : foot) {
      String shown =
          walk && words.equals("a all") && model.row().isPresent()
              ? model.allAlike() ? "a all " + model.row().get().places().size() : "a here only"
              : words;
      if (text.length() + shown.length() + 2 <= room) {
        text.append(text.length() == 0 ? "" : "  ").append(shown);
      }
    }
    canvas.put(row, 0, text.toString(), Style.BOLD);
    canvas.putRight(row, columns, right, Style.BOLD);
  }
}
