package cairn.io.report;

import cairn.collisions.Decibels;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import cairn.collisions.time.ClockTime;
import cairn.io.listing.Figures;
import java.awt.geom.Path2D;
import java.util.Arrays;
import java.util.Locale;
import java.util.function.IntToDoubleFunction;

/**
 * The peaks of the song in three storeys, each with a scale of its own in dB: up to the average
 * peak, from there to the line, over the line. A line that lies below the average peak takes its
 * place, and the average peak that of the line. Below stands a tick for each moment.
 */
final class SongFigure {

  private static final int COLUMNS = 480;
  private static final double STOREY = 100;
  private static final double TICKS = 30;

  /** How far the lowest storey reaches down under the average peak. */
  private static final double LOWEST_DB = 20;

  /** Times under the song, of which a phone's width holds no more. */
  private static final int MOST_TIMES = 6;

  private final Report report;
  private final HeldLine line;
  private final TimeRange range;
  private final double topDb;

  /** Whether the line lies below the average peak, as a goal may have it. */
  private final boolean isLow;

  private SongFigure(Report report) {
    this.report = report;
    line = report.pass().line();
    range = report.pass().range();
    isLow = line.isLevel() && line.level(0) < line.averagePeak().overall();
    double highest = 0.1;
    for (Moment moment : report.pass().moments()) {
      double upper = Math.max(moment.line(), moment.averagePeak());
      highest = Math.max(highest, Decibels.ofAmplitude(moment.peak() / upper));
    }
    topDb = highest;
  }

  static void write(Html html, Report report) {
    new SongFigure(report).write(html);
  }

  private void write(Html html) {
    Summary summary = report.pass().summary();
    double[] before = heights(summary::blockPeak);
    double[] after = before;
    if (report.marked().isPresent()) {
      after = heights(report.marked().get().whatIf()::blockPeak);
    }
    Drawing drawing =
        new Drawing("song", COLUMNS, 3 * STOREY + TICKS, "The peaks of the song", description());
    double ground = 3 * STOREY;
    for (Section section : report.sections()) {
      double x = COLUMNS * share(section.range().firstFrame());
      if (x > 0 && x < COLUMNS) {
        drawing.line(x, 0, x, ground, "edge");
      }
    }
    drawing.shape(bars(after, 0, 3 * STOREY), "now");
    if (after != before) {
      drawing.shape(taken(before, after), "was");
    }
    double lineHeight = isLow ? STOREY : 2 * STOREY;
    if (Arrays.stream(after).anyMatch(height -> height > lineHeight)) {
      drawing.shape(bars(after, lineHeight, 3 * STOREY), "over");
    }
    double lineAt = 3 * STOREY - lineHeight;
    double meanAt = isLow ? STOREY : 2 * STOREY;
    drawing.line(0, lineAt, COLUMNS, lineAt, "line");
    drawing.line(0, meanAt, COLUMNS, meanAt, "mean");
    for (Moment moment : report.pass().moments()) {
      boolean open = report.marked().map(marked -> !marked.clears(moment)).orElse(true);
      double x = COLUMNS * share(moment.peakFrame());
      drawing.line(x, ground + 6, x, ground + (open ? TICKS : TICKS / 2), open ? "open" : "calm");
    }
    html.open("figure", "class", "song");
    html.open("div", "class", "sections", "aria-hidden", "true");
    for (Section section : report.sections()) {
      double from = 100 * Math.max(0, share(section.range().firstFrame()));
      double to = 100 * Math.min(1, share(section.range().endFrame()));
      if (to > from) {
        html.open(
            "span",
            "style",
            String.format(Locale.ROOT, "left:%.2f%%;width:%.2f%%", from, to - from));
        html.name(section.name()).close("span");
      }
    }
    html.close("div");
    html.open("div", "class", "frame tall").tree(drawing.root());
    if (line.isLevel()) {
      double lineLevel = line.level(0);
      double average = line.averagePeak().overall();
      side(html, 0, Figures.db(Math.max(lineLevel, average) * Decibels.toFactor(topDb), 1));
      side(html, lineAt, Figures.db(lineLevel, 1) + " line");
      side(html, meanAt, Figures.db(average, 1) + " average");
    } else {
      side(html, lineAt, "line");
      side(html, meanAt, "average");
    }
    html.close("div");
    times(html);
    html.open("figcaption");
    html.text(
        isLow
            ? "Each storey has a scale of its own: below the line, from there to the average peak,"
                + " and above that; what is over the line stands out. "
            : "Each storey has a scale of its own: below the average peak, from there to the line,"
                + " and above the line, where a moment stands out. ");
    if (report.marked().isPresent()) {
      html.open("span", "class", "key was-key").close("span");
      html.text("outlined: what the fixes take away; ");
      html.open("span", "class", "key over-key").close("span");
      html.text(
          "filled: what is left over the line. Ticks below: short, a moment that is calm"
              + " afterwards; long, one that still stands out.");
    } else {
      html.text("The ticks below are the moments.");
    }
    html.close("figcaption").close("figure");
  }

  private String description() {
    int rate = report.pass().session().sampleRateHz();
    return String.format(
        Locale.ROOT,
        "Bars from %s to %s; the highest reaches %s at %s. %s over the line.",
        ClockTime.of(range.firstFrame(), rate),
        ClockTime.of(range.endFrame(), rate),
        Figures.db(report.pass().peak(), 2) + " " + report.pass().settings().mode().unit(),
        ClockTime.of(report.pass().summary().peakFrame(), rate),
        Figures.count(report.pass().moments().size(), "moment"));
  }

  private double share(long frame) {
    return (double) (frame - range.firstFrame()) / range.frames();
  }

  /** Height of each column: {@value #STOREY} a storey. */
  private double[] heights(IntToDoubleFunction blockPeak) {
    Summary summary = report.pass().summary();
    double[] heights = new double[COLUMNS];
    for (int x = 0; x < COLUMNS; x++) {
      long from = range.firstFrame() + range.frames() * x / COLUMNS;
      long end = Math.max(from + 1, range.firstFrame() + range.frames() * (x + 1) / COLUMNS);
      int last = summary.blockOf(Math.min(end, range.endFrame()) - 1);
      double height = 0;
      for (int i = summary.blockOf(from); i <= last; i++) {
        long frame = summary.blockFirstFrame(i);
        height =
            Math.max(
                height,
                height(blockPeak.applyAsDouble(i), line.averagePeakAt(frame), line.levelAt(frame)));
      }
      heights[x] = height;
    }
    return heights;
  }

  private double height(double peak, double average, double lineLevel) {
    if (peak <= 0) {
      return 0;
    }
    double db = Decibels.ofAmplitude(peak);
    double lineDb = Decibels.ofAmplitude(lineLevel);
    double averageDb = Decibels.ofAmplitude(average);
    double lowerDb = Math.min(lineDb, averageDb);
    double upperDb = isLow ? averageDb : lineDb;
    if (isLow ? db > averageDb : peak > lineLevel) {
      return STOREY * (2 + Math.min(1, Math.max(0.02, (db - upperDb) / topDb)));
    }
    if (db > lowerDb) {
      return STOREY * (1 + Math.max(isLow ? 0.02 : 0, (db - lowerDb) / (upperDb - lowerDb)));
    }
    return STOREY * Math.max(0, 1 - (lowerDb - db) / LOWEST_DB);
  }

  /** The bars, as far as they lie between two heights. */
  private static Path2D bars(double[] heights, double from, double to) {
    Path2D path = new Path2D.Double();
    double ground = 3 * STOREY - from;
    path.moveTo(0, ground);
    for (int x = 0; x < heights.length; x++) {
      double y = 3 * STOREY - Math.min(to, Math.max(from, heights[x]));
      path.lineTo(x, y);
      path.lineTo(x + 1.0, y);
    }
    path.lineTo(heights.length, ground);
    path.closePath();
    return path;
  }

  /** What stands over the bars no more. */
  private static Path2D taken(double[] before, double[] after) {
    Path2D path = new Path2D.Double();
    path.moveTo(0, 3 * STOREY);
    for (int x = 0; x < before.length; x++) {
      if (before[x] > after[x] + 0.5) {
        path.moveTo(x, 3 * STOREY - after[x]);
        path.lineTo(x, 3 * STOREY - before[x]);
        path.lineTo(x + 1.0, 3 * STOREY - before[x]);
        path.lineTo(x + 1.0, 3 * STOREY - after[x]);
      }
    }
    return path;
  }

  private static void side(Html html, double y, String text) {
    html.element(
        "span",
        text,
        "class",
        "side",
        "aria-hidden",
        "true",
        "style",
        String.format(Locale.ROOT, "top:%.2f%%", 100 * y / (3 * STOREY + TICKS)));
  }

  private void times(Html html) {
    int rate = report.pass().session().sampleRateHz();
    long stepFrames = (long) ClockTime.tickSeconds(range.frames(), rate, MOST_TIMES) * rate;
    html.open("div", "class", "times", "aria-hidden", "true");
    long first = Math.floorDiv(range.firstFrame() + stepFrames - 1, stepFrames) * stepFrames;
    for (long frame = first; frame < range.endFrame(); frame += stepFrames) {
      html.element(
          "span",
          ClockTime.of(frame, rate).replaceFirst("\\.\\d+$", ""),
          "style",
          String.format(Locale.ROOT, "left:%.2f%%", 100 * share(frame)));
    }
    html.close("div");
  }
}
