package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import cairn.collisions.time.ClockTime;
import cairn.tui.model.Model;
import cairn.tui.model.Row;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.IntToDoubleFunction;

/**
 * The peaks of the song in three storeys, each with a scale of its own in dB: up to the average
 * peak, from there to the line, over the line. Where the line moves with the song, so do the
 * storeys. A line that does not stand above the average peak leaves nothing between them: the
 * lowest storey then reaches up to the line, and has the rows of both.
 */
final class MapView {

  /** How far the lowest storey reaches down under the average peak. */
  private static final double LOWEST_DB = 20;

  private static final double LEAST_STOREY_DB = 0.1;
  private static final double SIXTEEN_SECONDS = 16;
  static final int LEAST_TICK_CELLS = 9;

  private final Sheet sheet;
  private final Layout layout;
  private final Song song;
  private final HeldLine line;
  private final TimeRange shown;
  private final int columns;
  private final boolean hasMiddle;

  private MapView(Sheet sheet, Layout layout) {
    this.sheet = sheet;
    this.layout = layout;
    song = sheet.model().song().get();
    line = song.pass().line();
    shown = shown(sheet.model(), song);
    columns = sheet.columns() - Layout.GUTTER;
    hasMiddle = hasMiddle(line);
  }

  /** Whether the line stands above the average peak, as far as the figures beside the map tell. */
  private static boolean hasMiddle(HeldLine line) {
    double lineLevel = line.level(0);
    double average = line.isLevel() ? line.averagePeak().overall() : line.averagePeak().at(0);
    return lineLevel > average && !Words.level1(lineLevel).equals(Words.level1(average));
  }

  static void draw(Sheet sheet, Layout layout) {
    MapView map = new MapView(sheet, layout);
    map.storeys();
    map.sections();
    map.counts();
  }

  private void storeys() {
    Summary summary = song.pass().summary();
    Model model = sheet.model();
    IntToDoubleFunction peaks =
        model.whatIf() && model.busNow().isPresent()
            ? model.busNow().get().blockPeak()
            : summary::blockPeak;
    int storeyRows = layout.storeyRows();
    Dots dots = new Dots(columns, 3 * storeyRows);
    // The highest that anything stands over the line, so that marks never change the scale.
    double topDb = LEAST_STOREY_DB;
    for (Moment moment : song.pass().moments()) {
      topDb = Math.max(topDb, Decibels.ofAmplitude(moment.peak() / moment.line()));
    }
    int perStorey = 4 * storeyRows;
    for (int x = 0; x < dots.across(); x++) {
      long from = shown.firstFrame() + shown.frames() * x / dots.across();
      long end = Math.max(from + 1, shown.firstFrame() + shown.frames() * (x + 1) / dots.across());
      int endBlock = summary.blockOf(end - 1);
      double peak = 0;
      for (int i = summary.blockOf(from); i <= endBlock; i++) {
        double level = peaks.applyAsDouble(i);
        peak = level > peak ? level : peak;
      }
      int high = height(peak, line.averagePeakAt(from), line.levelAt(from), topDb, perStorey);
      dots.column(x, dots.down() - high, dots.down() - 1);
    }
    for (int row = 0; row < 3 * storeyRows; row++) {
      Style style = row < storeyRows ? Style.OVER : Style.PLAIN;
      for (int column = 0; column < columns; column++) {
        if (!dots.isBlank(column, row)) {
          sheet
              .canvas()
              .put(
                  layout.mapRow() + row,
                  Layout.GUTTER + column,
                  dots.bar(column, row, sheet.glyphs().unicode()),
                  style);
        }
      }
    }
    labels(topDb);
  }

  /** The upper edge of each storey. */
  private void labels(double topDb) {
    if (line.isLevel()) {
      double lineLevel = line.level(0);
      label(0, Words.level1(lineLevel * Decibels.toFactor(topDb)));
      label(1, Words.level1(lineLevel));
      if (hasMiddle) {
        label(2, Words.level1(line.averagePeak().overall()));
      }
    } else {
      label(0, "over");
      label(1, "line");
      if (hasMiddle) {
        label(2, "mean");
      }
    }
  }

  private void label(int storey, String text) {
    sheet
        .canvas()
        .putRight(layout.mapRow() + storey * layout.storeyRows(), Layout.GUTTER - 1, text);
  }

  /** How many dots high: those of one storey for each part of the scale. */
  private int height(double peak, double average, double lineLevel, double topDb, int perStorey) {
    if (peak <= 0) {
      return 0;
    }
    double db = Decibels.ofAmplitude(peak);
    double lineDb = Decibels.ofAmplitude(lineLevel);
    if (peak > lineLevel) {
      double share = (db - lineDb) / topDb;
      return 2 * perStorey + Math.max(1, (int) Math.round(perStorey * Math.min(1, share)));
    }
    double averageDb = Decibels.ofAmplitude(average);
    if (hasMiddle && db > averageDb) {
      return perStorey + (int) Math.ceil(perStorey * (db - averageDb) / (lineDb - averageDb));
    }
    double lowerDb = hasMiddle ? averageDb : lineDb;
    int lowest = hasMiddle ? perStorey : 2 * perStorey;
    return (int) Math.max(0, Math.round(lowest * (1 - (lowerDb - db) / LOWEST_DB)));
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
      return in.map(
              section ->
                  within(all, section.firstFrame(), section.endFrame() - section.firstFrame()))
          .orElseGet(
              () ->
                  within(
                      all,
                      song.pass().line().loudPart().firstFrame(),
                      song.pass().line().loudPart().frames()));
    }
    if (model.breadth() == 2) {
      long frames = (long) (SIXTEEN_SECONDS * song.sampleRateHz());
      return within(all, Math.min(at - frames / 2, all.endFrame() - frames), frames);
    }
    return all;
  }

  private static TimeRange within(TimeRange all, long firstFrame, long frames) {
    long from = Math.max(all.firstFrame(), Math.min(firstFrame, all.endFrame() - 1));
    return new TimeRange(from, Math.max(from + 1, Math.min(all.endFrame(), from + frames)));
  }

  private int column(long frame) {
    return (int) Math.floorDiv((frame - shown.firstFrame()) * columns, shown.frames());
  }

  /** A name above the map, and where it begins. */
  private record Label(long frame, String name) {}

  /** Names of the sections, each with its time where there is room; else times. */
  private void sections() {
    List<Label> labels = new ArrayList<>();
    for (Song.Section section : sheet.model().sections()) {
      if (section.endFrame() > shown.firstFrame() && section.firstFrame() < shown.endFrame()) {
        labels.add(new Label(Math.max(section.firstFrame(), shown.firstFrame()), section.name()));
      }
    }
    if (labels.isEmpty()) {
      times(labels);
    }
    int free = 0;
    for (int i = 0; i < labels.size(); i++) {
      int at = Math.max(free, column(labels.get(i).frame()));
      int end = i + 1 < labels.size() ? Math.max(at, column(labels.get(i + 1).frame())) : columns;
      int room = end - at - (end < columns ? 1 : 0);
      if (at >= columns || room <= 0) {
        continue;
      }
      free = label(labels.get(i), at, room) + 1;
    }
  }

  private int label(Label label, int at, int room) {
    String time = Words.clock(label.frame(), song.sampleRateHz());
    String name = label.name();
    boolean roomForTime =
        label.frame() > song.pass().range().firstFrame()
            && cairn.io.files.SafeText.cells(name) + time.length() + 1 <= room;
    String text = name.isEmpty() ? time : roomForTime ? time + " " + name : name;
    return sheet.cut(2, Layout.GUTTER + at, text, room, Style.PLAIN) - Layout.GUTTER;
  }

  private void times(List<Label> labels) {
    int most = Math.max(1, columns / LEAST_TICK_CELLS);
    int step = ClockTime.tickSeconds(shown.frames(), song.sampleRateHz(), most);
    long stepFrames = (long) step * song.sampleRateHz();
    long first = Math.floorDiv(shown.firstFrame() + stepFrames - 1, stepFrames) * stepFrames;
    for (long frame = first; frame < shown.endFrame(); frame += stepFrames) {
      if (column(frame) + LEAST_TICK_CELLS / 2 < columns) {
        labels.add(new Label(frame, ""));
      }
    }
  }

  private void counts() {
    int[] count = new int[columns];
    for (Row row : sheet.model().rows()) {
      for (Moment place : row.places()) {
        int at = column(place.peakFrame());
        if (at >= 0 && at < columns) {
          count[at]++;
        }
      }
    }
    Canvas canvas = sheet.canvas();
    canvas.put(layout.countRow(), 0, "count");
    for (int i = 0; i < columns; i++) {
      String text = count[i] == 0 ? "." : count[i] > 9 ? "+" : String.valueOf(count[i]);
      canvas.put(layout.countRow(), Layout.GUTTER + i, text);
    }
    sheet
        .model()
        .row()
        .map(row -> column(row.head().peakFrame()))
        .filter(at -> at >= 0 && at < columns)
        .ifPresent(at -> canvas.put(layout.countRow(), Layout.GUTTER + at, "^", Style.BOLD));
  }
}
