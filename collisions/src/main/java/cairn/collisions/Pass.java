package cairn.collisions;

import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Summary;
import cairn.collisions.moment.Moment;
import java.util.List;

/**
 * One analysis of the stems.
 *
 * @param session what was summed
 * @param settings what was asked
 * @param summary what stays of the first pass
 * @param line average peak and line, held
 * @param moments all moments, by rank
 * @param stems figures of each stem, in session order
 */
public record Pass(
    Session session,
    Settings settings,
    Summary summary,
    HeldLine line,
    List<Moment> moments,
    List<StemFigures> stems) {

  public Pass {
    moments = List.copyOf(moments);
    stems = List.copyOf(stems);
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
