package cairn.collisions.fix;

import java.util.Objects;
import java.util.Optional;

/**
 * The least fix of each kind for one stem at one moment.
 *
 * @param stem index of the stem
 * @param hit its hit
 * @param nudge the least nudge; always empty for a sustained hit
 * @param trim the least trim
 * @param clip the least clip
 */
public record Proposals(
    int stem, Hit hit, Optional<Attempt> nudge, Optional<Attempt> trim, Optional<Attempt> clip) {
  public Proposals {
    Objects.requireNonNull(hit, "hit");
    Objects.requireNonNull(nudge, "nudge");
    Objects.requireNonNull(trim, "trim");
    Objects.requireNonNull(clip, "clip");
  }
}
