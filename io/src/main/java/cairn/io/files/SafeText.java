package cairn.io.files;

import java.util.Locale;

/**
 * Makes text from file names and tags harmless before it is shown, and measures and cuts it in
 * terminal cells.
 *
 * <p>A control character (ECMA-48, 5th edition: C0, DEL, C1), a line or paragraph separator, a
 * bidirectional control (UAX #9), an unpaired surrogate, or any other character that cannot be seen
 * becomes {@code \}{@code u{1B}}, a backslash is doubled: two names that differ still differ, and
 * no escape can be forged. Variation selectors are escaped too (a choice: some emoji need them, but
 * they are invisible, and terminals disagree about the width they give). Letters of any script
 * stay.
 *
 * <p>Escape first, cut afterwards: {@link #cells}, {@link #cut} and {@link #pad} take text that
 * {@link #of} has made, and an escape counts as one piece.
 */
public final class SafeText {

  /** Stands for what was cut out, one cell. */
  public static final String ELLIPSIS = "…";

  /** The same for terminals that show ASCII alone, two cells. */
  public static final String ASCII_ELLIPSIS = "..";

  private SafeText() {}

  /** The harmless form of {@code text}; never null, of null: the empty text. */
  public static String of(Object text) {
    if (text == null) {
      return "";
    }
    String raw = text.toString();
    StringBuilder safe = new StringBuilder(raw.length());
    for (int i = 0; i < raw.length(); ) {
      int codePoint = raw.codePointAt(i);
      i += Character.charCount(codePoint);
      if (codePoint == '\\') {
        safe.append("\\\\");
      } else if (isUnsafe(codePoint)) {
        safe.append("\\u{")
            .append(Integer.toHexString(codePoint).toUpperCase(Locale.ROOT))
            .append('}');
      } else {
        safe.appendCodePoint(codePoint);
      }
    }
    return safe.toString();
  }

  /**
   * The number of terminal cells that safe text takes: 2 for East Asian wide and full-width
   * characters and emoji, 0 for combining marks, else 1 (UAX #11).
   */
  public static int cells(String safe) {
    int cells = 0;
    for (int i = 0; i < safe.length(); ) {
      int codePoint = safe.codePointAt(i);
      i += Character.charCount(codePoint);
      cells += CellWidths.of(codePoint);
    }
    return cells;
  }

  /** {@link #cut(String, int, String)} with {@value #ELLIPSIS}. */
  public static String cut(String safe, int cells) {
    return cut(safe, cells, ELLIPSIS);
  }

  /**
   * Safe text that takes at most {@code cells} cells: as it is if it fits, else with the ellipsis
   * in place of its middle; {@code cut("hall return L", 9)} is {@code hall…rn L}. The front gets
   * the odd cell. An escape is kept or left out whole, a mark stays with its letter. Where not even
   * the ellipsis fits, as much of it as does.
   *
   * @param safe text made by {@link #of}
   * @param cells width in cells, at least 0
   * @param ellipsis what stands for the part left out
   */
  public static String cut(String safe, int cells, String ellipsis) {
    if (cells(safe) <= cells) {
      return safe;
    }
    int left = cells - cells(ellipsis);
    if (left <= 0) {
      return front(ellipsis, cells);
    }
    String front = front(safe, (left + 1) / 2);
    return front + ellipsis + back(safe, left - cells(front));
  }

  /** {@link #cutEnd(String, int, String)} with {@value #ELLIPSIS}. */
  public static String cutEnd(String safe, int cells) {
    return cutEnd(safe, cells, ELLIPSIS);
  }

  /**
   * Like {@link #cut(String, int, String)}, but the end is left out: {@code hall ret…}.
   *
   * @param safe text made by {@link #of}
   * @param cells width in cells, at least 0
   * @param ellipsis what stands for the part left out
   */
  public static String cutEnd(String safe, int cells, String ellipsis) {
    if (cells(safe) <= cells) {
      return safe;
    }
    int left = cells - cells(ellipsis);
    return left <= 0 ? front(ellipsis, cells) : front(safe, left) + ellipsis;
  }

  /** Safe text with blanks after it up to {@code cells} cells; longer text stays as it is. */
  public static String pad(String safe, int cells) {
    return safe + " ".repeat(Math.max(0, cells - cells(safe)));
  }

  /** Safe text with blanks before it up to {@code cells} cells; longer text stays as it is. */
  public static String padLeft(String safe, int cells) {
    return " ".repeat(Math.max(0, cells - cells(safe))) + safe;
  }

  /** The longest run of whole pieces from the start that fits. */
  private static String front(String safe, int cells) {
    int end = 0;
    int used = 0;
    while (end < safe.length()) {
      int next = endOfPiece(safe, end);
      used += cells(safe.substring(end, next));
      if (used > cells) {
        break;
      }
      end = next;
    }
    return safe.substring(0, end);
  }

  /** The longest run of whole pieces up to the end that fits. */
  private static String back(String safe, int cells) {
    int start = 0;
    int rest = cells(safe);
    while (rest > cells) {
      int next = endOfPiece(safe, start);
      rest -= cells(safe.substring(start, next));
      start = next;
    }
    return safe.substring(start);
  }

  /** The end of the piece at {@code start}: an escape, or a character with its marks. */
  private static int endOfPiece(String safe, int start) {
    int end;
    if (safe.startsWith("\\u{", start)) {
      int close = safe.indexOf('}', start);
      end = close < 0 ? start + 1 : close + 1;
    } else if (safe.startsWith("\\\\", start)) {
      end = start + 2;
    } else {
      end = start + Character.charCount(safe.codePointAt(start));
    }
    while (end < safe.length() && CellWidths.of(safe.codePointAt(end)) == 0) {
      end += Character.charCount(safe.codePointAt(end));
    }
    return end;
  }

  private static boolean isUnsafe(int codePoint) {
    return switch (Character.getType(codePoint)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR,
          Character.SURROGATE,
          Character.UNASSIGNED ->
          true;
      // Blank, but of other categories: Hangul fillers, the combining grapheme joiner, invisible
      // Khmer vowels and variation selectors.
      default ->
          codePoint == 0x034F
              || codePoint == 0x115F
              || codePoint == 0x1160
              || codePoint == 0x3164
              || codePoint == 0xFFA0
              || codePoint == 0x17B4
              || codePoint == 0x17B5
              || (codePoint >= 0x180B && codePoint <= 0x180F)
              || (codePoint >= 0xFE00 && codePoint <= 0xFE0F)
              || (codePoint >= 0xE0000 && codePoint <= 0xE0FFF);
    };
  }
}
