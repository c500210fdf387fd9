package cairn.tui.view;

import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Samples;
import cairn.tui.update.Zoom;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * The bus about the peak, turned so that the peak points up, with what is over the line magnified;
 * the picked stem in its digit, and {@code '} where its fix would put it.
 */
final class CloseUpView {

  /** From so many rows on the last one is an axis of time. */
  private static final int ROWS_WITH_AXIS = 8;

  /** How far under zero the picture reaches at least and at most, as a share of the line. */
  private static final double LEAST_BELOW = 0.3;

  private static final double MOST_BELOW = 1;

  private final Sheet sheet;
  private final Canvas canvas;
  private final MomentNow moment;
  private final int rate;
  private final int top;
  private final int rows;
  private final int columns;
  private final double perDot;
  private final double first;
  private final Scale scale;
  private final double average;

  private CloseUpView(Sheet sheet, Layout layout, MomentNow moment) {
    this.sheet = sheet;
    this.moment = moment;
    canvas = sheet.canvas();
    Model model = sheet.model();
    MomentNow.Wave wave = moment.wave();
    rate = model.song().get().sampleRateHz();
    top = layout.closeUpRow();
    rows = layout.closeUpRows() >= ROWS_WITH_AXIS ? layout.closeUpRows() - 1 : layout.closeUpRows();
    columns = sheet.columns() - Layout.GUTTER;
    double millis = Zoom.millis(model.zoom());
    // Two dots a column: half a sample a dot is the narrowest.
    perDot = millis == 0 ? 0.5 : Math.max(0.5, millis * rate / 1000 / (2 * columns));
    first = wave.peakFrame() - wave.firstFrame() - perDot * columns;
    double line = model.song().get().pass().line().levelAt(wave.peakFrame());
    int overRows = Math.max(1, rows / 4);
    scale =
        new Scale(
            4 * rows,
            4 * overRows,
            line,
            Math.max(moment.pile().level(), line * 1.05),
            rows < ROWS_WITH_AXIS - 1 ? LEAST_BELOW : below(line));
    average = model.song().get().pass().line().averagePeakAt(wave.peakFrame());
  }

  static void draw(Sheet sheet, Layout layout) {
    Optional<MomentNow> found = sheet.model().momentNow();
    if (found.isEmpty()) {
      if (sheet.model().row().isPresent()) {
        sheet.canvas().putRight(layout.closeUpRow(), Layout.GUTTER - 1, sheet.glyphs().ellipsis());
      }
      return;
    }
    CloseUpView view = new CloseUpView(sheet, layout, found.get());
    view.bus();
    view.stem();
    view.labels();
    if (view.rows < layout.closeUpRows()) {
      view.axis();
    }
  }

  private double below(double line) {
    Samples bus = moment.wave().bus();
    double least = 0;
    int end = (int) Math.min(bus.length(), first + 2 * columns * perDot);
    for (int i = (int) Math.max(0, first); i < end; i++) {
      least = Math.min(least, bus.at(i));
    }
    return Math.max(LEAST_BELOW, Math.min(MOST_BELOW, -least / line));
  }

  /** From a level to a row of dots, 0 at the top; what is over the line is magnified. */
  private record Scale(int down, int overDown, double line, double top, double below) {

    int y(double level) {
      if (level > line) {
        return (int) Math.max(0, Math.round((overDown - 1) * (top - level) / (top - line)));
      }
      double share = (line - level) / (line * (1 + below));
      return overDown + (int) Math.round((down - overDown - 1) * share);
    }
  }

  private void bus() {
    Dots dots = new Dots(columns, rows);
    trace(dots, moment.wave().bus());
    int overRows = scale.overDown / 4;
    int averageRow = averageRow();
    boolean unicode = sheet.glyphs().unicode();
    for (int row = 0; row < rows; row++) {
      for (int column = 0; column < columns; column++) {
        if (!dots.isBlank(column, row)) {
          canvas.put(
              top + row,
              Layout.GUTTER + column,
              dots.curve(column, row, unicode),
              row < overRows ? Style.OVER : Style.PLAIN);
        } else if ((row == overRows - 1 && column % 4 == 0)
            || (row == averageRow && column % 8 == 0)) {
          // The line, and in a large picture the average peak.
          canvas.put(top + row, Layout.GUTTER + column, unicode ? "⡀" : ".");
        }
      }
    }
  }

  private void trace(Dots dots, Samples samples) {
    int before = Integer.MIN_VALUE;
    for (int x = 0; x < dots.across(); x++) {
      double at = first + x * perDot;
      if (at < 0 || at > samples.length() - 1.0) {
        before = Integer.MIN_VALUE;
        continue;
      }
      double least = samples.at((int) at);
      double most = least;
      if (perDot <= 1) {
        double next = samples.at(Math.min((int) at + 1, samples.length() - 1));
        least += (at - (int) at) * (next - least);
        most = least;
      } else {
        for (int i = (int) at; i < Math.min(at + perDot, samples.length()); i++) {
          least = Math.min(least, samples.at(i));
          most = Math.max(most, samples.at(i));
        }
      }
      int up = scale.y(most);
      int down = scale.y(least);
      int middle = (up + down) / 2;
      // Joined with the dot before, so that a steep flank is a line, not two dots.
      if (before != Integer.MIN_VALUE) {
        up = Math.min(up, before + 1);
        down = Math.max(down, before - 1);
        if (up > down) {
          up = down;
        }
      }
      dots.column(x, up, down);
      before = middle;
    }
  }

  /** The picked stem in every second column, and between them where its fix puts it. */
  private void stem() {
    OptionalInt picked = sheet.model().pickedStem();
    if (picked.isEmpty() || moment.wave().stems().get(picked.getAsInt()) == null) {
      return;
    }
    int k = picked.getAsInt();
    Samples plain = moment.wave().stems().get(k);
    boolean marked =
        sheet.model().deeds().marks().fixes().stream()
            .anyMatch(m -> m.fix().stem() == k && m.momentFrame() == moment.momentFrame());
    Samples after = marked ? moment.wave().marked().get(k) : moment.wave().proposed().get(k);
    int place = PileRows.placeOf(moment.pile().contributions(), picked);
    String digit = place >= 0 && place < 9 ? String.valueOf(place + 1) : "o";
    for (int column = 0; column < columns; column++) {
      if (column % 2 == 0) {
        dot(column, plain, digit, Style.PICKED);
      } else if (after != null && differs(plain, after, column)) {
        dot(column, after, "'", Style.MARKED);
      }
    }
  }

  private int sample(int column) {
    return (int) Math.round(first + 2 * perDot * column);
  }

  private boolean differs(Samples a, Samples b, int column) {
    int at = sample(column);
    return at >= 0 && at < Math.min(a.length(), b.length()) && a.at(at) != b.at(at);
  }

  private void dot(int column, Samples samples, String glyph, Style style) {
    int at = sample(column);
    if (at >= 0 && at < samples.length()) {
      int row = scale.y(samples.at(at)) / 4;
      if (row < rows) {
        canvas.put(top + row, Layout.GUTTER + column, glyph, style);
      }
    }
  }

  private void labels() {
    int overRows = scale.overDown / 4;
    label(0, Words.level1(scale.top));
    label(overRows, Words.level1(scale.line));
    int zero = Math.min(rows - 1, scale.y(0) / 4);
    if (averageRow() >= 0) {
      label(averageRow() + 1, Words.level1(average));
    }
    label(zero, "zero");
    int last = zero == rows - 1 ? rows - 2 : rows - 1;
    if (last > overRows) {
      label(last, width());
    }
  }

  /** The row above the average peak, in a large picture where that is not the line's; else −1. */
  private int averageRow() {
    int row = scale.y(average) / 4 - 1;
    return rows >= ROWS_WITH_AXIS - 1 && average < scale.line && row >= scale.overDown / 4
        ? row
        : -1;
  }

  private void label(int row, String text) {
    canvas.putRight(top + row, Layout.GUTTER - 1, text);
  }

  /** What the whole width stands for, in five cells. */
  private String width() {
    double millis = 1000 * perDot * 2 * columns / rate;
    String text = Figures.fixed(millis, millis < 9.95 ? 1 : 0).replaceFirst("\\.0$", "");
    return text + (text.length() > 2 ? "ms" : " ms");
  }

  private void axis() {
    int row = top + rows;
    int middle = Layout.GUTTER + columns / 2;
    String half = Words.finely(perDot * columns / 2, rate) + " ms ";
    String peak = "peak " + Words.time(moment.wave().peakFrame(), rate);
    canvas.put(row, middle, "^ " + peak, Style.BOLD);
    canvas.put(row, Layout.GUTTER + columns / 4, "^ " + half + "earlier");
    canvas.put(row, Layout.GUTTER + columns - columns / 4, "^ " + half + "later");
  }
}
