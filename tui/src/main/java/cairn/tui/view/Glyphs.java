package cairn.tui.view;

import cairn.tui.model.Look;

/** The characters that pictures are made of, in full or in ASCII. */
record Glyphs(
    boolean unicode,
    String cursor,
    String full,
    String leftHalf,
    String rightHalf,
    String ease,
    String dotted,
    String ellipsis) {

  static Glyphs of(Look look) {
    return look.unicode()
        ? new Glyphs(true, "›", "█", "▌", "▐", "░", "┊", "…")
        : new Glyphs(false, ">", "#", "#", "#", "<", ":", "..");
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
