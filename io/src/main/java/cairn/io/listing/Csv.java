package cairn.io.listing;

import java.io.IOException;
import java.io.Writer;
import java.util.List;

/** Rows of RFC 4180, section 2: fields apart by commas, CR LF at the end, quotes where needed. */
public final class Csv {

  /**
   * What makes a spreadsheet take a field for a formula, at its start: CWE-1236, and the full-width
   * forms.
   */
  private static final String FORMULA_STARTS = "=+-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20";

  private Csv() {}

  /** Writes one row; a field is the text of its object. */
  public static void writeRow(Writer out, List<?> fields) throws IOException {
    for (int i = 0; i < fields.size(); i++) {
      if (i > 0) {
        out.write(',');
      }
      out.write(quoted(String.valueOf(fields.get(i))));
    }
    out.write("\r\n");
  }

  /** A field, in quotes if it holds a comma, a quote or a line's end. */
  public static String quoted(String field) {
    boolean plain = field.chars().noneMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
    return plain ? field : '"' + field.replace("\"", "\"\"") + '"';
  }

  /**
   * Text from outside, with an apostrophe in front if it starts like a formula. Not for numbers of
   * our own: -3.25 must stay one.
   */
  public static String guarded(String text) {
    return !text.isEmpty() && FORMULA_STARTS.indexOf(text.charAt(0)) >= 0 ? "'" + text : text;
  }
}
