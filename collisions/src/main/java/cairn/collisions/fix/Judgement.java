package cairn.collisions.fix;

import java.util.List;
import java.util.Optional;

/**
 * What a given fix does at a moment, whether or not it would be proposed; definitions.md, 4.
 *
 * @param fix the fix
 * @param verdict what it comes to
 * @param leftLevel the highest level left in the neighbourhood, linear
 * @param change its affected range, and what a clip cuts off
 * @param louderFrame where it makes louder by the largest factor; −1 if nowhere
 * @param louderLevel {@code p'} there, linear; 0 if nowhere
 * @param louderThan what {@code p'} should not pass there: the larger of {@code T} and the highest
 *     old level within 35 ms, linear; 0 if nowhere
 * @param sustained whether the stem's hit at this moment has an edge that is not quiet
 * @param combs the other leading stems that carry the same sound, in stem order; empty but for a
 *     nudge
 */
public record Judgement(
    Fix fix,
    Verdict verdict,
    double leftLevel,
    Change change,
    long louderFrame,
    double louderLevel,
    double louderThan,
    boolean sustained,
    List<Integer> combs) {

  /** What a fix comes to. */
  public enum Verdict {
    /** Nothing near is over after it. */
    CLEARED,
    /** It lowers the peak, but something is still over. */
    PARTIAL,
    /** Not refused, but the peak is no lower. */
    NO_USE,
    /** It makes something louder, or a lobe is too long; by hand it may be made all the same. */
    REFUSED,
    /** A nudge that would push sound out of the stem's file: not allowed by hand either. */
    PUSHES_OUT
  }

  public Judgement {
    combs = List.copyOf(combs);
  }

  /** Whether it makes a frame louder than it may. */
  public boolean isLouder() {
    return louderFrame >= 0;
  }

  /** The same as an attempt; empty unless it clears or lowers the moment. */
  public Optional<Attempt> attempt() {
    return switch (verdict) {
      case CLEARED, PARTIAL ->
          Optional.of(new Attempt(fix, verdict == Verdict.CLEARED, leftLevel, change, combs));
      case NO_USE, REFUSED, PUSHES_OUT -> Optional.empty();
    };
  }
}
