package cairn.io.listing;

import cairn.io.files.SafeText;
import java.util.ArrayList;
import java.util.List;

/**
 * Rows of cells, aligned by columns of terminal cells. The first row is the header; each of its
 * cells starts with {@code <} for a column set to the left or {@code >} for one set to the right.
 */
public final class Table {

  private final List<List<String>> rows = new ArrayList<>();

  /** Adds a row; the first one is the header. */
  public void row(List<String> cells) {
    rows.add(List.copyOf(cells));
  }

  /** The rows as lines, two spaces between columns, none at the end. */
  public List<String> lines() {
    List<String> header = rows.get(0);
    int columns = header.size();
    int[] width = new int[columns];
    for (int r = 0; r < rows.size(); r++) {
      for (int c = 0; c < columns; c++) {
        width[c] = Math.max(width[c], SafeText.cells(text(r, c)));
      }
    }
    List<String> lines = new ArrayList<>(rows.size());
    for (int r = 0; r < rows.size(); r++) {
      StringBuilder line = new StringBuilder();
      for (int c = 0; c < columns; c++) {
        String text = text(r, c);
        String gap = " ".repeat(width[c] - SafeText.cells(text));
        line.append(c == 0 ? "" : "  ");
        line.append(header.get(c).charAt(0) == '>' ? gap + text : text + gap);
      }
      lines.add(line.toString().stripTrailing());
    }
    return lines;
  }

  private String text(int row, int column) {
    String text = rows.get(row).get(column);
    return row == 0 ? text.substring(1) : text;
  }
}
