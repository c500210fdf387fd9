package cairn.tui.terminal;

import cairn.tui.model.Size;

/** What is to be seen, cell by cell. */
public interface Picture {

  /** Its size in cells. */
  Size size();

  /**
   * What a cell shows: one character with its marks, one or two cells wide.
   *
   * @return empty for the second cell of a wide character
   */
  String text(int column, int row);

  /**
   * How a cell looks, as parameters of SGR (ECMA-48, 8.3.117) after a reset: {@code 1;7}; empty:
   * plain.
   */
  String style(int column, int row);

  /** Column in which the terminal's cursor rests. */
  int cursorColumn();

  /** Row in which it rests. */
  int cursorRow();
}
