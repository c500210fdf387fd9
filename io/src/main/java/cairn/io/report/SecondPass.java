package cairn.io.report;

import cairn.collisions.Pass;
import cairn.io.listing.Since;
import java.util.Objects;

/**
 * What this pass is held against.
 *
 * @param earlier the pass before
 * @param since what became of its moments
 */
public record SecondPass(Pass earlier, Since since) {
  public SecondPass {
    Objects.requireNonNull(earlier, "earlier");
    Objects.requireNonNull(since, "since");
  }
}
