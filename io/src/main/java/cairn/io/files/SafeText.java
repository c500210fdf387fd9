package cairn.io.files;

/**
 * Makes text from file names and tags harmless before it is shown: a control character, an
 * invisible one or a lone surrogate becomes {@code \}{@code u{1B}}, a backslash is doubled. ECMA-48
 * 5th edition, UAX #9.
 */
public final class SafeText {

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
        safe.append("\\u{").append(String.format("%04X", codePoint)).append('}');
      } else {
        safe.appendCodePoint(codePoint);
      }
    }
    return safe.toString();
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
              || (codePoint >= 0xFE00 && codePoint <= 0xFE0E)
              || (codePoint >= 0xE0000 && codePoint <= 0xE0FFF);
    };
  }
}
