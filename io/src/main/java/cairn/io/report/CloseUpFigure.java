package cairn.io.report;

import cairn.collisions.Decibels;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.time.ClockTime;
import cairn.io.listing.Figures;
import cairn.io.listing.FixWords;
import java.awt.geom.Path2D;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** One moment from near: its pile of contributions, the bus about it, and the stems that lead. */
final class CloseUpFigure {

  private static final double WIDTH = 480;
  private static final double BUS_HEIGHT = 190;
  private static final double STEM_HEIGHT = 48;
  private static final double STONE_HEIGHT = 20;

  /** Stems of the pile that get a row of their own. */
  private static final int MOST_STONES = 8;

  private final Html html;
  private final Report report;
  private final CloseUp closeUp;
  private final Moment moment;
  private final String id;
  private final int rate;

  private CloseUpFigure(Html html, Report report, CloseUp closeUp) {
    this.html = html;
    this.report = report;
    this.closeUp = closeUp;
    moment = closeUp.moment();
    id = "m" + moment.rank();
    rate = report.pass().session().sampleRateHz();
  }

  static void write(Html html, Report report, CloseUp closeUp) {
    new CloseUpFigure(html, report, closeUp).write();
  }

  private void write() {
    html.open("article", "class", "near", "aria-labelledby", id + "-h");
    html.open("h3", "id", id + "-h");
    html.text(moment.rank() + ". " + time());
    html.close("h3");
    html.open("p");
    html.text(
        String.format(
            Locale.ROOT,
            "%s dB %s the average peak, and over the line for %s ms; %s.%s",
            Figures.fixed(Math.abs(moment.excessDb()), 2),
            moment.excessDb() < 0 ? "below" : "above",
            Figures.fixed(1000.0 * moment.longestRun() / rate, 2),
            moment.isLone()
                ? "one stem does it alone"
                : Figures.count(moment.depth(), "stem") + " make it together",
            moment.alike() > 1 ? " " + moment.alike() + " moments are alike." : ""));
    html.close("p");
    fixes();
    pile();
    bus();
    for (CloseUp.StemTrace stem : closeUp.stems()) {
      stem(stem);
    }
    html.open("p", "class", "scale").text(scale()).close("p");
    html.close("article");
  }

  private String time() {
    String clock = ClockTime.of(moment.peakFrame(), rate);
    return report
        .tempo()
        .map(
            tempo ->
                clock
                    + ", bar "
                    + tempo.barsBeats(moment.peakFrame(), rate)
                    + (report.isTempoEstimated() ? " by the estimate" : ""))
        .orElse(clock);
  }

  private String scale() {
    return String.format(
        Locale.ROOT,
        "%s channel, %.0f ms across; the peak is turned to point up.",
        moment.channel() == 0 ? "Left" : "Right",
        1000.0 * closeUp.bus().before().length / rate);
  }

  private void fixes() {
    if (report.marked().isEmpty()) {
      return;
    }
    WhatIf whatIf = report.marked().get().whatIf();
    List<Mark.OfFix> here = new ArrayList<>();
    for (Mark.OfFix mark : whatIf.marks().fixes()) {
      if (whatIf.listedAt(mark.momentFrame()).equals(whatIf.listedAt(moment.peakFrame()))
          && whatIf.listedAt(moment.peakFrame()).isPresent()) {
        here.add(mark);
      }
    }
    html.open("p", "class", "fix");
    if (here.isEmpty()) {
      html.text(
          report.marked().get().clears(moment)
              ? "Calm afterwards, by the fixes near it."
              : "No fix here: it stays as it is.");
    }
    for (int i = 0; i < here.size(); i++) {
      html.text(i > 0 ? "; " : "").name(report.name(here.get(i).fix().stem()));
      html.text(" " + FixWords.of(here.get(i).fix(), rate));
    }
    if (!here.isEmpty()) {
      html.text(
          whatIf
              .highestAt(moment.peakFrame())
              .map(
                  left ->
                      String.format(
                          Locale.ROOT,
                          ": leaves %s dB over the line.",
                          Figures.fixed(Decibels.ofAmplitude(left.peak() / moment.line()), 2)))
              .orElse(": calm afterwards."));
    }
    html.close("p");
  }

  /** The contributions as stones, each set where the last one ended. */
  private void pile() {
    List<Contribution> all = moment.contributions();
    int shown = 0;
    while (shown < Math.min(MOST_STONES, all.size())
        && (shown < moment.depth() || Math.round(100 * all.get(shown).share()) != 0)) {
      shown++;
    }
    double rest = 0;
    double adding = 0;
    for (int i = 0; i < all.size(); i++) {
      adding += Math.max(0, all.get(i).amplitude());
      if (i >= shown) {
        rest += all.get(i).amplitude();
      }
    }
    int rows = shown + (shown < all.size() ? 1 : 0);
    double scale = WIDTH / (1.02 * Math.max(adding, Math.max(moment.line(), moment.averagePeak())));
    Drawing drawing =
        new Drawing(
            id + "p",
            WIDTH,
            STONE_HEIGHT * rows,
            "What adds up at " + ClockTime.of(moment.peakFrame(), rate),
            pileWords());
    double at = 0;
    for (int i = 0; i < rows; i++) {
      double amplitude = i < shown ? all.get(i).amplitude() : rest;
      double from = Math.min(at, at + amplitude);
      drawing.rectangle(
          scale * from,
          STONE_HEIGHT * i + 3,
          Math.max(1, scale * Math.abs(amplitude)),
          STONE_HEIGHT - 6,
          amplitude < 0 ? "ease" : i < moment.depth() ? "stone" : "pebble");
      at += amplitude;
    }
    drawing.line(
        scale * moment.averagePeak(), 0, scale * moment.averagePeak(), STONE_HEIGHT * rows, "mean");
    drawing.line(scale * moment.line(), 0, scale * moment.line(), STONE_HEIGHT * rows, "line");
    html.open("div", "class", "pile", "style", "--rows:" + rows);
    html.open("ol", "class", "who");
    for (int i = 0; i < shown; i++) {
      html.open("li").name(report.name(all.get(i).stem())).close("li");
    }
    if (rows > shown) {
      html.element("li", Figures.count(all.size() - shown, "more stem"));
    }
    html.close("ol");
    html.open("div", "class", "stones").tree(drawing.root()).close("div");
    html.open("ol", "class", "share");
    for (int i = 0; i < rows; i++) {
      double share = i < shown ? all.get(i).share() : rest / moment.peak();
      html.element("li", Math.round(100 * share) + " %" + (share < 0 ? " eases" : ""));
    }
    html.close("ol").close("div");
  }

  private String pileWords() {
    StringBuilder words = new StringBuilder("Each stem's part of the peak, one after the other: ");
    for (Contribution c :
        moment.contributions().subList(0, Math.min(4, moment.contributions().size()))) {
      words
          .append(report.name(c.stem()))
          .append(' ')
          .append(Math.round(100 * c.share()))
          .append(" %, ");
    }
    return words
        .append("together ")
        .append(Figures.db(moment.peak(), 2))
        .append(' ')
        .append(report.pass().settings().mode().unit())
        .append(". The plain upright is the average peak, the dashed one the line.")
        .toString();
  }

  private void bus() {
    CloseUp.Trace trace = closeUp.bus();
    double top =
        1.06
            * Math.max(
                Math.max(moment.line(), moment.averagePeak()),
                Math.max(largest(trace.before()), largest(trace.after())));
    double bottom =
        Math.min(-0.25 * top, 1.06 * Math.min(least(trace.before()), least(trace.after())));
    Drawing drawing =
        new Drawing(
            id + "b",
            WIDTH,
            BUS_HEIGHT,
            "The bus at " + ClockTime.of(moment.peakFrame(), rate),
            String.format(
                Locale.ROOT,
                "The peak reaches %s %s; the average peak is %s, the line %s.%s",
                Figures.db(moment.peak(), 2),
                report.pass().settings().mode().unit(),
                Figures.db(moment.averagePeak(), 2),
                Figures.db(moment.line(), 2),
                trace.changes()
                    ? " With the fixes the samples reach "
                        + Figures.db(Math.max(0, largest(trace.after())), 2)
                        + " dBFS here."
                    : ""));
    drawing.line(0, y(0, top, bottom, BUS_HEIGHT), WIDTH, y(0, top, bottom, BUS_HEIGHT), "zero");
    double mean = y(moment.averagePeak(), top, bottom, BUS_HEIGHT);
    double line = y(moment.line(), top, bottom, BUS_HEIGHT);
    drawing.line(0, mean, WIDTH, mean, "mean");
    drawing.line(0, line, WIDTH, line, "line");
    curve(drawing, trace.before(), top, bottom, BUS_HEIGHT, "before");
    if (trace.changes()) {
      changed(drawing, trace, top, bottom, BUS_HEIGHT);
    }
    html.open("figure", "class", "wave");
    html.open("div", "class", "frame bus").tree(drawing.root());
    // Where both lie near each other the labels stand on either side of their lines.
    label(
        "line",
        line,
        "line " + Figures.db(moment.line(), 1),
        true,
        moment.line() >= moment.averagePeak());
    label(
        "mean",
        mean,
        "average " + Figures.db(moment.averagePeak(), 1),
        false,
        moment.averagePeak() > moment.line());
    html.close("div");
    html.open("figcaption");
    html.open("span", "class", "key before-key").close("span").text("bus as it is");
    if (trace.changes()) {
      html.text("  ").open("span", "class", "key after-key").close("span");
      html.text("dashed: with the fixes");
    }
    html.close("figcaption").close("figure");
  }

  private void label(String role, double y, String text, boolean right, boolean above) {
    html.element(
        "span",
        text,
        "aria-hidden",
        "true",
        "class",
        "on " + role + "-text" + (right ? " right" : "") + (above ? " above" : " below"),
        "style",
        String.format(Locale.ROOT, "top:%.2f%%", 100 * y / BUS_HEIGHT));
  }

  private void stem(CloseUp.StemTrace stem) {
    CloseUp.Trace trace = stem.trace();
    double reach =
        1.05
            * Math.max(
                1e-6,
                Math.max(
                    Math.max(largest(trace.before()), -least(trace.before())),
                    Math.max(largest(trace.after()), -least(trace.after()))));
    String name = report.name(stem.contribution().stem());
    Drawing drawing =
        new Drawing(
            id + "s" + stem.contribution().stem(),
            WIDTH,
            STEM_HEIGHT,
            name,
            name
                + " adds "
                + Math.round(100 * stem.contribution().share())
                + " % of the peak"
                + (trace.changes() ? "; dashed: with its fix." : "."));
    double zero = STEM_HEIGHT / 2;
    drawing.line(0, zero, WIDTH, zero, "zero");
    double at =
        WIDTH * (moment.peakFrame() - trace.firstFrame()) / Math.max(1, trace.before().length - 1);
    drawing.line(at, 0, at, STEM_HEIGHT, "here");
    curve(drawing, trace.before(), reach, -reach, STEM_HEIGHT, "stem");
    if (trace.changes()) {
      changed(drawing, trace, reach, -reach, STEM_HEIGHT);
    }
    html.open("figure", "class", "strip");
    html.open("figcaption").name(name);
    html.text(" " + Math.round(100 * stem.contribution().share()) + " %");
    html.close("figcaption");
    html.open("div", "class", "frame low").tree(drawing.root()).close("div");
    html.close("figure");
  }

  private static void curve(
      Drawing drawing, double[] samples, double top, double bottom, double height, String role) {
    double[] x = new double[samples.length];
    double[] y = new double[samples.length];
    for (int i = 0; i < samples.length; i++) {
      x[i] = WIDTH * i / Math.max(1, samples.length - 1);
      y[i] = y(samples[i], top, bottom, height);
    }
    drawing.curve(x, y, role);
  }

  /** The samples with marks, where they differ. */
  private static void changed(
      Drawing drawing, CloseUp.Trace trace, double top, double bottom, double height) {
    double[] before = trace.before();
    double[] after = trace.after();
    double least = (top - bottom) / 500;
    Path2D path = new Path2D.Double();
    boolean down = false;
    for (int i = 0; i < after.length; i++) {
      boolean differs =
          Math.abs(after[i] - before[i]) > least
              || (i + 1 < after.length && Math.abs(after[i + 1] - before[i + 1]) > least)
              || (i > 0 && Math.abs(after[i - 1] - before[i - 1]) > least);
      if (differs) {
        double x = WIDTH * i / Math.max(1, after.length - 1);
        double y = y(after[i], top, bottom, height);
        if (down) {
          path.lineTo(x, y);
        } else {
          path.moveTo(x, y);
        }
      }
      down = differs;
    }
    if (path.getCurrentPoint() != null) {
      drawing.shape(path, "after");
    }
  }

  private static double y(double level, double top, double bottom, double height) {
    return height * (top - level) / (top - bottom);
  }

  private static double largest(double[] samples) {
    double largest = samples[0];
    for (double sample : samples) {
      largest = Math.max(largest, sample);
    }
    return largest;
  }

  private static double least(double[] samples) {
    double least = samples[0];
    for (double sample : samples) {
      least = Math.min(least, sample);
    }
    return least;
  }
}
