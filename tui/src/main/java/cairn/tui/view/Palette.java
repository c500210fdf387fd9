package cairn.tui.view;

import cairn.tui.model.Look;

/**
 * How the styles look: vermillion, blue and bluish green of the set that Okabe and Ito published in
 * 2008 for all kinds of colour vision (values from memory), with the middle lightness that stands
 * out from black and from white. Where there are 256 or 16 colours, the nearest; where there are
 * none, bold and underline.
 */
public final class Palette {

  private Palette() {}

  /**
   * The parameters of the control function SGR (ECMA-48, 8.3.117) that make a style of plain text;
   * empty: plain.
   */
  public static String sgr(Style style, Look.Colours colours) {
    return switch (style) {
      case PLAIN -> "";
      case BOLD -> "1";
      case INVERSE -> "7";
      case OVER ->
          switch (colours) {
            case NONE -> "1";
            case SIXTEEN -> "31";
            case TWO_HUNDRED_FIFTY_SIX -> "38;5;166";
            case TRUE -> "38;2;213;94;0";
          };
      case PICKED ->
          switch (colours) {
            case NONE -> "1";
            case SIXTEEN -> "1;34";
            case TWO_HUNDRED_FIFTY_SIX -> "1;38;5;32";
            case TRUE -> "1;38;2;0;114;178";
          };
      case MARKED ->
          switch (colours) {
            case NONE -> "4";
            case SIXTEEN -> "32";
            case TWO_HUNDRED_FIFTY_SIX -> "38;5;36";
            case TRUE -> "38;2;0;158;115";
          };
    };
  }
}
