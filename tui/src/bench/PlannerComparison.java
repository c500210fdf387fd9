import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.fix.Fix;
import cairn.collisions.line.Line;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.Plan;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.PlannedFix;
import cairn.collisions.plan.Planner;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import cairn.io.stems.StemSet;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;

/**
 * Compares ways of planning on folders of stems, a table row each; {@code compare_planners} runs it.
 *
 * <p>plan: what {@code cairn plan} proposes. exchange: from the last fix to the first, each is taken
 * off and what it served is planned anew, freely, without its stem, and without its kind; the best
 * of them stays if it beats what there was. other start: the best of the plan and those that
 * leave one of its stems alone (a look-ahead over which stem bears the song's fixes). Better is: fewer moments left,
 * then fewer dear fixes, fewer fixes, and the smaller sum of tone costs.
 */
public final class PlannerComparison {

  private record Outcome(
      List<PlannedFix> fixes, int moments, int left, double wonDb, double alteredSeconds) {

    static Outcome of(Plan plan) {
      return new Outcome(
          plan.fixes(), plan.moments(), plan.open().size(), plan.wonDb(), plan.alteredSeconds());
    }

    long dear() {
      return fixes.stream().filter(PlannedFix::isDear).count();
    }

    long lastResorts() {
      return fixes.stream().filter(f -> !f.isDear() && f.gentleness().isLastResort()).count();
    }

    double tone() {
      return fixes.stream().mapToDouble(PlannedFix::toneCostDb).sum();
    }
  }

  private static final Comparator<Outcome> BETTER =
      Comparator.comparingInt(Outcome::left)
          .thenComparingLong(Outcome::dear)
          .thenComparingLong(Outcome::lastResorts)
          .thenComparingInt(outcome -> outcome.fixes().size())
          .thenComparingDouble(Outcome::tone);

  private final Planner planner;
  private final PlanOptions options;
  private final int sampleRateHz;

  private PlannerComparison(Planner planner, PlanOptions options, int sampleRateHz) {
    this.planner = planner;
    this.options = options;
    this.sampleRateHz = sampleRateHz;
  }

  private Plan plan(List<PlannedFix> taken, PlanOptions asked) throws Exception {
    List<Mark> marks = new ArrayList<>();
    taken.forEach(fix -> marks.addAll(fix.marks()));
    return planner.plan(new Marks(marks), asked);
  }

  private Outcome exchanged(Plan first) throws Exception {
    Outcome best = Outcome.of(first);
    for (int i = best.fixes().size() - 1; i >= 0; i--) {
      if (i >= best.fixes().size()) {
        continue;
      }
      PlannedFix fix = best.fixes().get(i);
      List<PlannedFix> kept = new ArrayList<>(best.fixes());
      kept.remove(i);
      Set<Fix.Kind> kinds = EnumSet.allOf(Fix.Kind.class);
      kinds.remove(fix.fix().kind());
      for (PlanOptions asked :
          List.of(options, options.withLeftAlone(Set.of(fix.stem())), options.withKinds(kinds))) {
        Plan again = plan(kept, asked);
        List<PlannedFix> all = new ArrayList<>(kept);
        all.addAll(again.fixes());
        double altered =
            again.alteredSeconds()
                + kept.stream().mapToLong(PlannedFix::alteredFrames).sum()
                    * first.alteredSeconds()
                    / Math.max(1, first.alteredFrames());
        double won =
            first.wonDb() + 20 * Math.log10(first.peakAfter() / again.peakAfter());
        Outcome found =
            new Outcome(all, first.moments(), again.open().size(), won, altered);
        if (isWithinBounds(found) && BETTER.compare(found, best) < 0) {
          best = found;
        }
      }
    }
    return best;
  }

  /** At most three marks at a moment, as in any plan: within 100 ms, the longest spike. */
  private boolean isWithinBounds(Outcome outcome) {
    List<Long> frames = new ArrayList<>();
    outcome.fixes().forEach(fix -> fix.marks().forEach(mark -> frames.add(mark.momentFrame())));
    frames.sort(null);
    for (int i = 3; i < frames.size(); i++) {
      if (frames.get(i) - frames.get(i - 3) <= sampleRateHz / 10) {
        return false;
      }
    }
    return true;
  }

  private Outcome otherStart(Plan first) throws Exception {
    Outcome best = Outcome.of(first);
    Set<Integer> stems = new TreeSet<>();
    first.fixes().forEach(fix -> stems.add(fix.stem()));
    for (int stem : stems) {
      Outcome found =
          Outcome.of(plan(List.of(), options.withLeftAlone(new HashSet<>(Set.of(stem)))));
      if (BETTER.compare(found, best) < 0) {
        best = found;
      }
    }
    return best;
  }

  private static void row(String song, String planner, Outcome outcome) {
    System.out.printf(
        Locale.ROOT,
        "| %s | %s | %d | %d | %d | %d | %.2f | %.2f | %.1f | %.1f |%n",
        song,
        planner,
        outcome.moments(),
        outcome.left(),
        outcome.fixes().size(),
        outcome.dear() + outcome.lastResorts(),
        outcome.wonDb(),
        outcome.alteredSeconds(),
        outcome.tone(),
        outcome.fixes().stream().mapToDouble(PlannedFix::toneCostDb).max().orElse(0));
  }

  public static void main(String[] folders) throws Exception {
    ExecutorService threads = Executors.newFixedThreadPool(1);
    try {
      System.out.println(
          "| song, line | planner | moments | left | fixes | dear or last | dB won | altered s |"
              + " tone sum dB | largest |");
      System.out.println("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
      for (String folder : folders) {
        for (double marginDb : new double[] {2, 1}) {
          compare(Path.of(folder), marginDb, new Crew(threads, 2));
        }
      }
    } finally {
      threads.shutdown();
    }
  }

  private static void compare(Path folder, double marginDb, Crew crew) throws Exception {
    StemSet set = StemFolder.scan(List.of(folder), ScanOptions.DEFAULT);
    try (StemFiles files = set.open()) {
      Pass pass =
          new Analysis(set.toSession(), files, crew, Progress.NONE)
              .run(Settings.DEFAULT.withLine(new Line.Margin(marginDb)));
      PlannerComparison comparison =
          new PlannerComparison(
              new Planner(pass, files, crew, Progress.NONE),
              PlanOptions.DEFAULT,
              pass.session().sampleRateHz());
      String song = String.format(Locale.ROOT, "%s, +%.0f", folder.getFileName(), marginDb);
      Plan first = comparison.plan(List.of(), PlanOptions.DEFAULT);
      row(song, "plan", Outcome.of(first));
      row(song, "exchange", comparison.exchanged(first));
      row(song, "other start", comparison.otherStart(first));
    }
  }
}
