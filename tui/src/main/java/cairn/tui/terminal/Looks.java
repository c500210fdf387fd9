package cairn.tui.terminal;

import cairn.tui.model.Look;
import cairn.tui.model.Look.Colours;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** Decides from the environment what a terminal can show. */
public final class Looks {

  private Looks() {}

  /** Why a terminal of this kind cannot show the walk, and what to do; empty: it can. */
  public static Optional<String> refused(Map<String, String> environment) {
    String term = term(environment);
    return term.isEmpty() || term.equals("dumb") || term.equals("unknown")
        ? Optional.of(
            "this terminal cannot place text (TERM is "
                + (term.isEmpty() ? "not set" : term)
                + "); use another one, or cairn list")
        : Optional.empty();
  }

  /**
   * What it can show.
   *
   * @param asciiAsked whether ASCII alone was asked for
   */
  public static Look of(Map<String, String> environment, boolean asciiAsked) {
    return new Look(!asciiAsked && isUnicode(environment), colours(environment));
  }

  /**
   * POSIX.1-2017, XBD 8.2: LC_ALL wins over LC_CTYPE, that over LANG. The launcher may have set one
   * of them for the file names; it then leaves what it found in CAIRN_LOCALE. The Linux console and
   * the terminals that the vt names stand for have no braille in their fonts.
   */
  private static boolean isUnicode(Map<String, String> environment) {
    String term = term(environment);
    if (term.startsWith("linux") || term.startsWith("vt")) {
      return false;
    }
    String locale = environment.get("CAIRN_LOCALE");
    for (String name : new String[] {"LC_ALL", "LC_CTYPE", "LANG"}) {
      if (locale == null && !environment.getOrDefault(name, "").isEmpty()) {
        locale = environment.get(name);
      }
    }
    String small = locale == null ? "" : locale.toLowerCase(Locale.ROOT);
    return small.contains("utf-8") || small.contains("utf8");
  }

  /**
   * NO_COLOR, set to anything, means none (no-color.org). COLORTERM and the endings of TERM are
   * common practice.
   */
  private static Colours colours(Map<String, String> environment) {
    String term = term(environment);
    if (!environment.getOrDefault("NO_COLOR", "").isEmpty()
        || term.startsWith("vt")
        || term.endsWith("-m")
        || term.endsWith("-mono")) {
      return Colours.NONE;
    }
    String more = environment.getOrDefault("COLORTERM", "").toLowerCase(Locale.ROOT);
    if (more.equals("truecolor") || more.equals("24bit") || term.contains("direct")) {
      return Colours.TRUE;
    }
    return term.contains("256color") ? Colours.TWO_HUNDRED_FIFTY_SIX : Colours.SIXTEEN;
  }

  /**
   * Whether a terminal may be asked if it can hold a picture back until it is whole. Consoles that
   * would show the question instead are not.
   */
  static boolean mayBeAsked(Map<String, String> environment) {
    String term = term(environment);
    return !term.startsWith("linux") && !term.startsWith("vt") && !term.startsWith("screen");
  }

  private static String term(Map<String, String> environment) {
    return environment.getOrDefault("TERM", "");
  }
}
