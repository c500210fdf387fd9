package cairn.tui.terminal;

import cairn.tui.model.Look;
import cairn.tui.model.Size;
import cairn.tui.view.Canvas;
import cairn.tui.view.Palette;

/**
 * A canvas in the colours of a terminal.
 *
 * @param canvas the cells
 * @param colours how many colours there are
 */
public record Shown(Canvas canvas, Look.Colours colours) implements Picture {

  @Override
  public Size size() {
    return canvas.size();
  }

  @Override
  public String text(int column, int row) {
    return canvas.text(row, column);
  }

  @Override
  public String style(int column, int row) {
    return Palette.sgr(canvas.style(row, column), colours);
  }

  @Override
  public int cursorColumn() {
    return canvas.cursorColumn();
  }

  @Override
  public int cursorRow() {
    return canvas.cursorRow();
  }
}
