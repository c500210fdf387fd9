package cairn.collisions.fix;

import cairn.collisions.signal.Block;

/**
 * One stem of a scene, and what the bus comes to when its samples are replaced. Every decision and
 * every level is that of the stems summed afresh in stem order: the quick sum {@code b − y + y'}
 * only says which frames are far from any bound, see {@link Scene#rounding}.
 */
final class Trial {

  final Scene scene;
  final int stem;

  /** {@code y[channel][i]} as it stands. */
  final double[][] y;

  /** {@code b − y}, quick. */
  final double[][] rest;

  /** {@code y'[channel][i]}; the caller writes it where it tries something. */
  final double[][] changed;

  private final double[] after;

  /** Whether the fix that was assessed is refused for making something louder. */
  boolean louder;

  /** Whether a frame of the neighbourhood is over. */
  boolean over;

  /** The highest level left in the neighbourhood; not worked out if {@link #louder} ends early. */
  double left;

  /** Where it makes louder by the largest factor; −1: nowhere. */
  int louderAt;

  /** {@code p'} there. */
  double louderLevel;

  Trial(Scene scene, int stem) {
    this.scene = scene;
    this.stem = stem;
    int frames = scene.excerpt.frames();
    y = scene.excerpt.marked(stem);
    double[][] bus = scene.excerpt.bus();
    rest = Block.stereo(frames);
    changed = new double[][] {y[0].clone(), y[1].clone()};
    after = new double[frames];
    for (int c = 0; c < 2; c++) {
      subtract(rest[c], bus[c], y[c]);
    }
  }

  private static void subtract(double[] difference, double[] x, double[] y) {
    for (int i = 0; i < difference.length; i++) {
      difference[i] = x[i] - y[i];
    }
  }

  /** Makes {@code changed} the stem as it stands again in {@code [from, to)}. */
  void restore(int from, int to) {
    System.arraycopy(y[0], from, changed[0], from, to - from);
    System.arraycopy(y[1], from, changed[1], from, to - from);
  }

  /** {@code p'[i]} with {@code changed}, summed afresh in stem order. */
  double exactLevel(int i) {
    double leftSum = 0;
    double rightSum = 0;
    for (int k = 0; k < scene.excerpt.stems(); k++) {
      double[][] term = k == stem ? changed : scene.excerpt.marked(k);
      leftSum += term[0][i];
      rightSum += term[1][i];
    }
    return Math.max(Math.abs(leftSum), Math.abs(rightSum));
  }

  /**
   * Assesses {@code changed}, which differs from the stem as it stands in {@code [from, to)} only.
   *
   * @param thoroughly whether to go on where it is refused
   */
  void assess(int from, int to, boolean thoroughly) {
    for (int i = from; i < to; i++) {
      after[i] = Math.abs(rest[0][i] + changed[0][i]);
    }
    for (int i = from; i < to; i++) {
      after[i] = Math.max(after[i], Math.abs(rest[1][i] + changed[1][i]));
    }
    louder = false;
    louderAt = -1;
    louderLevel = 0;
    double[] bound = scene.bound;
    double slack = scene.rounding;
    for (int i = from; i < to; i++) {
      if (after[i] > bound[i] - slack) {
        lookForLouder(i);
        if (louder && !thoroughly) {
          return;
        }
      }
    }
    lookAtNeighbourhood(from, to);
  }

  private void lookForLouder(int i) {
    double level = exactLevel(i);
    double allowed = scene.bound[i];
    if (level > allowed) {
      if (!louder || level * scene.bound[louderAt] > louderLevel * allowed) {
        louderAt = i;
        louderLevel = level;
      }
      louder = true;
    }
  }

  private void lookAtNeighbourhood(int from, int to) {
    int a = Math.min(scene.nearEnd, Math.max(scene.near, from));
    int b = Math.max(a, Math.min(scene.nearEnd, to));
    left = Math.max(scene.peakBefore(a), scene.peakFrom(b));
    over = scene.firstOverAt < a || scene.lastOverAt >= b;
    double slack = scene.rounding;
    double near = Math.max(left, Block.peak(after, a, b)) - 2 * slack;
    for (int i = a; i < b; i++) {
      if (after[i] >= near) {
        left = Math.max(left, exactLevel(i));
      }
    }
    for (int i = a; i < b && !over; i++) {
      if (after[i] > scene.line[i] - slack) {
        over = exactLevel(i) > scene.line[i];
      }
    }
  }

  /** Whether what was assessed clears the moment. */
  boolean clears() {
    return !louder && !over;
  }

  /** Whether what was assessed lowers the peak without clearing the moment. */
  boolean lowers() {
    return !louder && over && left < scene.oldPeak;
  }
}
