package cairn.collisions.plan;

import cairn.collisions.fix.Attempt;
import cairn.collisions.fix.Change;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Judgement;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.OverRun;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.BooleanSupplier;

/**
 * All that could be done about one moment and those alike to it, in the planner's order;
 * definitions.md, 3 (alike) and 5 (order of gentleness).
 *
 * <p>A moment that is over with the marks there are is to be lowered further: a fix is judged with
 * all marks but those of its own stem there, which it replaces. A moment that is not over any more
 * has its marks to be exchanged: every fix is judged without any of them.
 */
public final class Advisor {

  private final FixFinder finder;
  private final PlanOptions options;
  private final int sampleRateHz;
  private final Amounts amounts;

  /**
   * @param finder finds fixes within the limits of the options
   * @param options limits, kinds, stems left alone; the line is that of the bus
   */
  public Advisor(FixFinder finder, PlanOptions options, int sampleRateHz) {
    this.finder = Objects.requireNonNull(finder, "finder");
    this.options = Objects.requireNonNull(options, "options");
    this.sampleRateHz = sampleRateHz;
    amounts = new Amounts(options.limits(), sampleRateHz);
  }

  /**
   * Looks for all of them. With more moments than one it lets go of the excerpts that the bus has
   * given: {@link WhatIf#letGo}.
   *
   * @param now the bus with all marks
   * @param momentFrames peak frames of moments of the list: the one to look at, then those alike to
   *     it; one that is called fine, or is not over as it is, is passed over, but for the first
   * @param cancelled asked now and then; if it says so, the search ends
   * @return clearing ones by gentleness, then partial ones by what they leave; empty where nothing
   *     helps, the moment is long, not over without its marks, or the search was cancelled
   */
  public List<Advice> advise(WhatIf now, List<Long> momentFrames, BooleanSupplier cancelled)
      throws IOException {
    long frame = momentFrames.get(0);
    boolean stillOver = now.highestAt(frame).isPresent();
    List<Found> found = new ArrayList<>();
    for (Map.Entry<Marks, List<Integer>> base : bases(now, momentFrames, stillOver).entrySet()) {
      found.addAll(
          advise(now.to(base.getKey()), base.getValue(), momentFrames, now.marks(), cancelled));
    }
    if (cancelled.getAsBoolean()) {
      return List.of();
    }
    List<Advice> advice = new ArrayList<>();
    found.stream()
        .filter(each -> each.choice.attempt().cleared())
        .sorted(Comparator.comparing(each -> each.choice, Choice.GENTLEST))
        .forEach(each -> advice.add(each.advice()));
    found.stream()
        .filter(each -> !each.choice.attempt().cleared())
        .sorted(Comparator.comparing(each -> each.choice, Choice.LOWEST))
        .forEach(each -> advice.add(each.advice()));
    return advice;
  }

  /** The marks with which the fixes of each stem are judged. */
  private static Map<Marks, List<Integer>> bases(
      WhatIf now, List<Long> momentFrames, boolean stillOver) {
    Map<Marks, List<Integer>> bases = new LinkedHashMap<>();
    for (int k = 0; k < now.stems(); k++) {
      int stem = k;
      List<Mark> kept =
          now.marks().list().stream()
              .filter(
                  mark ->
                      !(mark instanceof Mark.OfFix fix
                          && isAt(now, fix, momentFrames)
                          && (!stillOver || fix.fix().stem() == stem)))
              .toList();
      bases.computeIfAbsent(new Marks(kept), marks -> new ArrayList<>()).add(k);
    }
    return bases;
  }

  /** Whether a mark stands at one of the moments; a plan's need not be at its very peak. */
  private static boolean isAt(WhatIf now, Mark.OfFix mark, List<Long> momentFrames) {
    return now.listedAt(mark.momentFrame())
        .map(listed -> momentFrames.contains(listed.peakFrame()))
        .orElse(false);
  }

  /** A fix of one stem and kind while the places are gone through. */
  private static final class Found {
    /** The least fix at the moment itself; the chosen one in the end. */
    Choice choice;

    /** Its amounts that clear the moment, the gentlest first; empty: it is partial. */
    final List<Fix> offered;

    final Gentleness most;
    final List<Integer> combs;
    final int[] clears;
    final List<Fix[]> elsewhere = new ArrayList<>();
    final List<Long> frames = new ArrayList<>();
    int places = 1;
    int best;
    long momentFrame;

    Found(Choice choice, List<Fix> offered, Gentleness most, List<Integer> combs) {
      this.choice = choice;
      this.offered = offered;
      this.most = most;
      this.combs = combs;
      clears = new int[offered.size()];
    }

    /** The amount that clears the most places, the gentlest of those. */
    int clearsMost() {
      int most = 0;
      for (int i = 1; i < clears.length; i++) {
        most = clears[i] > clears[most] ? i : most;
      }
      return most;
    }

    Advice advice() {
      List<Mark.OfFix> marks = new ArrayList<>();
      marks.add(new Mark.OfFix(momentFrame, choice.fix(), Optional.empty()));
      for (int i = 0; i < elsewhere.size(); i++) {
        if (!offered.isEmpty() && elsewhere.get(i)[best] != null) {
          marks.add(new Mark.OfFix(frames.get(i), elsewhere.get(i)[best], Optional.empty()));
        }
      }
      Attempt attempt = choice.attempt();
      return new Advice(
          choice.fix().stem(),
          choice.fix().kind(),
          marks,
          attempt.cleared() ? marks.size() : 0,
          places,
          choice.gentleness(),
          attempt.leftLevel(),
          attempt.change().longestLobeFrames(),
          attempt.change().clippedFrames(),
          choice.toneCostDb().orElseThrow(),
          choice.isDear(),
          combs);
    }
  }

  private List<Found> advise(
      WhatIf base,
      List<Integer> stems,
      List<Long> momentFrames,
      Marks marks,
      BooleanSupplier cancelled)
      throws IOException {
    Optional<OverRun> run = base.highestAt(momentFrames.get(0));
    if (run.isEmpty()) {
      return List.of();
    }
    FixesHere here = base.fixes(finder, run.get());
    List<Found> found = new ArrayList<>();
    boolean alone = momentFrames.size() == 1;
    for (int k : stems) {
      if (here.share(k) < Contribution.LEADS_FROM || options.leftAlone().contains(k)) {
        continue;
      }
      for (Fix.Kind kind : Fix.Kind.values()) {
        if (cancelled.getAsBoolean()) {
          return List.of();
        }
        if (options.kinds().contains(kind) && options.mayTouch(k, kind, base.yokes())) {
          Choice.least(here, k, kind, sampleRateHz)
              .map(choice -> choice.sure(here, options.dearOverDb()))
              .filter(
                  choice ->
                      choice.attempt().cleared()
                          || choice.attempt().leftLevel() <= run.get().peak() * Choice.WORTH)
              .ifPresent(choice -> found.add(found(choice, here, alone)));
        }
      }
    }
    // Only one excerpt is held at a time: the next place is read when this one is done with.
    for (long frame : momentFrames.subList(1, momentFrames.size())) {
      Optional<OverRun> other = base.highestAt(frame);
      if (other.isPresent() && !marks.fineFrames().contains(frame)) {
        base.letGo();
        lookAt(frame, base.fixes(finder, other.get()), found, cancelled);
      }
    }
    FixesHere again = null;
    for (Found each : found) {
      each.momentFrame = momentFrames.get(0);
      each.best = each.clearsMost();
      if (each.best > 0) {
        if (again == null) {
          base.letGo();
          again = base.fixes(finder, run.get());
        }
        while (each.best > 0
            && !each.choice.isDear()
            && again.toneCostDb(each.offered.get(each.best)) > options.dearOverDb()) {
          each.clears[each.best] = -1;
          each.best = each.clearsMost();
        }
        if (each.best > 0) {
          choose(each, again);
        }
      }
    }
    return found;
  }

  private Found found(Choice choice, FixesHere here, boolean alone) {
    Gentleness most = choice.gentleness().hardestOfItsKind();
    List<Fix> offered =
        !choice.attempt().cleared()
            ? List.of()
            : alone ? List.of(choice.fix()) : amounts.clearing(choice.fix(), most, here);
    return new Found(
        choice,
        offered,
        most,
        choice.fix().kind() == Fix.Kind.NUDGE ? here.combs(choice.fix().stem()) : List.of());
  }

  /** Tries all amounts of all fixes at one of the other places. */
  private void lookAt(long frame, FixesHere place, List<Found> found, BooleanSupplier cancelled) {
    for (Found each : found) {
      each.places++;
      Fix[] fixes = new Fix[each.offered.size()];
      for (int i = 0; i < fixes.length && !cancelled.getAsBoolean(); i++) {
        fixes[i] = amounts.clearing(place, each.offered.get(i), each.most).orElse(null);
        if (i == 0
            && fixes[0] != null
            && !each.choice.isDear()
            && place.toneCostDb(fixes[0]) > options.dearOverDb()) {
          fixes[0] = null;
        }
        each.clears[i] += fixes[i] == null ? 0 : 1;
      }
      each.elsewhere.add(fixes);
      each.frames.add(frame);
    }
  }

  /** Makes another amount than the least the choice. */
  private void choose(Found found, FixesHere here) {
    Fix fix = found.offered.get(found.best);
    Judgement judgement = here.judge(fix);
    Change change = judgement.change();
    found.choice =
        new Choice(
            new Attempt(fix, true, judgement.leftLevel(), change, found.combs),
            Gentleness.of(fix, change, !found.combs.isEmpty(), judgement.sustained(), sampleRateHz),
            found.choice.share(),
            OptionalDouble.of(here.toneCostDb(fix)),
            found.choice.isDear());
  }
}
