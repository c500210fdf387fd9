package cairn.io.stems;

import java.util.List;

/** Puts names into a sentence. */
final class Notes {

  private Notes() {}

  /** {@code 'a'}, {@code 'a' and 'b'}, {@code 'a', 'b' and 'c'}. */
  static String listed(List<String> names) {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < names.size(); i++) {
      if (i > 0) {
        text.append(i == names.size() - 1 ? " and " : ", ");
      }
      text.append('\'').append(names.get(i)).append('\'');
    }
    return text.toString();
  }
}
