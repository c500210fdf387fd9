package cairn.tui.view;

import cairn.tui.model.Model;
import cairn.tui.model.Work;

/** A bar while the stems are read. */
final class LoadingView {

  private LoadingView() {}

  static void draw(Canvas canvas, Model model, Glyphs glyphs) {
    if (model.work().isEmpty()) {
      canvas.put(2, 0, "looking into the folder");
      return;
    }
    Work work = model.work().get();
    int width = canvas.size().columns() - 2;
    int done = (int) (width * work.done() / Math.max(1, work.total()));
    canvas.put(2, 1, glyphs.full().repeat(Math.max(0, Math.min(width, done))));
    canvas.put(4, 1, FootView.work(work));
  }
}
