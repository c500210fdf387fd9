package cairn.tui.view;

import cairn.tui.model.Screen;

/** The place of the spectrum. */
final class SpectrumView {

  private SpectrumView() {}

  static void draw(Sheet sheet) {
    Pictures.title(sheet, Screen.SPECTRUM, "");
    sheet.canvas().put(2, 2, "The spectrum is not there yet.");
  }
}
