package cairn.tui.view;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.ToneCost;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.io.files.SafeText;
import cairn.io.listing.Figures;
import cairn.tui.model.Model;
import cairn.tui.model.PlanSteps;
import cairn.tui.model.Screen;
import cairn.tui.model.Song;
import cairn.tui.update.PlanDeeds;
import cairn.tui.update.PlanRow;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;

/** The plan: each fix with the dB it wins, as stones that go down from the peak to the line. */
final class PlanView {

  private static final int STATE = 2;
  private static final int DETAIL = 8;
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
  private final List<PlanRow> planRows;
  private final Optional<PlanSteps> summed;
  private final boolean tells;
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
    planRows = PlanRow.of(sheet.model());
    summed = PlanRow.summed(sheet.model());
    tells = sheet.model().planSteps().isEmpty();
    rate = song.sampleRateHz();
    int spare = sheet.columns() - 80;
    nameCells = LEAST_NAME + Math.min(30, spare / 4);
    fixColumn = STEM + nameCells + 1;
    barColumn = fixColumn + FIX_CELLS + 6;
    barCells = Math.min(100, LEAST_BAR + spare - (nameCells - LEAST_NAME));
    topDb = Decibels.ofAmplitude(song.pass().peak());
    double lineDb = Decibels.ofAmplitude(plan.line().level(0));
    footDb = Math.min(lineDb, Decibels.ofAmplitude(planned().orElse(plan.peakAfter())));
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
    String first = StemsView.first(sheet, model.song().get());
    if (!first.isEmpty()) {
      sheet.sentence(heading - 1, 2, "or first (S): " + first, sheet.columns() - 2, Style.PLAIN);
    }
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
    canvas.putRight(2, PLANNED_END, planned().map(Words::level).orElse(ellipsis), Style.BOLD);
    int row = 3;
    if (pass.limiter().isPresent()) {
      LimiterWork work = pass.limiter().get();
      canvas.put(row, 2, "limiter takes dB");
      canvas.putRight(row, FOUND_END, HeadView.db(work.dbAt(pass.peak())));
      canvas.putRight(
          row,
          TAKEN_END,
          model.busNow().map(bus -> HeadView.db(work.dbAt(bus.peak()))).orElse(ellipsis));
      canvas.putRight(
          row,
          PLANNED_END,
          planned().map(peak -> HeadView.db(work.dbAt(peak))).orElse(ellipsis),
          Style.BOLD);
      row++;
    }
    canvas.put(row, 2, "over the line");
    canvas.putRight(row, FOUND_END, String.valueOf(pass.moments().size()));
    canvas.putRight(
        row,
        TAKEN_END,
        model.busNow().map(bus -> String.valueOf(bus.runs().size())).orElse(ellipsis));
    canvas.putRight(
        row,
        PLANNED_END,
        tells
            ? String.valueOf(plan.open().size())
            : summed.map(steps -> String.valueOf(steps.over())).orElse(ellipsis),
        Style.BOLD);
    facts(row);
    return row + 1;
  }

  /** The peak of the bus with all rows, linear; empty: being worked out. */
  private Optional<Double> planned() {
    if (tells) {
      return Optional.of(plan.peakAfter());
    }
    return summed.map(
        steps ->
            steps.peaks().isEmpty()
                ? song.pass().peak()
                : steps.peaks().get(steps.peaks().size() - 1));
  }

  private void facts(int lastRow) {
    List<String> facts = new ArrayList<>();
    long others = planRows.stream().filter(row -> !row.isBefore() && !isAsPlanned(row)).count();
    facts.add(
        others > 0
            ? Words.fixes(plan.fixes().size()) + ", " + others + " changed by you"
            : Words.fixes(plan.fixes().size())
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
    costsMost().ifPresent(facts::add);
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

  /** The row with the largest tone cost that is known. */
  private Optional<String> costsMost() {
    double most = 0.05;
    Optional<String> costs = Optional.empty();
    for (int i = 0; i < planRows.size(); i++) {
      double cost = toneCostDb(i);
      if (planRows.get(i).state() != PlanRow.State.DROPPED && cost >= most) {
        most = cost;
        String name = sheet.names().whole(planRows.get(i).fix().stem());
        costs = Optional.of("costs most: " + name + ", " + Figures.fixed(cost, 1) + " dB");
      }
    }
    return costs;
  }

  private boolean isAsPlanned(PlanRow row) {
    return row.state() != PlanRow.State.DROPPED
        && row.planned(plan).map(fix -> fix.fix().equals(row.fix())).orElse(false);
  }

  /** What a row costs in tone, in dB; NaN: not known. */
  private double toneCostDb(int index) {
    PlanRow row = planRows.get(index);
    Optional<PlanSteps> steps = sheet.model().planSteps();
    if (steps.isPresent()
        && index < steps.get().toneCostsDb().size()
        && !steps.get().steps().get(index).isEmpty()) {
      return steps.get().toneCostsDb().get(index);
    }
    return isAsPlanned(row)
        ? row.planned(plan).orElseThrow().toneCostDb()
        : row.other().map(Advice::toneCostDb).orElse(Double.NaN);
  }

  /** The peak after a row, linear; empty: being worked out. */
  private Optional<Double> peakAfter(int index) {
    if (index < 0) {
      return Optional.of(song.pass().peak());
    }
    return tells
        ? Optional.of(plan.fixes().get(index).peakAfter())
        : sheet
            .model()
            .planSteps()
            .filter(steps -> index < steps.peaks().size())
            .map(steps -> steps.peaks().get(index));
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
    int fixes = planRows.size();
    Scrolled.draw(
        sheet,
        heading + 1,
        sheet.rows() - ROWS_BELOW - heading - 1,
        fixes + open.size(),
        (row, index, style) -> {
          if (index < fixes) {
            fix(row, index, style);
          } else {
            open(row, open.get(index - fixes), style);
          }
        });
  }

  private void fix(int row, int index, Style style) {
    PlanRow planRow = planRows.get(index);
    Fix fix = planRow.fix();
    boolean taken = planRow.state() == PlanRow.State.TAKEN;
    boolean dropped = planRow.state() == PlanRow.State.DROPPED;
    canvas.put(row, STATE, taken ? "taken" : dropped ? "drop" : "?", taken ? Style.MARKED : style);
    canvas.put(row, STEM, sheet.names().fit(fix.stem(), nameCells), style);
    sheet.cut(row, fixColumn, shortly(fix), FIX_CELLS, style);
    if (planRow.marks().size() > 1) {
      canvas.putRight(row, barColumn - 2, "x" + planRow.marks().size(), style);
    }
    int barEnd = barColumn + barCells;
    double cost = toneCostDb(index);
    if (!Double.isNaN(cost)) {
      boolean isDear =
          isAsPlanned(planRow)
              ? planRow.planned(plan).orElseThrow().isDear()
              : cost > ToneCost.DEAR_OVER_DB;
      canvas.putRight(row, barEnd + 13, Figures.fixed(cost, 1), isDear ? Style.OVER : style);
    }
    if (dropped) {
      return;
    }
    Optional<Double> before = peakAfter(index - 1);
    Optional<Double> after = peakAfter(index);
    if (before.isPresent() && after.isPresent()) {
      stone(row, before.get(), after.get(), taken ? Style.MARKED : Style.PLAIN);
      canvas.putRight(row, barEnd + 7, Words.level(after.get()), style);
    } else {
      canvas.putRight(row, barEnd + 7, sheet.glyphs().ellipsis(), style);
    }
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

  private void open(int row, OpenMoment open, Style style) {
    boolean fine = open.why() == OpenMoment.Why.FINE;
    canvas.put(
        row,
        STATE,
        fine ? "fine" : open.partly() ? "part" : "left",
        fine ? Style.MARKED : Style.OVER);
    canvas.put(row, STEM, leader(open, nameCells), style);
    String words =
        Words.time(open.momentFrame(), rate)
            + "  "
            + (fine ? "as it is, by you" + price() : open.words());
    sheet.sentence(row, fixColumn, SafeText.of(words), barColumn + barCells - fixColumn, style);
    canvas.putRight(row, barColumn + barCells + 7, Words.level(open.level()), style);
  }

  private String price() {
    return plan.finePriceDb() > 0 ? "; costs " + Figures.fixed(plan.finePriceDb(), 2) + " dB" : "";
  }

  /** The stem that leads at a moment that is left. */
  private String leader(OpenMoment open, int cells) {
    long near = rate / 20;
    Optional<Moment> listed =
        song.pass().moments().stream()
            .filter(m -> Math.abs(m.peakFrame() - open.momentFrame()) <= near)
            .findFirst();
    return listed
        .filter(m -> !m.contributions().isEmpty())
        .map(m -> sheet.names().fit(m.contributions().get(0).stem(), cells))
        .orElse("");
  }

  private void details(int row) {
    Optional<OpenMoment> open = PlanRow.selectedOpen(sheet.model());
    if (open.isPresent()) {
      details(row, open.get());
      return;
    }
    if (planRows.isEmpty()) {
      return;
    }
    PlanRow selected = planRows.get(Math.min(sheet.model().selectedRow(), planRows.size() - 1));
    int columns = sheet.columns() - 2;
    sheet.sentence(row, 2, places(selected), columns, Style.PLAIN);
    String or = selected.isBefore() ? "" : others(selected);
    if (!or.isEmpty()) {
      sheet.sentence(row + 1, 2, "or    " + or, columns, Style.PLAIN);
    }
    String why =
        selected.isBefore()
            ? "taken before this plan was made"
            : selected
                .planned(plan)
                .map(fix -> SafeText.of(fix.reason()))
                .orElseGet(() -> "chosen by you, in place of " + words(planned(selected).fix()));
    canvas.put(row + 2, 2, "why");
    int below = sheet.wrapped(row + 2, 2, DETAIL, why, Style.PLAIN);
    String care = care(selected);
    if (!care.isEmpty()) {
      sheet.sentence(below, 2, "care  " + care, columns, Style.OVER);
    }
  }

  /** Why a moment stays over, what that costs, and what can be done about it. */
  private void details(int row, OpenMoment open) {
    int columns = sheet.columns() - 2;
    String leader = leader(open, columns / 3);
    sheet.sentence(
        row,
        2,
        (leader.isEmpty() ? "" : leader + " leads ")
            + "at "
            + Words.time(open.momentFrame(), rate)
            + ", which stays at "
            + Words.level(open.level()),
        columns,
        Style.PLAIN);
    String or =
        switch (open.why()) {
          case FINE -> "x or f frees it";
          case LONG -> "f calls it fine; Enter shows it on the walk";
          case LEFT_ALONE -> "S, then f, frees a stem; f calls it fine";
          case NEW -> "Space goes back to the fixes; x drops the one beside it";
          case MANY_SMALL, SUSTAINED, NO_FIX, NOT_ENOUGH, OUT_OF_MARKS ->
              "v shows what lowers it, on the walk; f calls it fine";
        };
    sheet.sentence(row + 1, 2, "or    " + or, columns, Style.PLAIN);
    canvas.put(row + 2, 2, "why");
    int below = sheet.wrapped(row + 2, 2, DETAIL, SafeText.of(open.words()), Style.PLAIN);
    if (open.why() == OpenMoment.Why.FINE && plan.finePriceDb() > 0) {
      String price =
          "without what is fine the peak would be "
              + Figures.fixed(plan.finePriceDb(), 2)
              + " dB lower";
      sheet.sentence(below, 2, "care  " + price, columns, Style.OVER);
    }
  }

  private PlannedFix planned(PlanRow row) {
    return plan.fixes().get(row.index());
  }

  private String words(Fix fix) {
    return sheet.names().whole(fix.stem()) + " " + shortly(fix);
  }

  /** What else could be done at the row's moment; as far as it is looked into, else the next. */
  private String others(PlanRow row) {
    PlannedFix planned = planned(row);
    List<String> words = new ArrayList<>();
    if (row.other().isPresent()) {
      words.add(words(planned.fix()));
    }
    if (row.state() != PlanRow.State.TAKEN && isLookedInto(row)) {
      for (Advice advice : PlanDeeds.others(sheet.model(), planned)) {
        if (!row.other().equals(Optional.of(advice))) {
          words.add(words(advice.marks().get(0).fix()) + tone(advice.toneCostDb()));
        }
      }
    } else if (row.other().isEmpty() && planned.next().isPresent()) {
      PlannedFix.Next next = planned.next().get();
      words.add(words(next.fix()) + tone(next.toneCostDb()));
    }
    return String.join(";  ", words);
  }

  private static String tone(double costDb) {
    return ", tone " + Figures.fixed(costDb, 1);
  }

  private boolean isLookedInto(PlanRow row) {
    long near = rate / 20;
    long frame = row.marks().get(0).momentFrame();
    return sheet
        .model()
        .momentNow()
        .map(
            moment ->
                moment.places().stream()
                    .anyMatch(place -> Math.abs(place.momentFrame() - frame) <= near))
        .orElse(false);
  }

  private String places(PlanRow fix) {
    String what =
        fix.fix() instanceof Nudge nudge
            ? Figures.count(Math.abs(nudge.frames()), "sample")
                + (nudge.frames() > 0 ? " later" : " earlier")
            : Words.fix(fix.fix(), rate);
    StringBuilder text =
        new StringBuilder(sheet.names().whole(fix.fix().stem()))
            .append(", ")
            .append(what)
            .append(" at ");
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
  private String yoked(Fix fix) {
    List<Integer> others = song.pass().session().yokes().othersOf(fix.stem());
    return others.isEmpty() || fix.kind() == Fix.Kind.CLIP
        ? ""
        : others.stream().map(sheet.names()::whole).collect(Collectors.joining(", "))
            + (others.size() == 1 ? " moves" : " move")
            + " with it";
  }

  /** What to listen for: as the plan says it, or the same of a fix that was chosen. */
  private String care(PlanRow row) {
    if (row.planned(plan).isPresent()) {
      return SafeText.of(row.planned(plan).get().care());
    }
    List<String> care = new ArrayList<>();
    care.add(yoked(row.fix()));
    if (row.other().isPresent()) {
      Advice other = row.other().get();
      if (other.isDear()) {
        care.add("dear: tone " + Figures.fixed(other.toneCostDb(), 1) + " dB, so listen");
      }
      care.add(
          switch (other.gentleness()) {
            case COMBING_NUDGE -> combs(other);
            case SUSTAINED_TRIM -> "the hit has no quiet edge, so listen";
            case SMALL_TRIM, SHORT_CLIP, SMALL_NUDGE, TRIM, NUDGE, CLIP -> "";
          });
      care.add(other.cleared() > 0 ? "" : "it only lowers its moment");
    }
    return care.stream().filter(text -> !text.isEmpty()).collect(Collectors.joining("; "));
  }

  private String combs(Advice advice) {
    return advice.combs().isEmpty()
        ? "another leading stem carries the same sound: this combs"
        : sheet.names().whole(advice.combs().get(0)) + " has the same sound: this combs";
  }

  /** How far the plan is taken: one sentence. */
  static String standing(Sheet sheet) {
    Model model = sheet.model();
    if (model.plan().isEmpty()) {
      return "";
    }
    List<PlanRow> rows = PlanRow.of(model);
    int count = model.plan().get().fixes().size();
    String taken = model.planTaken().size() + " of " + count + " taken.";
    int at = model.selectedRow();
    if (PlanRow.selectedOpen(model).isPresent()) {
      return taken + " Enter shows this one on the walk. No stem file is changed.";
    }
    if (at >= rows.size() || rows.get(at).state() == PlanRow.State.TAKEN) {
      return taken + " No stem file is changed.";
    }
    int places = rows.get(at).marks().size();
    return taken
        + " Enter takes this one"
        + (places > 1 ? " in its " + places + " places" : "")
        + ". No stem file is changed.";
  }
}
