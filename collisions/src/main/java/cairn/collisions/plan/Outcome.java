package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Fix;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/** What comes of a search for a plan, counted and put into words. */
final class Outcome {

  private final Pass pass;
  private final List<Moment> listed;
  private final Session session;
  private final WhatIf start;
  private final WhatIf end;
  private final Search search;

  /**
   * @param listed all moments over the line
   */
  Outcome(Pass pass, List<Moment> listed, WhatIf start, WhatIf end, Search search) {
    this.pass = pass;
    this.listed = listed;
    session = pass.session();
    this.start = start;
    this.end = end;
    this.search = search;
  }

  /**
   * @param wasPruned whether marks were dropped, so that the peaks noted on the way are old
   */
  Plan plan(Ladder ladder, boolean wasPruned) throws IOException {
    List<PlannedFix> fixes = fixes(wasPruned);
    Stretches marked = new Stretches();
    long alteredFrames = 0;
    for (PlannedFix fix : fixes) {
      alteredFrames += fix.alteredFrames();
      for (Mark mark : fix.marks()) {
        marked.add(new TimeRange(mark.momentFrame(), mark.momentFrame() + 1));
      }
    }
    int cleared = 0;
    Set<OverRun> partly = new HashSet<>();
    for (OverRun run : start.runs()) {
      TimeRange near = start.neighbourhood(run);
      if (end.runsNear(near.firstFrame(), near.endFrame()).isEmpty()) {
        cleared++;
      } else if (marked.meets(near.firstFrame(), near.endFrame())) {
        partly.add(run);
      }
    }
    double stemFrames = (double) session.stems().size() * start.line().grid().range().frames();
    return new Plan(
        end.line(),
        start.peak(),
        end.peak(),
        fixes,
        start.runs().size(),
        cleared,
        partly.size(),
        open(partly),
        finePriceDb(),
        alteredFrames,
        (double) alteredFrames / session.sampleRateHz(),
        alteredFrames / stemFrames,
        ladder);
  }

  private List<PlannedFix> fixes(boolean wasPruned) throws IOException {
    List<PlannedFix> fixes = new ArrayList<>();
    WhatIf now = start;
    for (Search.Draft draft : search.drafts()) {
      double peakAfter = draft.peakAfter;
      if (wasPruned) {
        now = now.withAll(draft.marks);
        peakAfter = now.peak();
      }
      long alteredFrames = 0;
      for (Mark.OfFix mark : draft.marks) {
        alteredFrames += end.alteredFrames(mark);
      }
      fixes.add(
          new PlannedFix(
              draft.marks,
              draft.choice.gentleness(),
              draft.choice.attempt().cleared(),
              peakAfter,
              alteredFrames,
              draft.toneCostDb(),
              draft.choice.isDear(),
              draft.next,
              reason(draft),
              care(draft)));
    }
    return fixes;
  }

  private String names(List<Integer> stems) {
    return stems.stream().map(k -> session.stems().get(k).name()).collect(Collectors.joining(", "));
  }

  private String care(Search.Draft draft) {
    List<String> care = new ArrayList<>();
    switch (draft.choice.gentleness()) {
      case COMBING_NUDGE ->
          care.add("the same sound is in " + names(draft.choice.attempt().combs()) + ", so listen");
      case SUSTAINED_TRIM -> care.add("the hit has no quiet edge, so listen");
      default -> {
        // The other classes need none.
      }
    }
    List<Integer> yoked =
        draft.choice.fix().kind() == Fix.Kind.CLIP
            ? List.of()
            : session.yokes().othersOf(draft.choice.fix().stem());
    if (!yoked.isEmpty()) {
      care.add(names(yoked) + (yoked.size() == 1 ? " moves" : " move") + " with it");
    }
    if (draft.choice.isDear()) {
      care.add(format("dear: it changes the tone by %.1f dB, so listen", draft.toneCostDb()));
    }
    return String.join("; ", care);
  }

  private String reason(Search.Draft draft) {
    double over = dbOver(draft.peakThere, draft.lineThere);
    if (!draft.choice.attempt().cleared()) {
      double left = draft.choice.attempt().leftLevel();
      return format(
          "lowers it by %.1f dB and leaves %.2f dB over the line: nothing clears it",
          dbOver(draft.peakThere, left), dbOver(left, draft.lineThere));
    }
    String what =
        draft.othersThatClear == 0
            ? "the only fix that clears it"
            : format("the gentlest of %d fixes that clear it", draft.othersThatClear + 1);
    String places =
        draft.marks.size() == 1
            ? ""
            : format("; the same clears %d more alike", draft.marks.size() - 1);
    return format(
        "%s: %.1f dB over the line here%s%s%s%s",
        what, over, standsOut(draft), leastTone(draft), places, allowed(draft));
  }

  /** Says so if all others that clear change the tone more. */
  private static String leastTone(Search.Draft draft) {
    boolean asChosen = draft.marks.get(0).fix().equals(draft.choice.fix());
    return draft.leastTone && asChosen ? "; least tone cost" : "";
  }

  /** Says so if no other leading stem stands as far above its own average peak. */
  private String standsOut(Search.Draft draft) {
    int stem = draft.choice.fix().stem();
    TimeRange near = near(draft.marks.get(0).momentFrame());
    Optional<Moment> moment =
        listed.stream().filter(found -> near.contains(found.peakFrame())).findFirst();
    if (moment.isEmpty()) {
      return "";
    }
    double own = Double.NEGATIVE_INFINITY;
    double others = Double.NEGATIVE_INFINITY;
    int leading = 0;
    for (Contribution each : moment.get().contributions()) {
      double db = pass.stems().get(each.stem()).aboveOwnAverageDb(each.levelNear());
      if (each.leads() && !Double.isNaN(db)) {
        leading++;
        own = each.stem() == stem ? db : own;
        others = each.stem() == stem ? others : Math.max(others, db);
      }
    }
    return leading > 1 && own > others && own > 0
        ? format("; furthest above its own average (+%.1f dB)", own)
        : "";
  }

  private TimeRange near(long frame) {
    return start
        .listedAt(frame)
        .map(start::neighbourhood)
        .orElseGet(() -> new TimeRange(frame, frame + 1));
  }

  /** Says so if the limiter may take all of the peak: the line is below the goal line. */
  private String allowed(Search.Draft draft) {
    return pass.limiter()
        .filter(limiter -> limiter.allows(draft.peakThere))
        .map(
            limiter ->
                format(
                    "; or leave it: the limiter would take %.1f dB, you allow %.1f",
                    Math.max(0, limiter.dbAt(draft.peakThere)), limiter.goal().allowanceDb()))
        .orElse("");
  }

  private List<OpenMoment> open(Set<OverRun> partly) {
    List<OpenMoment> open = new ArrayList<>();
    for (OverRun run : end.runs()) {
      Optional<OverRun> before = start.nearest(start.runs(), run.peakFrame());
      boolean isPartly = before.isPresent() && partly.contains(before.get());
      OpenMoment.Why why = why(run, before);
      open.add(new OpenMoment(run.peakFrame(), run.peak(), why, isPartly, words(run, why)));
    }
    return open;
  }

  private OpenMoment.Why why(OverRun run, Optional<OverRun> before) {
    if (isFine(run)) {
      return OpenMoment.Why.FINE;
    }
    if (isLong(run)) {
      return OpenMoment.Why.LONG;
    }
    Optional<OpenMoment.Why> givenUp =
        search.givenUp().stream()
            .filter(place -> place.place().contains(run.peakFrame()))
            .map(Search.GivenUp::why)
            .reduce((earlier, later) -> later);
    if (before.isEmpty()) {
      return OpenMoment.Why.NEW;
    }
    return givenUp.orElse(OpenMoment.Why.OUT_OF_MARKS);
  }

  private boolean isLong(OverRun run) {
    return OverRun.isLong(run.firstOver(), run.lastOver(), session.sampleRateHz());
  }

  /** Whether a run counts as a moment that was called fine. */
  private boolean isFine(OverRun run) {
    for (long frame : start.marks().fineFrames()) {
      Optional<OverRun> fine = start.listedAt(frame);
      if (fine.isPresent() && start.neighbourhood(fine.get()).contains(run.peakFrame())) {
        return true;
      }
    }
    return false;
  }

  private String words(OverRun run, OpenMoment.Why why) {
    double over = dbOver(run.peak(), end.line().levelAt(run.peakFrame()));
    long millis =
        Math.round((run.lastOver() - run.firstOver() + 1) * 1000.0 / session.sampleRateHz());
    return switch (why) {
      case LONG -> format("over for %d ms: level, not a spike; ride it at the desk", millis);
      case FINE -> format("fine as it is, by you: %.1f dB over the line", over);
      case MANY_SMALL ->
          format("no stem adds a tenth of it, it is the sum of many: %.1f dB over the line", over);
      case LEFT_ALONE ->
          format("every stem that leads here is left alone: %.1f dB over the line", over);
      case SUSTAINED ->
          format("no clean fix: every hit here is sustained; %.1f dB over the line", over);
      case NO_FIX -> format("no fix within the limits lowers it: %.1f dB over the line", over);
      case NOT_ENOUGH ->
          format("no further fix within the limits helps: %.1f dB over the line", over);
      case NEW -> format("came up beside a fix: %.1f dB over the line", over);
      case OUT_OF_MARKS ->
          format("the plan ended at three marks a moment: %.1f dB over the line", over);
    };
  }

  /** How much lower the peak would be at the end without the fine moments. */
  private double finePriceDb() {
    double withFine = 0;
    double without = 0;
    for (OverRun run : end.runs()) {
      double level = dbOver(run.peak(), end.line().levelAt(run.peakFrame()));
      if (isFine(run)) {
        withFine = Math.max(withFine, level);
      } else {
        without = Math.max(without, level);
      }
    }
    return Math.max(0, withFine - without);
  }

  private static double dbOver(double level, double line) {
    return Decibels.ofAmplitude(level) - Decibels.ofAmplitude(line);
  }

  private static String format(String text, Object... figures) {
    return String.format(Locale.ROOT, text, figures);
  }
}
