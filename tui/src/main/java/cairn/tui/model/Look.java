package cairn.tui.model;

/**
 * What the terminal can show.
 *
 * @param unicode whether braille, blocks and letters of any script can be shown; else ASCII alone
 * @param colours how many colours
 */
public record Look(boolean unicode, Colours colours) {

  /** How many colours a terminal has. */
  public enum Colours {
    NONE,
    SIXTEEN,
    TWO_HUNDRED_FIFTY_SIX,
    TRUE
  }
}
