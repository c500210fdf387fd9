package cairn.tui.view;

import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Row;
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

  /** How far under zero a small picture reaches, as a share of the line. */
  private static final double BELOW = 0.3;

  /** A large one reaches as far down as up to the line. */
  private static final double BELOW_IN_LARGE = 1;

  /** From so many columns on a stem's digits stand four columns apart. */
  private static final int MANY_COLUMNS = 120;

  private final Sheet sheet;
  private final Canvas canvas;
  private final Optional<MomentNow> moment;
  private final long peakFrame;
  private final boolean isLarge;
  private final int rate;
  private final int top;
  private final int rows;
  private final int columns;
  private final double perDot;
  private final double first;
  private final Scale scale;
  private final double average;

  private CloseUpView(Sheet sheet, Layout layout, Row row) {
    this.sheet = sheet;
    canvas = sheet.canvas();
    Model model = sheet.model();
    moment = model.momentNow();
    peakFrame = moment.map(m -> m.wave().peakFrame()).orElse(row.head().peakFrame());
    double level = moment.map(m -> m.pile().level()).orElse(row.head().peak());
    rate = model.song().get().sampleRateHz();
    top = layout.closeUpRow();
    isLarge = layout.closeUpRows() >= ROWS_WITH_AXIS;
    rows = isLarge ? layout.closeUpRows() - 1 : layout.closeUpRows();
    columns = sheet.columns() - Layout.GUTTER;
    perDot = Zoom.perDot(model.zoom(), columns, rate);
    long before = moment.map(m -> peakFrame - m.wave().firstFrame()).orElse(0L);
    first = before - perDot * columns;
    double line = model.song().get().pass().line().levelAt(peakFrame);
    int overRows = Math.max(1, rows / 4);
    scale =
        new Scale(
            4 * rows,
            4 * overRows,
            line,
            Math.max(level, line * 1.05),
            isLarge ? BELOW_IN_LARGE : BELOW);
    average = model.song().get().pass().line().averagePeakAt(peakFrame);
  }

  static void draw(Sheet sheet, Layout layout) {
    Optional<Row> row = sheet.model().row();
    if (row.isEmpty()) {
      return;
    }
    // Until the moment was looked into what is the same for all: so it need not be sent again.
    CloseUpView view = new CloseUpView(sheet, layout, row.get());
    view.bus();
    view.moment.ifPresent(view::stem);
    view.labels();
    if (view.isLarge) {
      view.axis();
    }
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
    moment.ifPresent(m -> trace(dots, m.wave().bus()));
    if (isLarge) {
      // Zero; what is quiet lies on it, and need not be sent to the terminal.
      for (int x = 0; x < dots.across(); x++) {
        dots.set(x, scale.y(0));
      }
    }
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

  /** The picked stem in every second or fourth column, and between where its fix puts it. */
  private void stem(MomentNow moment) {
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
    int step = columns < MANY_COLUMNS ? 2 : 4;
    for (int column = 0; column < columns; column += step / 2) {
      if (column % step == 0) {
        if (!isLarge || !isZero(plain, column)) {
          dot(column, plain, digit, Style.PICKED);
        }
      } else if (after != null && differs(plain, after, column)) {
        dot(column, after, "'", Style.MARKED);
      }
    }
  }

  private int sample(int column) {
    return (int) Math.round(first + 2 * perDot * column);
  }

  /** Whether a stem lies on the drawn zero. */
  private boolean isZero(Samples samples, int column) {
    int at = sample(column);
    return at >= 0 && at < samples.length() && scale.y(samples.at(at)) == scale.y(0);
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
    label(0, moment.isPresent() ? Words.level1(scale.top) : sheet.glyphs().ellipsis());
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
    return isLarge && average < scale.line && row >= scale.overDown / 4 ? row : -1;
  }

  private void label(int row, String text) {
    canvas.putRight(top + row, Layout.GUTTER - 1, text);
  }

  /** What the whole width stands for, in five cells. */
  private String width() {
    String text = Zoom.width(sheet.model().zoom(), columns, rate);
    return text.length() > 5 ? text.replace(" ", "") : text;
  }

  private void axis() {
    int row = top + rows;
    int middle = Layout.GUTTER + columns / 2;
    String half = Words.finely(perDot * columns / 2, rate) + " ms ";
    String peak = "peak " + Words.time(peakFrame, rate);
    canvas.put(row, middle, "^ " + peak, Style.BOLD);
    canvas.put(row, Layout.GUTTER + columns / 4, "^ " + half + "earlier");
    canvas.put(row, Layout.GUTTER + columns - columns / 4, "^ " + half + "later");
  }
}
