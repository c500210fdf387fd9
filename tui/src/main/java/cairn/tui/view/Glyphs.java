package cairn.tui.view;

import cairn.tui.model.Look;

/**
 * The characters that pictures are made of, in full or in ASCII.
 *
 * @param unicode whether in full
 * @param cursor stands before what is selected or picked
 * @param full a whole cell of a stone
 * @param ease a cell of a stone that eases
 * @param dotted where average peak and line stand in the pile
 * @param ellipsis stands for what was cut out, or is not there yet
 */
record Glyphs(
    boolean unicode, String cursor, String full, String ease, String dotted, String ellipsis) {

  private static final Glyphs FULL = new Glyphs(true, "›", "█", "░", "┊", "…");
  private static final Glyphs ASCII = new Glyphs(false, ">", "#", "<", ":", "..");

  static Glyphs of(Look look) {
    return look.unicode() ? FULL : ASCII;
  }

  /** A sentence with only what can be shown. */
  String plain(String text) {
    return unicode
        ? text
        : text.replace("…", "..")
            .replace("↓", "Down")
            .replace("↑", "Up")
            .replace("←", "Left")
            .replace("→", "Right")
            .replace("−", "-");
  }
}
