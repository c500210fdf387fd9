package cairn.tui.model;

import cairn.collisions.loudness.LoudnessSummary;
import java.util.Optional;

/**
 * The loudness of each stem, which the walk does without until the stems are looked at.
 *
 * @param isThere whether it was worked out; before that nothing is shown in its place
 * @param found the loudness of bus and stems; empty: not there yet, or it cannot be measured
 */
public record StemLoudness(boolean isThere, Optional<LoudnessSummary> found) {

  /** Still being worked out. */
  public static final StemLoudness PENDING = new StemLoudness(false, Optional.empty());
}
