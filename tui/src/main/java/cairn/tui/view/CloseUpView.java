package cairn.tui.view;

import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Samples;
import cairn.tui.update.Zoom;
import java.util.Optional;
import java.util.OptionalInt;

/** The bus about the peak, turned so that the peak points up, with the picked stem over it. */
final class CloseUpView {

  private CloseUpView() {}

  static void draw(Canvas canvas, Model model, Layout layout, Glyphs glyphs) {
    int top = layout.closeUpRow();
    int rows = layout.closeUpRows();
    Optional<MomentNow> found = model.momentNow();
    if (found.isEmpty()) {
      if (model.row().isPresent()) {
        canvas.putRight(top, Layout.GUTTER - 1, glyphs.ellipsis(), Style.PLAIN);
      }
      return;
    }
    MomentNow.Wave wave = found.get().wave();
    int rate = model.song().get().sampleRateHz();
    int columns = canvas.size().columns() - Layout.GUTTER;
    Dots dots = new Dots(columns, rows);
    double line = model.song().get().pass().line().levelAt(wave.peakFrame());
    int overRows = Math.max(1, rows / 4);
    Scale scale = new Scale(dots.down(), 4 * overRows, line, highest(wave, line));
    double perDot = perDot(model, rate, dots.across());
    double first = wave.peakFrame() - wave.firstFrame() - perDot * dots.across() / 2;
    trace(dots, wave.bus(), first, perDot, scale);
    for (int row = 0; row < rows; row++) {
      for (int column = 0; column < columns; column++) {
        if (!dots.isBlank(column, row)) {
          canvas.put(
              top + row,
              Layout.GUTTER + column,
              dots.glyph(column, row, glyphs.unicode()),
              row < overRows ? Style.OVER : Style.PLAIN);
        } else if (row == overRows - 1 && column % 2 == 0) {
          canvas.put(top + row, Layout.GUTTER + column, glyphs.unicode() ? "⣀" : "_");
        }
      }
    }
    stem(canvas, model, found.get(), new Frame(top, columns, first, perDot), scale, dots);
    canvas.putRight(top, Layout.GUTTER - 1, Words.level1(scale.top), Style.PLAIN);
    if (rows > overRows) {
      canvas.putRight(top + overRows, Layout.GUTTER - 1, Words.level1(line), Style.PLAIN);
    }
    int zero = scale.y(0) / 4;
    if (zero > overRows && zero < rows) {
      canvas.putRight(top + zero, Layout.GUTTER - 1, "zero", Style.PLAIN);
    }
    if (rows - 1 > overRows) {
      int at = zero == rows - 1 ? rows - 2 : rows - 1;
      if (at > overRows) {
        canvas.putRight(
            top + at,
            Layout.GUTTER - 1,
            Words.millis(perDot * dots.across(), rate) + "ms",
            Style.PLAIN);
      }
    }
  }

  private record Frame(int top, int columns, double first, double perDot) {}

  /** From a level to a row of dots, 0 at the top; what is over the line is magnified. */
  private record Scale(int down, int overDown, double line, double top) {
    /** How far under zero the picture reaches, as a share of the line. */
    private static final double BELOW = 0.3;

    int y(double value) {
      if (value > line) {
        return (int) Math.round((overDown - 1) * (1 - (value - line) / (top - line)));
      }
      double share = (line - value) / (line * (1 + BELOW));
      return overDown + (int) Math.round((down - overDown - 1) * share);
    }
  }

  private static double highest(MomentNow.Wave wave, double line) {
    int at = (int) (wave.peakFrame() - wave.firstFrame());
    double highest = line * 1.02;
    for (int i = Math.max(0, at - 50); i < Math.min(wave.bus().length(), at + 50); i++) {
      highest = Math.max(highest, wave.bus().at(i));
    }
    return highest;
  }

  private static double perDot(Model model, int rate, int across) {
    double millis = Zoom.millis(model.zoom());
    return millis == 0 ? 0.5 : Math.max(0.5, millis * rate / 1000 / across);
  }

  private static void trace(Dots dots, Samples samples, double first, double perDot, Scale scale) {
    int lastY = -1;
    for (int x = 0; x < dots.across(); x++) {
      double from = first + x * perDot;
      int low = (int) Math.floor(from);
      int high = (int) Math.max(low + 1, Math.floor(from + perDot));
      if (low < 0 || low >= samples.length()) {
        lastY = -1;
        continue;
      }
      double least = Double.MAX_VALUE;
      double most = -Double.MAX_VALUE;
      for (int i = low; i < Math.min(high, samples.length()); i++) {
        least = Math.min(least, samples.at(i));
        most = Math.max(most, samples.at(i));
      }
      int yTop = scale.y(most);
      int yBottom = scale.y(least);
      // Joined with the dot before, so that a steep flank is a line, not two dots.
      if (lastY >= 0) {
        yTop = Math.min(yTop, lastY + 1);
        yBottom = Math.max(yBottom, lastY - 1);
      }
      dots.column(x, Math.max(0, yTop), Math.min(dots.down() - 1, yBottom));
      lastY = scale.y((most + least) / 2);
    }
  }

  private static void stem(
      Canvas canvas, Model model, MomentNow moment, Frame frame, Scale scale, Dots dots) {
    OptionalInt picked = model.pickedStem();
    if (picked.isEmpty()) {
      return;
    }
    int k = picked.getAsInt();
    Samples plain = moment.wave().stems().get(k);
    if (plain == null) {
      return;
    }
    boolean marked =
        model.deeds().marks().fixes().stream()
            .anyMatch(m -> m.fix().stem() == k && m.momentFrame() == moment.momentFrame());
    Samples after = marked ? moment.wave().marked().get(k) : moment.wave().proposed().get(k);
    int index = 0;
    for (int i = 0; i < moment.pile().contributions().size(); i++) {
      if (moment.pile().contributions().get(i).stem() == k) {
        index = i + 1;
      }
    }
    String digit = index <= 9 ? String.valueOf(index) : "*";
    for (int column = 0; column < frame.columns(); column++) {
      int at = (int) Math.floor(frame.first() + 2 * column * frame.perDot());
      if (at < 0 || at >= plain.length()) {
        continue;
      }
      if (column % 2 == 0) {
        dot(canvas, frame, scale, dots, column, plain.at(at), digit, Style.PICKED);
      } else if (after != null && at < after.length() && after.at(at) != plain.at(at)) {
        dot(canvas, frame, scale, dots, column, after.at(at), "'", Style.MARKED);
      }
    }
  }

  private static void dot(
      Canvas canvas,
      Frame frame,
      Scale scale,
      Dots dots,
      int column,
      double value,
      String glyph,
      Style style) {
    int row = scale.y(value) / 4;
    if (row >= 0 && row < dots.down() / 4) {
      canvas.put(frame.top() + row, Layout.GUTTER + column, glyph, style);
    }
  }
}
