package cairn.io.listing;

import cairn.collisions.Pass;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.plan.Ladder;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.OpenMoment;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlannedFix;
import cairn.collisions.plan.StemMove;
import cairn.collisions.time.ClockTime;
import cairn.collisions.time.TempoEstimate;
import cairn.collisions.time.TempoMap;
import cairn.io.stems.StemSet;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;

/** A plan for people: what it wins, then one row a fix, in the order in which they apply. */
public final class PlanTable {

  private final Plan plan;
  private final Pass pass;
  private final StemSet stems;
  private final Optional<TempoMap> tempo;
  private final Optional<StemMove> setting;
  private final List<Integer> sameSound;

  private PlanTable(
      Plan plan,
      Pass pass,
      StemSet stems,
      Optional<TempoMap> tempo,
      Optional<StemMove> setting,
      List<Integer> sameSound) {
    this.setting = setting;
    this.sameSound = sameSound;
    this.plan = plan;
    this.pass = pass;
    this.stems = stems;
    this.tempo = tempo;
  }

  /**
   * The lines: head figures, the one setting that would do the most, fixes, what is left, the
   * ladder.
   *
   * @param setting a setting of a stem for the whole song, worked out without any mark
   * @param sameSound the other stems that carry the sound of that one
   */
  public static List<String> lines(
      Plan plan,
      Pass pass,
      StemSet stems,
      Optional<TempoMap> tempo,
      Optional<StemMove> setting,
      List<Integer> sameSound) {
    return new PlanTable(plan, pass, stems, tempo, setting, sameSound).lines();
  }

  private List<String> lines() {
    List<String> lines = new ArrayList<>();
    if (plan.moments() == 0) {
      lines.add(
          "Nothing to do: the bus peaks at "
              + Figures.db(plan.peakBefore(), 2)
              + " "
              + unit()
              + ", and nothing is over the line"
              + lineText()
              + ".");
      lines.addAll(LoudnessLines.ofGoal(pass));
      return lines;
    }
    lines.add(countText(plan));
    lines.add(
        String.format(
            Locale.ROOT,
            "bus peak      %6s %s now, %s %s after: %.2f dB won",
            Figures.db(plan.peakBefore(), 2),
            unit(),
            Figures.db(plan.peakAfter(), 2),
            unit(),
            plan.wonDb()));
    lines.add("line          " + lineText().strip());
    tempo
        .filter(TempoMap::isEstimate)
        .ifPresent(map -> lines.add("tempo         " + TempoEstimate.words(map)));
    pass.limiter().ifPresent(work -> lines.addAll(limiter(work)));
    lines.add(
        String.format(
            Locale.ROOT,
            "altered       %6.2f s of stems, %.3f %% of all",
            plan.alteredSeconds(),
            100 * plan.alteredShare()));
    setting.ifPresent(move -> lines.addAll(List.of("", first(move))));
    if (!plan.fixes().isEmpty()) {
      lines.add("");
      lines.addAll(fixes());
    }
    if (!plan.open().isEmpty()) {
      lines.add("");
      lines.addAll(open());
    }
    if (!plan.ladder().rows().isEmpty()) {
      lines.add("");
      lines.addAll(ladder());
    }
    return lines;
  }

  private static String countText(Plan plan) {
    return String.format(
        Locale.ROOT,
        "%s%s: %d of %s cleared, %d partly, %d left",
        Figures.count(plan.fixes().size(), "fix").replaceFirst("fixs$", "fixes"),
        plan.places() == plan.fixes().size() ? "" : " in " + Figures.count(plan.places(), "place"),
        plan.cleared(),
        Figures.count(plan.moments(), "moment"),
        plan.partlyCleared(),
        plan.left());
  }

  /** What is left after a plan that aims at the goal of a pass, in one line. */
  public static String afterLine(Plan plan, Pass pass) {
    return String.format(
        Locale.ROOT,
        "after the plan: %s; bus peak %s %s%s",
        countText(plan),
        Figures.db(plan.peakAfter(), 2),
        plan.line().mode().unit(),
        pass.limiter()
            .map(work -> ", " + LoudnessLines.work(work, plan.peakAfter()) + " dB for the limiter")
            .orElse(""));
  }

  private List<String> limiter(LimiterWork work) {
    List<String> lines = new ArrayList<>(LoudnessLines.ofGoal(pass));
    lines.set(1, lines.get(1) + "; " + LoudnessLines.work(work, plan.peakAfter()) + " dB after");
    return lines;
  }

  private String lineText() {
    return plan.line().isLevel()
        ? String.format(Locale.ROOT, " %6s %s", Figures.db(plan.line().level(0), 2), unit())
        : "  moves with the song";
  }

  private String unit() {
    return plan.line().mode().unit();
  }

  /** One setting in place of many fixes, with its price. */
  private String first(StemMove move) {
    String price = StemMoves.care(move, rate(), sameSound.stream().map(this::name).toList());
    return "or first      "
        + move.setting().moved(pass.session().yokes()).stream()
            .map(this::name)
            .collect(Collectors.joining(" with "))
        + " "
        + StemMoves.words(move.setting(), rate())
        + " for the whole song: "
        + move.cleared()
        + " of "
        + Figures.count(plan.moments(), "moment")
        + " cleared, "
        + move.fresh()
        + " new, bus peak "
        + Figures.db(move.peakAfter(), 2)
        + (price.isEmpty() ? "" : "; " + price);
  }

  private List<String> fixes() {
    Table table = new Table();
    table.row(List.of("<stem", "<fix", "<at", ">peak after", ">tone", "<why"));
    for (PlannedFix fix : plan.fixes()) {
      List<Mark.OfFix> marks = fix.marks();
      table.row(
          List.of(
              name(fix.stem()),
              FixWords.of(fix.fix(), rate()),
              time(marks.get(0).momentFrame()),
              Figures.db(fix.peakAfter(), 2),
              Figures.fixed(fix.toneCostDb(), 1),
              fix.why() + next(fix)));
      for (Mark.OfFix mark : marks.subList(1, marks.size())) {
        table.row(List.of("", "  the same", time(mark.momentFrame()), "", "", ""));
      }
    }
    return table.lines();
  }

  /** What the next best would be, and cost. */
  private String next(PlannedFix fix) {
    return fix.next()
        .map(
            next ->
                "; else "
                    + name(next.fix().stem())
                    + " "
                    + FixWords.of(next.fix(), rate())
                    + ", tone "
                    + Figures.fixed(next.toneCostDb(), 1))
        .orElse("");
  }

  private List<String> open() {
    Table table = new Table();
    table.row(List.of(">still over", ">peak", "<why"));
    for (OpenMoment open : plan.open()) {
      table.row(List.of(time(open.momentFrame()), Figures.db(open.level(), 2), open.words()));
    }
    return table.lines();
  }

  private List<String> ladder() {
    Table table = new Table();
    table.row(List.of(">to win", ">deal with", ">fixes"));
    for (Ladder.Row row : plan.ladder().rows()) {
      table.row(
          List.of(
              Figures.fixed(row.headroomDb(), 2) + " dB",
              Figures.count(row.moments(), "moment"),
              String.valueOf(row.fixes())));
    }
    return table.lines();
  }

  private String name(int k) {
    return stems.stems().get(k).name();
  }

  private String time(long frame) {
    String clock = ClockTime.of(frame, rate());
    return tempo.map(t -> clock + "  " + t.barsBeats(frame, rate())).orElse(clock);
  }

  private int rate() {
    return pass.session().sampleRateHz();
  }
}
