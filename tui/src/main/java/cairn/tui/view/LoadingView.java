package cairn.tui.view;

import cairn.tui.model.Work;

/** The walk while the stems are read: how far it has come. */
final class LoadingView {

  private static final int EIGHTHS = 8;

  private LoadingView() {}

  static void draw(Sheet sheet) {
    HeadView.nameAlone(sheet);
    Canvas canvas = sheet.canvas();
    int row = sheet.rows() / 2 - 2;
    if (sheet.model().work().isEmpty()) {
      canvas.put(row, 2, "looking into the folder");
      return;
    }
    Work work = sheet.model().work().get();
    int width = sheet.columns() - 4;
    double share = Math.max(0, Math.min(1, (double) work.done() / Math.max(1, work.total())));
    boolean unicode = sheet.glyphs().unicode();
    int eighths = (int) Math.round(share * width * EIGHTHS);
    String bar =
        unicode
            ? "█".repeat(eighths / EIGHTHS) + part(eighths % EIGHTHS)
            : "#".repeat(eighths / EIGHTHS);
    canvas.put(row, 2, bar);
    // Where it ends, so that the bar has a scale without any colour.
    canvas.put(row + 1, 2, "0");
    canvas.putRight(row + 1, 2 + width, "100 %");
  }

  private static String part(int eighths) {
    return eighths == 0 ? "" : Character.toString('█' + EIGHTHS - eighths);
  }
}
