package cairn.io.report;

import cairn.collisions.TimeRange;
import java.util.Objects;

/**
 * A named part of the song.
 *
 * @param name its name, safe to show
 * @param range where it lies
 */
public record Section(String name, TimeRange range) {
  public Section {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(range, "range");
  }
}
