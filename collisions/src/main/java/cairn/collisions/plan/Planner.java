package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.MomentFinder;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** Proposes the gentlest fixes that bring the bus down to a line; definitions.md, 5. */
public final class Planner {

  /** Most moments that a plan is made for; a line that asks for more lies inside the music. */
  public static final int MOST_MOMENTS = 5_000;

  private final Pass pass;
  private final StemSource source;
  private final Crew crew;
  private final Progress progress;

  /** A planner for the stems of a pass. */
  public Planner(Pass pass, StemSource source, Crew crew, Progress progress) {
    this.pass = Objects.requireNonNull(pass, "pass");
    this.source = Objects.requireNonNull(source, "source");
    this.crew = Objects.requireNonNull(crew, "crew");
    this.progress = Objects.requireNonNull(progress, "progress");
  }

  /**
   * Plans. The same stems, marks and options give the same plan.
   *
   * @param taken the marks there are: their fixes stay, their fine moments are passed over
   * @throws IOException if a stem cannot be read
   * @throws Unanalysable.TooManyMoments if more than {@link #MOST_MOMENTS} are over the line
   * @throws java.util.concurrent.CancellationException if {@code progress} said so
   */
  public Plan plan(Marks taken, PlanOptions options)
      throws IOException, Unanalysable.TooManyMoments {
    HeldLine line = line(options.target());
    List<Moment> listed =
        line == pass.line()
            ? pass.moments()
            : new MomentFinder(pass.session(), source, pass.summary(), crew, progress)
                .find(line, MOST_MOMENTS);
    Map<Long, Integer> heads = new HashMap<>();
    for (Moment moment : listed) {
      heads.put(moment.peakFrame(), moment.alikeTo());
    }
    try (WhatIf unmarked = WhatIf.of(pass, line, source, crew, progress)) {
      WhatIf start = unmarked.to(taken);
      Search search =
          new Search(
              start,
              new FixFinder(pass.session(), line, options.limits()),
              pass.session().sampleRateHz(),
              options,
              heads,
              progress);
      WhatIf planned = search.run();
      WhatIf end = pruned(planned, search.drafts());
      Ladder ladder = Ladder.of(listed, line);
      return new Outcome(pass, listed, start, end, search).plan(ladder, end != planned);
    }
  }

  private HeldLine line(PlanOptions.Target target) {
    if (target instanceof PlanOptions.Target.At at) {
      return at.line().equals(pass.line().line()) ? pass.line() : pass.line().with(at.line());
    }
    if (target instanceof PlanOptions.Target.Win win) {
      double levelDb = Decibels.ofAmplitude(pass.peak()) - win.headroomDb();
      return pass.line().with(new Line.Level(levelDb));
    }
    return pass.line();
  }

  /**
   * Drops, from the earliest made to the last, each mark of the plan without which no frame gets
   * above the larger of the line and its level at that point.
   */
  private WhatIf pruned(WhatIf planned, List<Search.Draft> drafts) throws IOException {
    WhatIf now = planned;
    for (Search.Draft draft : drafts) {
      for (Mark.OfFix mark : new ArrayList<>(draft.marks)) {
        WhatIf.Step step = now.step(now.marks().remove(mark));
        if (!step.whatIf().louderThan(now, step.changed())) {
          draft.marks.remove(mark);
          now = step.whatIf();
        }
      }
    }
    drafts.removeIf(draft -> draft.marks.isEmpty());
    return now;
  }
}
