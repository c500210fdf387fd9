package cairn.io.files;

import java.util.Locale;
import java.util.Set;

/** Names of files made from names of stems. */
public final class FileNames {

  /** Room for an ending and a number within the 255 bytes that common file systems take. */
  private static final int MOST_CHARACTERS = 60;

  private FileNames() {}

  /**
   * A file name that every common system takes, and that no other one has; also where a system does
   * not tell capitals from small letters.
   *
   * @param name a stem's name, safe to show
   * @param ending the ending, without the full stop
   * @param used the names given so far, in small letters; the new one is added
   */
  public static String unique(String name, String ending, Set<String> used) {
    StringBuilder plain = new StringBuilder();
    name.codePoints()
        .limit(MOST_CHARACTERS)
        .forEach(c -> plain.appendCodePoint("/\\:*?\"<>|".indexOf(c) >= 0 || c < ' ' ? '_' : c));
    String base = plain.toString().strip().replaceFirst("^\\.+", "_").replaceFirst("\\.+$", "");
    base = base.isEmpty() ? "_" : base;
    String file = base + "." + ending;
    for (int number = 2; !used.add(file.toLowerCase(Locale.ROOT)); number++) {
      file = base + " (" + number + ")." + ending;
    }
    return file;
  }
}
