package cairn.tui.view;

/** How a cell looks. Three roles have a colour; all else keeps the terminal's own. */
public enum Style {
  PLAIN,
  BOLD,
  INVERSE,
  /** Over the line. */
  OVER,
  /** The picked stem. */
  PICKED,
  /** Marked, or taken. */
  MARKED
}
