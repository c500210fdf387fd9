package cairn.tui.model;

import cairn.collisions.moment.Moment;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.PassComparison;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The pass before this one, and what became of it.
 *
 * @param compared each of its moments: gone, lower, still there; and what is new
 * @param gone what is left at those that are gone, in this pass's frames, ranked after its moments
 * @param fixes the fixes that were made in it, in this pass's frames
 * @param fates what became of the earlier moment near each moment and each fix, by peak frame in
 *     this pass; of one that is new there is none
 */
public record Earlier(
    PassComparison compared,
    List<Moment> gone,
    List<Made> fixes,
    Map<Long, PassComparison.Fate> fates) {

  /**
   * A fix that was made in the pass before.
   *
   * @param stem name of its stem, safe to show
   * @param mark the fix, its frames those of this pass; its stem's index means nothing
   * @param done whether it was carried out at the desk
   */
  public record Made(String stem, Mark.OfFix mark, boolean done) {}

  public Earlier {
    gone = List.copyOf(gone);
    fixes = List.copyOf(fixes);
    fates = Map.copyOf(fates);
  }

  /** Looks up what became of what. */
  public static Earlier of(
      PassComparison compared, List<Moment> moments, List<Moment> gone, List<Made> fixes) {
    long[] frames = new long[moments.size() + gone.size() + fixes.size()];
    int n = 0;
    for (Moment moment : moments) {
      frames[n++] = moment.peakFrame();
    }
    for (Moment moment : gone) {
      frames[n++] = moment.peakFrame();
    }
    for (Made made : fixes) {
      frames[n++] = made.mark().momentFrame();
    }
    List<Optional<PassComparison.Fate>> found = compared.at(frames);
    Map<Long, PassComparison.Fate> fates = new HashMap<>();
    for (int i = 0; i < frames.length; i++) {
      if (found.get(i).isPresent()) {
        fates.put(frames[i], found.get(i).get());
      }
    }
    return new Earlier(compared, gone, fixes, fates);
  }

  /** What became of the earlier moment near a moment or fix; empty: it is new. */
  public Optional<PassComparison.Fate> fate(long peakFrame) {
    return Optional.ofNullable(fates.get(peakFrame));
  }
}
