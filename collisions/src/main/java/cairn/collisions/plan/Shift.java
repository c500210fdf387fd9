package cairn.collisions.plan;

/**
 * By how much a pass is later than the earlier one that it is compared with: what lies at frame
 * {@code n} there lies at {@code n + frames} here; definitions.md, 5.
 */
public sealed interface Shift {

  /**
   * Both hold the same song.
   *
   * @param frames below 0: the pass is earlier than the one before
   * @param likeness how much alike the two are at that shift, 0 to 1: the normalised correlation of
   *     the buses or, where only block peaks were kept, the share of them that stayed
   */
  record Found(long frames, double likeness) implements Shift {}

  /** Nothing was kept that it could be found from; the two are held frame against frame. */
  record Assumed() implements Shift {}

  /**
   * At no shift within the limit are the two alike: another song, another part of it, or another
   * start.
   *
   * @param likeness how much alike they are at best
   */
  record Unlike(double likeness) implements Shift {}
}
