package cairn.tui.view;

import cairn.tui.model.Look;

/**
 * The colours of the roles: vermillion, blue and bluish green of the set that Okabe and Ito
 * published in 2008 for all kinds of colour vision, which also stand out from black and from white
 * (values from memory). Where there are 256 or 16 colours, the nearest; where there are none, bold
 * and underline.
 */
public final class Palette {

  private Palette() {}

  /** The parameters of the ECMA-48 control function SGR that set a style from a reset state. */
  public static String sgr(Style style, Look.Colours colours) {
    return switch (style) {
      case PLAIN -> "0";
      case BOLD -> "0;1";
      case INVERSE -> "0;7";
      case OVER ->
          switch (colours) {
            case NONE -> "0;1";
            case SIXTEEN -> "0;31";
            case TWO_HUNDRED_FIFTY_SIX -> "0;38;5;166";
            case TRUE -> "0;38;2;213;94;0";
          };
      case PICKED ->
          switch (colours) {
            case NONE -> "0;4";
            case SIXTEEN -> "0;36";
            case TWO_HUNDRED_FIFTY_SIX -> "0;38;5;31";
            case TRUE -> "0;38;2;0;114;178";
          };
      case MARKED ->
          switch (colours) {
            case NONE -> "0";
            case SIXTEEN -> "0;32";
            case TWO_HUNDRED_FIFTY_SIX -> "0;38;5;36";
            case TRUE -> "0;38;2;0;158;115";
          };
    };
  }
}
