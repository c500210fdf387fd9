package cairn.io.report;

import cairn.collisions.fix.Fix;
import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;

/**
 * One fix with all its places.
 *
 * @param fix the fix at its first place
 * @param places peak frames of the moments that it is for
 * @param peakAfter highest level of the bus after it and all before it, linear; empty: not known
 * @param why what speaks for it; may be empty
 */
public record FixRow(Fix fix, List<Long> places, OptionalDouble peakAfter, String why) {
  public FixRow {
    Objects.requireNonNull(fix, "fix");
    Objects.requireNonNull(peakAfter, "peakAfter");
    Objects.requireNonNull(why, "why");
    places = List.copyOf(places);
  }
}
