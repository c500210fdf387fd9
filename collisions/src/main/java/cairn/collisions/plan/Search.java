package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.port.Progress;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CancellationException;

/** One run of the planner; definitions.md, 5. */
final class Search {

  private static final int MOST_MARKS_HERE = 3;

  /** A fix as it is planned. */
  static final class Draft {
    final Choice choice;
    final List<Mark.OfFix> marks = new ArrayList<>();
    final double peakThere;
    final double lineThere;
    final int othersThatClear;
    private final Map<Mark.OfFix, Double> toneCosts = new HashMap<>();
    double peakAfter;
    Optional<PlannedFix.Next> next = Optional.empty();

    /** Whether all others that clear change the tone more. */
    boolean leastTone;

    Draft(Choice choice, double peakThere, double lineThere, int othersThatClear) {
      this.choice = choice;
      this.peakThere = peakThere;
      this.lineThere = lineThere;
      this.othersThatClear = othersThatClear;
    }

    /** The largest tone cost of its places, in dB. */
    double toneCostDb() {
      return marks.stream().mapToDouble(toneCosts::get).max().orElse(0);
    }
  }

  /** Why a place was given up. */
  record GivenUp(TimeRange place, OpenMoment.Why why) {}

  private final int sampleRateHz;
  private final PlanOptions options;
  private final Map<Long, Integer> headOfListed;
  private final FixFinder finder;
  private final Progress progress;
  private final Amounts amounts;
  private final long gapFrames;
  private final Stretches passedOver = new Stretches();
  private final List<GivenUp> givenUp = new ArrayList<>();
  private final List<Draft> drafts = new ArrayList<>();
  private final int most;
  private final int toDo;
  private int marks;
  private int settled;
  private WhatIf now;

  /**
   * @param headOfListed rank of the head of each listed moment, by peak frame
   */
  Search(
      WhatIf start,
      FixFinder finder,
      int sampleRateHz,
      PlanOptions options,
      Map<Long, Integer> headOfListed,
      Progress progress) {
    this.now = start;
    this.finder = finder;
    this.sampleRateHz = sampleRateHz;
    this.options = options;
    this.headOfListed = headOfListed;
    this.progress = progress;
    amounts = new Amounts(options.limits(), sampleRateHz);
    gapFrames = OverFrames.gapFrames(sampleRateHz);
    for (long frame : start.marks().fineFrames()) {
      passedOver.add(
          start
              .listedAt(frame)
              .map(start::neighbourhood)
              .orElseGet(
                  () -> new TimeRange(Math.max(0, frame - gapFrames), frame + gapFrames + 1)));
    }
    most = MOST_MARKS_HERE * start.runs().size();
    toDo = start.runs().size();
  }

  /** Plans until no moment is to do, or the marks are used up. */
  WhatIf run() throws IOException {
    Optional<OverRun> next = highest(now.runs());
    while (next.isPresent() && marks < most) {
      tell();
      settle(next.get());
      settled++;
      next = highest(now.runs());
    }
    return now;
  }

  List<Draft> drafts() {
    return drafts;
  }

  List<GivenUp> givenUp() {
    return givenUp;
  }

  private void tell() {
    if (!progress.told(Progress.Step.PLAN, Math.min(settled, toDo), toDo)) {
      throw new CancellationException("cancelled");
    }
  }

  private boolean isLong(OverRun run) {
    return OverRun.isLong(run.firstOver(), run.lastOver(), sampleRateHz);
  }

  private boolean isToDo(OverRun run) {
    return !isLong(run) && !passedOver.contains(run.peakFrame());
  }

  /** The highest of the moments to do, the earlier on a tie. */
  private Optional<OverRun> highest(List<OverRun> inTime) {
    OverRun highest = null;
    for (OverRun run : inTime) {
      if (isToDo(run) && (highest == null || run.peak() > highest.peak())) {
        highest = run;
      }
    }
    return Optional.ofNullable(highest);
  }

  /** A stem and a kind of fix. */
  private record StemAndKind(int stem, Fix.Kind kind) {}

  /**
   * Settles one moment. One that would be given up with marks is tried again without each stem and
   * kind that it used, in the order of use: the first way that clears it stays. If none does, what
   * the first won stays.
   */
  private void settle(OverRun first) throws IOException {
    TimeRange place = now.neighbourhood(first);
    State before = state();
    OpenMoment.Why why = tryAt(place, Optional.empty());
    if (isClear(place)) {
      return;
    }
    State after = state();
    for (Draft draft : after.drafts.subList(before.drafts.size(), after.drafts.size())) {
      goBack(before);
      Fix fix = draft.choice.fix();
      tryAt(place, Optional.of(new StemAndKind(fix.stem(), fix.kind())));
      if (isClear(place)) {
        return;
      }
    }
    goBack(after);
    passedOver.add(place);
    givenUp.add(new GivenUp(place, why));
  }

  /** How far the plan is. */
  private record State(WhatIf now, List<Draft> drafts, int marks) {}

  private State state() {
    return new State(now, List.copyOf(drafts), marks);
  }

  private void goBack(State to) {
    now = to.now;
    drafts.clear();
    drafts.addAll(to.drafts);
    marks = to.marks;
  }

  private boolean isClear(TimeRange place) {
    return now.runsNear(place.firstFrame(), place.endFrame()).isEmpty();
  }

  /** Goes on at one moment until its neighbourhood is clear or nothing more can be done. */
  private OpenMoment.Why tryAt(TimeRange place, Optional<StemAndKind> without) throws IOException {
    OpenMoment.Why why = OpenMoment.Why.NOT_ENOUGH;
    while (marksAt(place) < MOST_MARKS_HERE && marks < most) {
      Optional<OverRun> run = highest(peakingIn(place));
      if (run.isEmpty()) {
        break;
      }
      Look look = look(run.get(), place, without);
      Optional<Choice> choice =
          Choice.best(look.choices, run.get().peak(), look.here, options.dearOverDb());
      if (choice.isEmpty()) {
        why = marksAt(place) > 0 ? OpenMoment.Why.NOT_ENOUGH : look.why();
        break;
      }
      take(choice.get(), run.get(), look);
    }
    return why;
  }

  private List<OverRun> peakingIn(TimeRange place) {
    return now.runsNear(place.firstFrame(), place.endFrame()).stream()
        .filter(run -> place.contains(run.peakFrame()))
        .toList();
  }

  /** The marks of the plan that stand in a neighbourhood. */
  private int marksAt(TimeRange place) {
    int count = 0;
    for (Draft draft : drafts) {
      for (Mark mark : draft.marks) {
        count += place.contains(mark.momentFrame()) ? 1 : 0;
      }
    }
    return count;
  }

  private boolean isUsed(TimeRange place, int stem, Fix.Kind kind) {
    for (Mark.OfFix mark : now.marks().fixes()) {
      if ((mark.fix().stem() == stem || movesWith(mark.fix(), stem))
          && mark.fix().kind() == kind
          && place.contains(mark.momentFrame())) {
        return true;
      }
    }
    return false;
  }

  /** Whether a fix of another stem moves this one too. */
  private boolean movesWith(Fix fix, int stem) {
    return fix.kind() != Fix.Kind.CLIP && now.yokes().groupOf(fix.stem()).contains(stem);
  }

  /** What can be done at a moment, and why perhaps nothing can. */
  private static final class Look {
    /** Let go as soon as the rest is known: of many stems there is room for one excerpt alone. */
    FixesHere here;

    final List<Choice> choices = new ArrayList<>();
    int leading;
    int leftAlone;
    int sustained;

    Look(FixesHere here) {
      this.here = here;
    }

    OpenMoment.Why why() {
      if (leading == 0) {
        return OpenMoment.Why.MANY_SMALL;
      }
      if (leading == leftAlone) {
        return OpenMoment.Why.LEFT_ALONE;
      }
      return sustained > 0 && leading == leftAlone + sustained
          ? OpenMoment.Why.SUSTAINED
          : OpenMoment.Why.NO_FIX;
    }
  }

  private Look look(OverRun run, TimeRange place, Optional<StemAndKind> without)
      throws IOException {
    Look look = new Look(now.fixes(finder, run));
    int stems = now.stems();
    for (int k = 0; k < stems; k++) {
      if (look.here.share(k) < Contribution.LEADS_FROM) {
        continue;
      }
      look.leading++;
      if (options.leftAlone().contains(k)) {
        look.leftAlone++;
        continue;
      }
      boolean sustained = look.here.hit(k).sustained();
      look.sustained += sustained ? 1 : 0;
      for (Fix.Kind kind : Fix.Kind.values()) {
        if (options.kinds().contains(kind)
            && options.mayTouch(k, kind, now.yokes())
            && (kind == Fix.Kind.CLIP || speaksForYoked(look.here, k))
            && !isUsed(place, k, kind)
            && !without.equals(Optional.of(new StemAndKind(k, kind)))) {
          Choice.least(look.here, k, kind, sampleRateHz).ifPresent(look.choices::add);
        }
      }
    }
    return look;
  }

  /** Whether a stem has the largest share of those that move with it: they share nudge and trim. */
  private boolean speaksForYoked(FixesHere here, int stem) {
    return now.yokes().othersOf(stem).stream()
        .allMatch(
            other ->
                here.share(other) < here.share(stem)
                    || (here.share(other) == here.share(stem) && stem < other));
  }

  /** Takes a fix at a moment, and the same on those alike to it. */
  private void take(Choice choice, OverRun run, Look look) throws IOException {
    List<Choice> others =
        look.choices.stream()
            .filter(other -> other.attempt().cleared() && !other.fix().equals(choice.fix()))
            .toList();
    Draft draft = new Draft(choice, run.peak(), now.line().levelAt(run.peakFrame()), others.size());
    draft.next =
        Choice.best(others, run.peak(), look.here, options.dearOverDb())
            .map(other -> new PlannedFix.Next(other.fix(), other.toneCostDb().orElseThrow()));
    draft.leastTone = !others.isEmpty() && hasLeastTone(choice, others, look.here);
    drafts.add(draft);
    List<OverRun> alike = choice.attempt().cleared() ? alike(run, choice.fix()) : List.of();
    if (alike.isEmpty()) {
      add(draft, run, choice.fix(), choice.toneCostDb().orElseThrow());
    } else {
      List<Fix> fixes = amounts.clearing(choice.fix(), choice.gentleness(), look.here);
      look.here = null;
      takeWithAlike(draft, run, fixes, alike);
    }
    draft.peakAfter = now.peak();
  }

  /** Whether all others change the tone more, by a tenth of a dB as it is printed. */
  private static boolean hasLeastTone(Choice taken, List<Choice> others, FixesHere here) {
    long tenths = Math.round(10 * taken.toneCostDb().orElseThrow());
    return others.stream()
        .allMatch(other -> Math.round(10 * here.toneCostDb(other.fix())) > tenths);
  }

  private void add(Draft draft, OverRun run, Fix fix, double toneCostDb) throws IOException {
    Mark.OfFix mark = new Mark.OfFix(run.peakFrame(), fix, Optional.empty());
    draft.marks.add(mark);
    draft.toneCosts.put(mark, toneCostDb);
    marks++;
    now = now.with(mark);
  }

  /** The moments alike to this one that are to do and have not had the same stem and kind. */
  private List<OverRun> alike(OverRun run, Fix fix) {
    Optional<Integer> head = head(run);
    List<OverRun> alike = new ArrayList<>();
    if (head.isEmpty()) {
      return alike;
    }
    for (OverRun other : now.runs()) {
      if (other.peakFrame() != run.peakFrame() && isToDo(other) && head(other).equals(head)) {
        TimeRange place = now.neighbourhood(other);
        if (!place.contains(run.peakFrame())
            && marksAt(place) < MOST_MARKS_HERE
            && !isUsed(place, fix.stem(), fix.kind())) {
          alike.add(other);
        }
      }
    }
    return alike;
  }

  private Optional<Integer> head(OverRun run) {
    return now.listed(run).map(listed -> headOfListed.get(listed.peakFrame()));
  }

  /** The amount that clears the most, the gentlest of those. */
  private static int mostOf(int[] clears) {
    int best = 0;
    for (int i = 1; i < clears.length; i++) {
      best = clears[i] > clears[best] ? i : best;
    }
    return best;
  }

  /** Whether a fix that costs so much may go with this one: dear ones go with dear ones only. */
  private boolean goesWith(Choice choice, double toneCostDb) {
    return choice.isDear() || toneCostDb <= options.dearOverDb();
  }

  /**
   * Finds the one amount of the class that clears the most, this moment among them, the gentlest of
   * those, and takes it wherever it clears. What it costs in tone takes long to work out: the least
   * amount is left out where it is dear before they are counted, another only once it is chosen.
   */
  private void takeWithAlike(Draft draft, OverRun run, List<Fix> offered, List<OverRun> alike)
      throws IOException {
    Choice choice = draft.choice;
    int[] clears = new int[offered.size()];
    List<Fix[]> there = new ArrayList<>();
    double[] leastCosts = new double[alike.size()];
    for (OverRun other : alike) {
      tell();
      FixesHere place = now.fixes(finder, other);
      Fix[] fixes = new Fix[offered.size()];
      for (int i = 0; i < fixes.length; i++) {
        fixes[i] = amounts.clearing(place, offered.get(i), choice.gentleness()).orElse(null);
        if (i == 0 && fixes[0] != null) {
          leastCosts[there.size()] = place.toneCostDb(fixes[0]);
          fixes[0] = goesWith(choice, leastCosts[there.size()]) ? fixes[0] : null;
        }
        clears[i] += fixes[i] == null ? 0 : 1;
      }
      there.add(fixes);
    }
    int best = mostOf(clears);
    double cost = choice.toneCostDb().orElseThrow();
    if (best > 0) {
      FixesHere here = now.fixes(finder, run);
      while (best > 0 && !goesWith(choice, here.toneCostDb(offered.get(best)))) {
        clears[best] = -1;
        best = mostOf(clears);
      }
      cost = here.toneCostDb(offered.get(best));
    }
    Stretches touched = new Stretches();
    add(draft, run, offered.get(best), cost);
    touch(touched, draft);
    for (int i = 0; i < alike.size() && marks < most; i++) {
      Fix fix = there.get(i)[best];
      if (fix == null) {
        continue;
      }
      OverRun other = alike.get(i);
      cost = leastCosts[i];
      if (isTouched(touched, other, fix)) {
        Optional<OverRun> still = now.nearest(now.runs(), other.peakFrame());
        if (still.isEmpty() || !isToDo(still.get())) {
          continue;
        }
        other = still.get();
        FixesHere place = now.fixes(finder, other);
        Optional<Fix> again = amounts.clearing(place, offered.get(best), choice.gentleness());
        if (again.isEmpty()) {
          continue;
        }
        fix = again.get();
        cost = place.toneCostDb(fix);
      } else if (best > 0) {
        cost = now.fixes(finder, other).toneCostDb(fix);
      }
      if (!goesWith(choice, cost)) {
        continue;
      }
      add(draft, other, fix, cost);
      touch(touched, draft);
    }
  }

  private void touch(Stretches touched, Draft draft) {
    now.affected(draft.marks.get(draft.marks.size() - 1)).ifPresent(touched::add);
  }

  /** Whether the fixes just taken may have changed what this one does. */
  private boolean isTouched(Stretches touched, OverRun run, Fix fix) {
    TimeRange place = now.neighbourhood(run);
    // The longest nudge and the longest lobe reach less far than 200 ms.
    long reach = gapFrames + sampleRateHz / 5;
    return touched.meets(
        Math.min(place.firstFrame(), fix.startFrame()) - reach,
        Math.max(place.endFrame(), fix.endFrame()) + reach);
  }
}
