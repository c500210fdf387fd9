package cairn.tui.view;

import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Size;

/** The picture of a model. */
public final class Pictures {

  private Pictures() {}

  /** All cells of the window. */
  public static Canvas draw(Model model) {
    Canvas canvas = new Canvas(model.size());
    Glyphs glyphs = Glyphs.of(model.look());
    if (!model.size().isEnough()) {
      String text =
          "cairn needs "
              + Size.LEAST.columns()
              + " columns and "
              + Size.LEAST.rows()
              + " rows, this window has "
              + model.size().columns()
              + " and "
              + model.size().rows()
              + "; make it larger, or q";
      // Row by row, as much as there is room for.
      int columns = Math.max(1, model.size().columns());
      for (int row = 0; row * columns < text.length(); row++) {
        int end = Math.min(text.length(), (row + 1) * columns);
        canvas.put(row, 0, text.substring(row * columns, end));
      }
      return canvas;
    }
    if (model.screen() != Screen.WALK) {
      Screens.draw(canvas, model, glyphs);
    } else if (model.song().isEmpty()) {
      canvas.put(0, 0, Words.cut(model.title(), canvas.size().columns(), glyphs), Style.BOLD);
      LoadingView.draw(canvas, model, glyphs);
    } else {
      Layout layout = Layout.of(model.size());
      HeadView.draw(canvas, model, glyphs);
      MapView.draw(canvas, model, layout, glyphs);
      ListView.draw(canvas, model, layout, glyphs);
      PileView.draw(canvas, model, layout, glyphs);
      CloseUpView.draw(canvas, model, layout, glyphs);
    }
    FootView.draw(canvas, model, glyphs);
    return canvas;
  }
}
