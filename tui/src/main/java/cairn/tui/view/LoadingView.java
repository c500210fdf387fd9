package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.time.ClockTime;
import cairn.tui.model.Sums;
import cairn.tui.model.Work;

/**
 * The walk while the stems are read: how far it has come, and the whole song as far as it is
 * summed. There is neither average peak nor line yet, so the map has one scale: down from full
 * scale, which it keeps.
 */
final class LoadingView {

  private static final int EIGHTHS = 8;

  /** How far down the map reaches in each of its three parts, dB. */
  private static final int PART_DB = 8;

  private static final int PARTS = 3;

  /** Where the row of times stands: where the walk has it. */
  private static final int TIMES_ROW = 2;

  private LoadingView() {}

  static void draw(Sheet sheet) {
    HeadView.nameAlone(sheet);
    Canvas canvas = sheet.canvas();
    if (sheet.model().work().isEmpty()) {
      canvas.put(
          sheet.rows() / 2 - 2,
          2,
          sheet.model().isUnread()
              ? "nothing was read; q leaves, the same command starts again"
              : "looking into the folder");
      return;
    }
    Work work = sheet.model().work().get();
    int row = sheet.rows() / 2 - 2;
    if (work.sums().isPresent()) {
      Sums sums = work.sums().get();
      Layout layout = Layout.of(sheet.model().size(), sums.stems() + 2);
      map(sheet, layout, sums);
      times(sheet, sums);
      row = Math.max(row, layout.countRow() + 2);
    }
    bar(sheet, row, work);
  }

  private static void bar(Sheet sheet, int row, Work work) {
    Canvas canvas = sheet.canvas();
    int width = sheet.columns() - 4;
    double share = Math.max(0, Math.min(1, (double) work.done() / Math.max(1, work.total())));
    boolean unicode = sheet.glyphs().unicode();
    int eighths = (int) Math.round(share * width * EIGHTHS);
    String bar =
        unicode
            ? "█".repeat(eighths / EIGHTHS) + part(eighths % EIGHTHS)
            : "#".repeat(eighths / EIGHTHS);
    canvas.put(row, 2, bar);
    // Where it ends, so that the bar has a scale without any colour.
    canvas.put(row + 1, 2, "0");
    canvas.putRight(row + 1, 2 + width, "100 %");
  }

  private static String part(int eighths) {
    return eighths == 0 ? "" : Character.toString('█' + EIGHTHS - eighths);
  }

  private static void map(Sheet sheet, Layout layout, Sums sums) {
    int columns = sheet.columns() - Layout.GUTTER;
    int rows = PARTS * layout.storeyRows();
    Dots dots = new Dots(columns, rows);
    int stretches = sums.peaks().length();
    for (int x = 0; x < dots.across(); x++) {
      int from = (int) ((long) stretches * x / dots.across());
      int end = Math.max(from + 1, (int) ((long) stretches * (x + 1) / dots.across()));
      double peak = -1;
      for (int i = from; i < end; i++) {
        peak = Math.max(peak, sums.peaks().at(i));
      }
      int high = height(peak, dots.down());
      dots.column(x, dots.down() - high, dots.down() - 1);
    }
    for (int row = 0; row < rows; row++) {
      for (int column = 0; column < columns; column++) {
        if (!dots.isBlank(column, row)) {
          String cell = dots.bar(column, row, sheet.glyphs().unicode());
          sheet.canvas().put(layout.mapRow() + row, Layout.GUTTER + column, cell, Style.PLAIN);
        }
      }
    }
    for (int part = 0; part < PARTS; part++) {
      sheet
          .canvas()
          .putRight(
              layout.mapRow() + part * layout.storeyRows(),
              Layout.GUTTER - 1,
              part == 0 ? "0 dB" : String.valueOf(-part * PART_DB));
    }
  }

  /** How many dots high; what is summed and silent has one, what is not summed yet none. */
  private static int height(double peak, int most) {
    if (peak < 0) {
      return 0;
    }
    double share = 1 + Decibels.ofAmplitude(peak) / (PARTS * PART_DB);
    return (int) Math.max(1, Math.round(most * Math.min(1, share)));
  }

  /** The times above the map, where the walk will have them or the names of sections. */
  private static void times(Sheet sheet, Sums sums) {
    int columns = sheet.columns() - Layout.GUTTER;
    int most = Math.max(1, columns / MapView.LEAST_TICK_CELLS);
    int step = ClockTime.tickSeconds(sums.frames(), sums.sampleRateHz(), most);
    long stepFrames = (long) step * sums.sampleRateHz();
    for (long frame = 0; frame < sums.frames(); frame += stepFrames) {
      int column = (int) (frame * columns / sums.frames());
      if (column + MapView.LEAST_TICK_CELLS / 2 < columns) {
        sheet
            .canvas()
            .put(TIMES_ROW, Layout.GUTTER + column, Words.clock(frame, sums.sampleRateHz()));
      }
    }
  }
}
