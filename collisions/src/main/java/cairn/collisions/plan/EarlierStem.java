package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import java.util.List;
import java.util.Objects;

/**
 * What an earlier pass knew of a stem.
 *
 * @param name its name
 * @param channels 1 or 2
 * @param windowPeaks its largest level in each window of the earlier pass, on the bus, mute and
 *     solo left aside, linear
 * @param marked the frames that marks would change, in any order
 */
public record EarlierStem(
    String name, int channels, PeakTrack windowPeaks, List<TimeRange> marked) {
  public EarlierStem {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(windowPeaks, "windowPeaks");
    marked = List.copyOf(marked);
  }
}
