package cairn.collisions.fix;

import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.Oversampler;
import java.util.Arrays;
import java.util.List;

/**
 * One stem of a scene, and what the bus comes to when its samples are replaced. Every decision and
 * every level is that of the stems summed afresh in stem order: the quick sum {@code b − y + y'}
 * only says which frames are far from any bound, see {@link Scene#rounding}.
 */
final class Trial {

  private static final int CHUNK_FRAMES = 64;

  final Scene scene;
  final int stem;

  /** The stems that change: one, or all that are yoked, in stem order. */
  final List<Integer> members;

  /** {@code y[channel][i]} as it stands, of all members together. */
  final double[][] y;

  /** {@code b − y}, quick. */
  final double[][] rest;

  /** {@code y'[channel][i]}; the caller writes it where it tries something. */
  final double[][] changed;

  /** Levels of the quick sum; of instants only as far as they can matter. */
  private final double[] after;

  private final Levels reading;
  private final int reach;

  /** The quick sum, with {@code reach} frames on either side; of no frames if that is 0. */
  private final double[][] quick;

  private final double[] instants;
  private final double[][] window;

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

  /** What is tried on several members, and what it makes of each; not worked out while null. */
  private Fix tried;

  private double[][][] changedMembers;

  /**
   * @param members the stems that change, {@code stem} among them, in stem order
   */
  Trial(Scene scene, int stem, List<Integer> members) {
    this.scene = scene;
    this.stem = stem;
    this.members = members;
    int frames = scene.excerpt.frames();
    y = scene.excerpt.marked(members);
    double[][] bus = scene.excerpt.bus();
    rest = Block.stereo(frames);
    changed = new double[][] {y[0].clone(), y[1].clone()};
    after = new double[frames];
    reading = scene.reading;
    reach = scene.reach;
    quick = Block.stereo(reach == 0 ? 0 : frames + 2 * reach);
    instants = new double[quick[0].length];
    window = Block.stereo(2 * reach + 1);
    for (int c = 0; c < 2; c++) {
      subtract(rest[c], bus[c], y[c]);
    }
  }

  /** What {@code changed} holds from now on: with several members each is changed by itself. */
  void trying(Fix fix) {
    tried = fix;
    changedMembers = null;
  }

  /** Stem {@code k} with the change, for a sum in stem order. */
  private double[][] term(int k) {
    if (members.size() == 1) {
      return k == stem ? changed : scene.excerpt.marked(k);
    }
    int at = members.indexOf(k);
    return at < 0 ? scene.excerpt.marked(k) : changedMembers()[at];
  }

  private double[][][] changedMembers() {
    if (changedMembers == null) {
      changedMembers = new double[members.size()][][];
      for (int j = 0; j < changedMembers.length; j++) {
        double[][] own = scene.excerpt.marked(members.get(j));
        changedMembers[j] = new double[][] {own[0].clone(), own[1].clone()};
        FixApplier.apply(
            tried.on(members.get(j)),
            scene.sampleRateHz,
            changedMembers[j],
            scene.excerpt.firstFrame(),
            scene.range);
      }
    }
    return changedMembers;
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
    return reach == 0 ? exactSample(i) : exactInstants(i);
  }

  private double exactInstants(int i) {
    for (int c = 0; c < 2; c++) {
      double[] sum = window[c];
      Arrays.fill(sum, 0);
      int from = Math.max(0, i - reach);
      int to = Math.min(scene.excerpt.frames(), i + reach + 1);
      for (int k = 0; k < scene.excerpt.stems(); k++) {
        double[] term = term(k)[c];
        for (int j = from; j < to; j++) {
          sum[j - i + reach] += term[j];
        }
      }
    }
    return Math.max(reading.levelAt(window[0], reach), reading.levelAt(window[1], reach));
  }

  private double exactSample(int i) {
    double leftSum = 0;
    double rightSum = 0;
    for (int k = 0; k < scene.excerpt.stems(); k++) {
      double[][] term = term(k);
      leftSum += term[0][i];
      rightSum += term[1][i];
    }
    return Math.max(Math.abs(leftSum), Math.abs(rightSum));
  }

  /**
   * Assesses {@code changed}, which differs from the stem as it stands in {@code [changedFrom,
   * changedTo)} only.
   *
   * @param thoroughly whether to go on where it is refused
   */
  void assess(int changedFrom, int changedTo, boolean thoroughly) {
    int from = Math.max(0, changedFrom - reach);
    int to = Math.min(after.length, changedTo + reach);
    for (int i = from; i < to; i++) {
      after[i] = Math.abs(rest[0][i] + changed[0][i]);
    }
    for (int i = from; i < to; i++) {
      after[i] = Math.max(after[i], Math.abs(rest[1][i] + changed[1][i]));
    }
    if (reach > 0) {
      raiseToInstants(from, to);
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

  /**
   * Raises {@code after[from : to]} to the instants of its frames, but where they cannot matter.
   *
   * <p>That is safe. No instant of a chunk lies above {@code h = GAIN · r}, {@code r} being the
   * largest sample that its instants read ({@link Oversampler#GAIN}). With {@code h} two roundings
   * under the lowest line none of them is over, nor above a bound, which is no lower than the line;
   * outside the neighbourhood that is all that is asked. Inside it the highest level is told too:
   * with {@code h} four roundings under a level that stays for certain, none of them is that.
   */
  private void raiseToInstants(int from, int to) {
    int frames = after.length;
    int readFrom = Math.max(0, from - reach);
    int readTo = Math.min(frames, to + reach);
    for (int c = 0; c < 2; c++) {
      double[] sum = quick[c];
      double[] x = rest[c];
      double[] y = changed[c];
      for (int i = readFrom; i < readTo; i++) {
        sum[reach + i] = x[i] + y[i];
      }
    }
    int a = Math.min(scene.nearEnd, Math.max(scene.near, from));
    int b = Math.max(a, Math.min(scene.nearEnd, to));
    double stays =
        Math.max(Math.max(scene.peakBefore(a), scene.peakFrom(b)), Block.peak(after, a, b));
    double outside = scene.lowestLine - 2 * scene.rounding;
    double inside = Math.min(outside, stays - 4 * scene.rounding);
    for (int at = from; at < to; at += CHUNK_FRAMES) {
      int end = Math.min(to, at + CHUNK_FRAMES);
      double read =
          Math.max(
              Block.peak(quick[0], at, end + 2 * reach), Block.peak(quick[1], at, end + 2 * reach));
      double matters = at < b && end > a ? inside : outside;
      if (read * Oversampler.GAIN > matters) {
        reading.levels(instants, quick, reach + at, reach + end);
        System.arraycopy(instants, reach + at, after, at, end - at);
      }
    }
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
