package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** The plan: each fix with the dB it wins, as stones that go down from the peak to the line. */
final class PlanView {

  private static final int STATE = 2;
  private static final int STEM = 8;
  private static final int FOUND_END = 25;
  private static final int TAKEN_END = 34;
  private static final int PLANNED_END = 43;
  private static final int FACTS = 48;
  private static final int FIX_CELLS = 16;
  private static final int LEAST_NAME = 10;
  private static final int LEAST_BAR = 24;

  /** Rows under the table: a blank one, four of details, a blank one, message and keys. */
  private static final int ROWS_BELOW = 8;

  private final Sheet sheet;
  private final Canvas canvas;
  private final Song song;
  private final Plan plan;
  private final int rate;
  private final int nameCells;
  private final int fixColumn;
  private final int barColumn;
  private final int barCells;
  private final double topDb;
  private final double footDb;

  private PlanView(Sheet sheet, Plan plan) {
    this.sheet = sheet;
    this.plan = plan;
    canvas = sheet.canvas();
    song = sheet.model().song().get();
    rate = song.sampleRateHz();
    int spare = sheet.columns() - 80;
    nameCells = LEAST_NAME + Math.min(30, spare / 4);
    fixColumn = STEM + nameCells + 1;
    barColumn = fixColumn + FIX_CELLS + 6;
    barCells = Math.min(100, LEAST_BAR + spare - (nameCells - LEAST_NAME));
    topDb = Decibels.ofAmplitude(plan.peakBefore());
    double lineDb = Decibels.ofAmplitude(plan.line().level(0));
    footDb = Math.min(lineDb, Decibels.ofAmplitude(plan.peakAfter()));
  }

  static void draw(Sheet sheet) {
    Model model = sheet.model();
    if (model.song().isEmpty()) {
      Pictures.title(sheet, Screen.PLAN, "");
      return;
    }
    Pass pass = model.song().get().pass();
    String right =
        HeadView.loudness(pass)
            + pass.limiter()
                .map(work -> ", limiter may " + Figures.fixed(work.goal().allowanceDb(), 1))
                .orElse("");
    Pictures.title(sheet, Screen.PLAN, right);
    if (model.plan().isEmpty()) {
      sheet
          .canvas()
          .put(2, 2, model.work().isPresent() ? sheet.glyphs().ellipsis() : "No plan yet.");
      return;
    }
    PlanView view = new PlanView(sheet, model.plan().get());
    int heading = view.figures(pass) + 1;
    view.table(heading);
    view.details(sheet.rows() - ROWS_BELOW + 1);
  }

  /** Found, taken, planned; the row after the last one. */
  private int figures(Pass pass) {
    Model model = sheet.model();
    String ellipsis = sheet.glyphs().ellipsis();
    canvas.putRight(1, FOUND_END, "found");
    canvas.putRight(1, TAKEN_END, "taken");
    canvas.putRight(1, PLANNED_END, "planned");
    canvas.put(2, 2, "bus peak " + pass.settings().mode().unit());
    canvas.putRight(2, FOUND_END, Words.level(pass.peak()));
    canvas.putRight(
        2, TAKEN_END, model.busNow().map(bus -> Words.level(bus.peak())).orElse(ellipsis));
    canvas.putRight(2, PLANNED_END, Words.level(plan.peakAfter()), Style.BOLD);
    int row = 3;
    if (pass.limiter().isPresent()) {
      LimiterWork work = pass.limiter().get();
      canvas.put(row, 2, "limiter takes dB");
      canvas.putRight(row, FOUND_END, HeadView.db(work.dbAt(pass.peak())));
      canvas.putRight(
          row,
          TAKEN_END,
          model.busNow().map(bus -> HeadView.db(work.dbAt(bus.peak()))).orElse(ellipsis));
      canvas.putRight(row, PLANNED_END, HeadView.db(work.dbAt(plan.peakAfter())), Style.BOLD);
      row++;
    }
    canvas.put(row, 2, "over the line");
    canvas.putRight(row, FOUND_END, String.valueOf(pass.moments().size()));
    canvas.putRight(
        row,
        TAKEN_END,
        model.busNow().map(bus -> String.valueOf(bus.runs().size())).orElse(ellipsis));
    canvas.putRight(row, PLANNED_END, String.valueOf(plan.open().size()), Style.BOLD);
    facts(row);
    return row + 1;
  }

  private void facts(int lastRow) {
    List<String> facts = new ArrayList<>();
    facts.add(
        Words.fixes(plan.fixes().size())
            + " clear "
            + plan.cleared()
            + " of "
            + Figures.count(plan.moments(), "moment"));
    facts.add(
        String.format(
            Locale.ROOT,
            "they alter %.1f s, %.2f %% of all",
            plan.alteredSeconds(),
            100 * plan.alteredShare()));
    long stems = plan.fixes().stream().mapToInt(PlannedFix::stem).distinct().count();
    facts.add(
        "in " + Figures.count(plan.places(), "place") + ", on " + Figures.count(stems, "stem"));
    if (!sheet.model().deeds().leftAlone().isEmpty()) {
      facts.add(
          "left alone: "
              + sheet.model().deeds().leftAlone().stream()
                  .sorted()
                  .map(sheet.names()::whole)
                  .collect(Collectors.joining(", ")));
    }
    for (int i = 0; i < facts.size() && 1 + i <= lastRow; i++) {
      sheet.sentence(1 + i, FACTS, facts.get(i), sheet.columns() - FACTS, Style.PLAIN);
    }
  }

  private void table(int heading) {
    int barEnd = barColumn + barCells;
    canvas.put(heading, STEM, "stem");
    canvas.put(heading, fixColumn, "fix");
    canvas.putRight(heading, barColumn - 2, "like");
    String top = Figures.fixed(topDb, 2);
    String foot = Figures.fixed(footDb, 2);
    canvas.put(heading, barColumn, top);
    canvas.put(heading, barColumn + (barCells - 6) / 2, "dB won");
    canvas.putRight(heading, barEnd, foot);
    canvas.putRight(heading, barEnd + 7, "peak");
    canvas.putRight(heading, barEnd + 13, "tone");
    List<OpenMoment> open = plan.open();
    int fixes = plan.fixes().size();
    Scrolled.draw(
        sheet,
        heading + 1,
        sheet.rows() - ROWS_BELOW - heading - 1,
        fixes + open.size(),
        fixes,
        (row, index, style) -> {
          if (index < fixes) {
            fix(row, index, style);
          } else {
            open(row, open.get(index - fixes));
          }
        });
  }

  private void fix(int row, int index, Style style) {
    PlannedFix fix = plan.fixes().get(index);
    boolean taken = sheet.model().planTaken().contains(index);
    boolean dropped = sheet.model().planDropped().contains(index);
    canvas.put(row, STATE, taken ? "taken" : dropped ? "drop" : "?", taken ? Style.MARKED : style);
    canvas.put(row, STEM, sheet.names().fit(fix.stem(), nameCells), style);
    sheet.cut(row, fixColumn, shortly(fix.fix()), FIX_CELLS, style);
    if (fix.marks().size() > 1) {
      canvas.putRight(row, barColumn - 2, "x" + fix.marks().size(), style);
    }
    double before = index == 0 ? plan.peakBefore() : plan.fixes().get(index - 1).peakAfter();
    stone(row, before, fix.peakAfter(), taken ? Style.MARKED : Style.PLAIN);
    canvas.putRight(row, barColumn + barCells + 7, Words.level(fix.peakAfter()), style);
    canvas.putRight(
        row,
        barColumn + barCells + 13,
        Figures.fixed(fix.toneCostDb(), 1),
        fix.isDear() ? Style.OVER : style);
  }

  private String shortly(Fix fix) {
    return Words.fix(fix, rate).replace(" dBFS", "");
  }

  /** The dB that a fix wins, where they lie between the peak and the line. */
  private void stone(int row, double before, double after, Style style) {
    double spanDb = Math.max(1e-9, topDb - footDb);
    int from = eighths((topDb - Decibels.ofAmplitude(before)) / spanDb);
    int end = eighths((topDb - Decibels.ofAmplitude(after)) / spanDb);
    if (end <= from) {
      // It wins nothing by itself: another peak is as high.
      canvas.put(row, barColumn + Math.min(barCells - 1, from / 8), sheet.glyphs().dotted(), style);
      return;
    }
    Stone.draw(canvas, row, barColumn, from, end, sheet.glyphs(), style);
  }

  private int eighths(double share) {
    return (int) Math.round(8 * barCells * Math.max(0, Math.min(1, share)));
  }

  private void open(int row, OpenMoment open) {
    boolean fine = open.why() == OpenMoment.Why.FINE;
    canvas.put(
        row,
        STATE,
        fine ? "fine" : open.partly() ? "part" : "left",
        fine ? Style.MARKED : Style.OVER);
    canvas.put(row, STEM, leader(open));
    String words =
        Words.time(open.momentFrame(), rate)
            + "  "
            + (fine ? "as it is, by you" + price() : open.words());
    sheet.sentence(
        row, fixColumn, SafeText.of(words), barColumn + barCells - fixColumn, Style.PLAIN);
    canvas.putRight(row, barColumn + barCells + 7, Words.level(open.level()));
  }

  private String price() {
    return plan.finePriceDb() > 0 ? "; costs " + Figures.fixed(plan.finePriceDb(), 2) + " dB" : "";
  }

  /** The stem that leads at a moment that is left. */
  private String leader(OpenMoment open) {
    long near = rate / 20;
    Optional<Moment> listed =
        song.pass().moments().stream()
            .filter(m -> Math.abs(m.peakFrame() - open.momentFrame()) <= near)
            .findFirst();
    return listed
        .filter(m -> !m.contributions().isEmpty())
        .map(m -> sheet.names().fit(m.contributions().get(0).stem(), nameCells))
        .orElse("");
  }

  private void details(int row) {
    if (plan.fixes().isEmpty()) {
      return;
    }
    int index = Math.min(sheet.model().selectedRow(), plan.fixes().size() - 1);
    PlannedFix fix = plan.fixes().get(index);
    int columns = sheet.columns() - 2;
    sheet.sentence(row, 2, places(fix), columns, Style.PLAIN);
    sheet.sentence(row + 1, 2, "why   " + SafeText.of(fix.why()), columns, Style.PLAIN);
    String care = care(fix);
    if (fix.next().isPresent()) {
      PlannedFix.Next next = fix.next().get();
      String or =
          sheet.names().whole(next.fix().stem())
              + " "
              + Words.fix(next.fix(), rate)
              + ", tone "
              + Figures.fixed(next.toneCostDb(), 1)
              + " dB";
      sheet.sentence(row + 3, 2, "or    " + or, columns, Style.PLAIN);
    }
    if (!care.isEmpty()) {
      sheet.sentence(row + 2, 2, "care  " + care, columns, Style.OVER);
    }
  }

  private String places(PlannedFix fix) {
    String what =
        fix.fix() instanceof Nudge nudge
            ? Figures.count(Math.abs(nudge.frames()), "sample")
                + (nudge.frames() > 0 ? " later" : " earlier")
            : Words.fix(fix.fix(), rate);
    StringBuilder text =
        new StringBuilder(sheet.names().whole(fix.stem())).append(", ").append(what).append(" at ");
    int room = sheet.columns() - 4;
    List<Mark.OfFix> marks = fix.marks();
    for (int i = 0; i < marks.size(); i++) {
      String time = Words.time(marks.get(i).momentFrame(), rate);
      String rest = i + 1 < marks.size() ? " and " + (marks.size() - i - 1) + " more" : "";
      if (i > 0 && SafeText.cells(text.toString()) + time.length() + 2 + rest.length() > room) {
        return text.append(" and ").append(marks.size() - i).append(" more").toString();
      }
      text.append(i == 0 ? "" : ", ").append(time);
    }
    return text.toString();
  }

  /** Which stems a fix moves along. */
  private String yoked(PlannedFix fix) {
    List<Integer> others = song.pass().session().yokes().othersOf(fix.stem());
    return others.isEmpty() || fix.fix().kind() == Fix.Kind.CLIP
        ? ""
        : others.stream().map(sheet.names()::whole).collect(Collectors.joining(", "))
            + (others.size() == 1 ? " moves" : " move")
            + " with it";
  }

  private String care(PlannedFix fix) {
    String care =
        switch (fix.gentleness()) {
          case COMBING_NUDGE -> "another leading stem carries the same sound: this combs";
          case SUSTAINED_TRIM -> "the hit is sustained: it has an edge that is not quiet";
          case SMALL_TRIM, SHORT_CLIP, SMALL_NUDGE, TRIM, NUDGE, CLIP -> "";
        };
    String partly = fix.cleared() ? "" : "it only lowers its moment";
    String dear =
        fix.isDear() ? "dear: tone " + Figures.fixed(fix.toneCostDb(), 1) + " dB, so listen" : "";
    return Stream.of(yoked(fix), dear, care, partly)
        .filter(text -> !text.isEmpty())
        .collect(Collectors.joining("; "));
  }

  /** How far the plan is taken: one sentence. */
  static String standing(Sheet sheet) {
    Model model = sheet.model();
    if (model.plan().isEmpty()) {
      return "";
    }
    Plan plan = model.plan().get();
    int count = plan.fixes().size();
    String taken = model.planTaken().size() + " of " + count + " taken.";
    int at = model.selectedRow();
    if (count == 0 || at >= count || model.planTaken().contains(at)) {
      return taken + " No stem file is changed.";
    }
    int places = plan.fixes().get(at).marks().size();
    return taken
        + " Enter takes this one"
        + (places > 1 ? " in its " + places + " places" : "")
        + ". No stem file is changed.";
  }
}
