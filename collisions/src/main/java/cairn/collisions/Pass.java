package cairn.collisions;

import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.loudness.LimiterWork;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import java.util.List;
import java.util.Optional;

/**
 * One analysis of the stems.
 *
 * @param session what was summed
 * @param settings what was asked
 * @param summary what stays of the first pass
 * @param line average peak and line, held
 * @param moments all moments, by rank
 * @param runs what is over the line, in time order: the moments before they were explained; none:
 *     not told
 * @param stems figures of each stem, in session order
 * @param loudness what was metered; empty if nothing was
 * @param limiter what a limiter would have to do; empty without a goal
 */
public record Pass(
    Session session,
    Settings settings,
    Summary summary,
    HeldLine line,
    List<Moment> moments,
    List<OverRun> runs,
    List<StemFigures> stems,
    Optional<LoudnessSummary> loudness,
    Optional<LimiterWork> limiter) {

  public Pass {
    moments = List.copyOf(moments);
    runs = List.copyOf(runs);
    stems = List.copyOf(stems);
  }

  /** A pass whose runs are not told. */
  public Pass(
      Session session,
      Settings settings,
      Summary summary,
      HeldLine line,
      List<Moment> moments,
      List<StemFigures> stems,
      Optional<LoudnessSummary> loudness,
      Optional<LimiterWork> limiter) {
    this(session, settings, summary, line, moments, List.of(), stems, loudness, limiter);
  }

  /** A pass in which nothing was metered, and whose runs are not told. */
  public Pass(
      Session session,
      Settings settings,
      Summary summary,
      HeldLine line,
      List<Moment> moments,
      List<StemFigures> stems) {
    this(session, settings, summary, line, moments, stems, Optional.empty(), Optional.empty());
  }

  /** The stretch that was looked at. */
  public TimeRange range() {
    return summary.grid().range();
  }

  /** The largest level of the bus, linear. */
  public double peak() {
    return summary.peak();
  }
}
