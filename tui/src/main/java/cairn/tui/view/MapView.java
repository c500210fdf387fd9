package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.TimeRange;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import cairn.tui.model.Model;
import cairn.tui.model.Row;
import cairn.tui.model.Song;
import java.util.Optional;
import java.util.function.IntToDoubleFunction;

/** The peaks of the song in three storeys, each with a scale of its own in dB. */
final class MapView {

  /** How far the lowest storey reaches down under the average peak. */
  private static final double LOWEST_DB = 18;

  private static final double SIXTEEN_SECONDS = 16;

  private MapView() {}

  static void draw(Canvas canvas, Model model, Layout layout, Glyphs glyphs) {
    Song song = model.song().get();
    int columns = canvas.size().columns() - Layout.GUTTER;
    TimeRange shown = shown(model, song);
    Dots dots = new Dots(columns, 3 * layout.storeyRows());
    Summary summary = song.pass().summary();
    double average = Decibels.ofAmplitude(song.pass().line().averagePeak().overall());
    double line = Decibels.ofAmplitude(song.pass().line().level(0));
    double lower = Math.min(average, line);
    double top = Math.max(line + 0.1, Decibels.ofAmplitude(song.pass().peak()));
    int perStorey = 4 * layout.storeyRows();
    IntToDoubleFunction peaks =
        model.whatIf() && model.busNow().isPresent()
            ? model.busNow().get().blockPeak()
            : summary::blockPeak;
    for (int x = 0; x < dots.across(); x++) {
      double peakDb = Decibels.ofAmplitude(highest(summary, peaks, shown, x, dots.across()));
      int high = height(peakDb, lower - LOWEST_DB, lower, line, top, perStorey);
      if (high > 0) {
        dots.column(x, dots.down() - high, dots.down() - 1);
      }
    }
    for (int row = 0; row < 3 * layout.storeyRows(); row++) {
      boolean over = row < layout.storeyRows();
      for (int column = 0; column < columns; column++) {
        canvas.put(
            layout.mapRow() + row,
            Layout.GUTTER + column,
            dots.glyph(column, row, glyphs.unicode()),
            over ? Style.OVER : Style.PLAIN);
      }
    }
    label(canvas, layout.mapRow(), top);
    label(canvas, layout.mapRow() + layout.storeyRows(), line);
    label(canvas, layout.mapRow() + 2 * layout.storeyRows(), lower);
    sections(canvas, model, shown, columns);
    counts(canvas, model, layout, shown, columns);
  }

  private static void label(Canvas canvas, int row, double levelDb) {
    canvas.putRight(
        row, Layout.GUTTER - 1, cairn.io.listing.Figures.fixed(levelDb, 1), Style.PLAIN);
  }

  /** How many dots high: a storey's dots for each third of the scale. */
  private static int height(
      double db, double floor, double lower, double line, double top, int perStorey) {
    if (db <= floor) {
      return 0;
    }
    if (db <= lower) {
      return (int) Math.ceil(perStorey * (db - floor) / (lower - floor));
    }
    if (db <= line) {
      return perStorey + (int) Math.ceil(perStorey * (db - lower) / Math.max(1e-9, line - lower));
    }
    return Math.min(
        3 * perStorey, 2 * perStorey + (int) Math.ceil(perStorey * (db - line) / (top - line)));
  }

  private static double highest(
      Summary summary, IntToDoubleFunction peaks, TimeRange shown, int x, int across) {
    long from = shown.firstFrame() + shown.frames() * x / across;
    long to = Math.max(from + 1, shown.firstFrame() + shown.frames() * (x + 1) / across);
    int end = summary.blockOf(Math.min(to, summary.grid().range().endFrame()) - 1);
    double highest = 0;
    for (int i = summary.blockOf(from); i <= end; i++) {
      highest = Math.max(highest, peaks.applyAsDouble(i));
    }
    return highest;
  }

  /** The stretch of the song that the map shows. */
  private static TimeRange shown(Model model, Song song) {
    TimeRange all = song.pass().range();
    long at = model.row().map(row -> row.head().peakFrame()).orElse(all.firstFrame());
    if (model.breadth() == 1) {
      Optional<Song.Section> in =
          model.sections().stream()
              .filter(s -> at >= s.firstFrame() && at < s.endFrame())
              .findFirst();
      if (in.isPresent()) {
        return new TimeRange(
            Math.max(all.firstFrame(), in.get().firstFrame()),
            Math.min(all.endFrame(), in.get().endFrame()));
      }
      return song.pass().line().loudPart();
    }
    if (model.breadth() == 2) {
      long half = (long) (SIXTEEN_SECONDS / 2 * song.sampleRateHz());
      long from = Math.max(all.firstFrame(), Math.min(at - half, all.endFrame() - 2 * half));
      return new TimeRange(from, Math.max(from + 1, Math.min(all.endFrame(), from + 2 * half)));
    }
    return all;
  }

  private static int column(TimeRange shown, long frame, int columns) {
    return (int) Math.floorDiv((frame - shown.firstFrame()) * columns, shown.frames());
  }

  private static void sections(Canvas canvas, Model model, TimeRange shown, int columns) {
    int row = 2;
    if (model.sections().isEmpty()) {
      Song song = model.song().get();
      TimeRange loud = song.pass().line().loudPart();
      int from = Math.max(0, column(shown, loud.firstFrame(), columns));
      int to = Math.min(columns, column(shown, loud.endFrame() - 1, columns) + 1);
      String words = " loud part ";
      if (to - from > words.length() + 2) {
        int side = (to - from - words.length() - 2) / 2;
        canvas.put(row, Layout.GUTTER + from, "|");
        canvas.put(row, Layout.GUTTER + from + 1 + side, words);
        canvas.put(row, Layout.GUTTER + to - 1, "|");
      }
      return;
    }
    int free = 0;
    for (Song.Section section : model.sections()) {
      int at =
          Math.max(
              free, column(shown, Math.max(section.firstFrame(), shown.firstFrame()), columns));
      if (section.endFrame() > shown.firstFrame() && at < columns) {
        free =
            canvas.putCut(row, Layout.GUTTER + at, section.name(), columns - at, Style.PLAIN)
                - Layout.GUTTER
                + 1;
      }
    }
  }

  private static void counts(
      Canvas canvas, Model model, Layout layout, TimeRange shown, int columns) {
    int[] count = new int[columns];
    for (Row row : model.rows()) {
      for (Moment place : row.places()) {
        int at = column(shown, place.peakFrame(), columns);
        if (at >= 0 && at < columns) {
          count[at]++;
        }
      }
    }
    canvas.put(layout.countRow(), 0, "count");
    for (int i = 0; i < columns; i++) {
      String text = count[i] == 0 ? "." : count[i] > 9 ? "+" : String.valueOf(count[i]);
      canvas.put(layout.countRow(), Layout.GUTTER + i, text);
    }
    model
        .row()
        .ifPresent(
            row -> {
              int at = column(shown, row.head().peakFrame(), columns);
              if (at >= 0 && at < columns) {
                canvas.put(layout.countRow(), Layout.GUTTER + at, "^", Style.BOLD);
              }
            });
  }
}
