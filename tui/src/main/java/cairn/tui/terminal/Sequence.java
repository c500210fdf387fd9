package cairn.tui.terminal;

import com.googlecode.lanterna.input.BasicCharacterPattern;
import com.googlecode.lanterna.input.CharacterPattern;
import com.googlecode.lanterna.input.KeyStroke;
import com.googlecode.lanterna.input.KeyType;
import java.util.List;

/**
 * Any control sequence (ECMA-48, 5th edition, 5.4: {@code ESC [}, parameter bytes, intermediate
 * bytes, one final byte) and any single shift three ({@code ESC O} and one byte), so that one that
 * no key has is not read as the letters that it is written with.
 */
final class Sequence implements CharacterPattern {

  private static final char ESC = '\u001B';

  /** No sequence is longer; what is, is no sequence. */
  private static final int LONGEST = 64;

  /** A sequence that no key has. */
  static final class Unknown extends KeyStroke {
    private final String text;

    private Unknown(String text) {
      super(KeyType.Unknown);
      this.text = text;
    }

    /** What came after the escape. */
    String text() {
      return text;
    }
  }

  /** Where pasted text begins or ends. */
  static final class Paste extends KeyStroke {
    private final boolean begins;

    private Paste(boolean begins) {
      super(KeyType.Unknown);
      this.begins = begins;
    }

    boolean begins() {
      return begins;
    }

    static List<CharacterPattern> patterns() {
      return List.of(
          new BasicCharacterPattern(new Paste(true), ESC, '[', '2', '0', '0', '~'),
          new BasicCharacterPattern(new Paste(false), ESC, '[', '2', '0', '1', '~'));
    }
  }

  @Override
  public Matching match(List<Character> read) {
    int length = read.size();
    if (read.get(0) != ESC || length > LONGEST) {
      return null;
    }
    if (length == 1) {
      return Matching.NOT_YET;
    }
    char kind = read.get(1);
    if (kind != '[' && kind != 'O') {
      return null;
    }
    if (length == 2) {
      return Matching.NOT_YET;
    }
    boolean inIntermediates = false;
    for (int i = 2; i < length; i++) {
      char c = read.get(i);
      if (c >= 0x40 && c <= 0x7E) {
        // The Linux console writes its first function keys as ESC [ [ A.
        boolean goesOn = kind == '[' && i == 2 && c == '[';
        if (!goesOn) {
          return i == length - 1 ? new Matching(new Unknown(text(read))) : null;
        }
      } else if (c >= 0x20 && c <= 0x2F) {
        inIntermediates = true;
      } else if (c < 0x30 || c > 0x3F || inIntermediates) {
        return null;
      }
    }
    return Matching.NOT_YET;
  }

  private static String text(List<Character> read) {
    StringBuilder text = new StringBuilder();
    for (char c : read.subList(1, read.size())) {
      text.append(c);
    }
    return text.toString();
  }
}
