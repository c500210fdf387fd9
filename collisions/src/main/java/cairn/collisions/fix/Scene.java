package cairn.collisions.fix;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.Oversampler;
import java.util.Arrays;

/**
 * One moment in an excerpt, with all that does not depend on the stem: the line at each frame, what
 * a frame may not pass, and the neighbourhood. Indices {@code i} are frames of the excerpt.
 */
final class Scene {

  final Session session;
  final FixLimits limits;
  final Excerpt excerpt;

  /** What levels are read from, and on how many frames on either side a level depends. */
  final Levels reading;

  final int reach;
  final TimeRange range;
  final int sampleRateHz;
  final long firstOver;
  final long peakFrame;
  final long lastOver;

  /** The neighbourhood, {@code [near, nearEnd)}: the span and {@code G} frames on either side. */
  final int near;

  final int nearEnd;

  /** {@code T} at each frame. */
  final double[] line;

  /** The lowest of them. */
  final double lowestLine;

  /** {@code max(T, max(p[n−G..n+G]))}: what {@code p'} may not pass. */
  final double[] bound;

  /**
   * No level of a sum of the stems in any order, with one of them replaced, is farther than this
   * from the level of the sum in stem order.
   */
  final double rounding;

  /** The highest level in the neighbourhood before any fix. */
  final double oldPeak;

  /** First and last frame of the neighbourhood that is over before any fix. */
  final int firstOverAt;

  final int lastOverAt;

  /** The highest level from the start of the neighbourhood to before each frame of it. */
  private final double[] peakBefore;

  /** The highest level from each frame of the neighbourhood to its end. */
  private final double[] peakFrom;

  Scene(
      Session session,
      HeldLine held,
      FixLimits limits,
      Excerpt excerpt,
      long firstOver,
      long peakFrame,
      long lastOver) {
    this.session = session;
    this.limits = limits;
    this.excerpt = excerpt;
    this.firstOver = firstOver;
    this.peakFrame = peakFrame;
    this.lastOver = lastOver;
    reading = Levels.of(held.mode());
    reach = reading.reach();
    range = held.grid().range();
    sampleRateHz = session.sampleRateHz();
    if (firstOver < excerpt.firstFrame() || lastOver >= excerpt.endFrame()) {
      throw new IllegalArgumentException(
          "the excerpt must hold the moment: firstOver="
              + firstOver
              + ", lastOver="
              + lastOver
              + ", excerpt from "
              + excerpt.firstFrame()
              + " to "
              + excerpt.endFrame());
    }
    int gap = (int) OverFrames.gapFrames(sampleRateHz);
    near = index(firstOver - gap);
    nearEnd = index(lastOver + 1 + gap);
    line = lineAt(held, excerpt);
    lowestLine = Arrays.stream(line).min().orElse(0);
    bound = SlidingMaximum.of(excerpt.levels(), gap);
    for (int i = 0; i < bound.length; i++) {
      bound[i] = Math.max(line[i], bound[i]);
    }
    rounding = rounding(excerpt, reach > 0);
    double[] levels = excerpt.levels();
    peakBefore = new double[nearEnd - near + 1];
    peakFrom = new double[nearEnd - near + 1];
    int first = nearEnd;
    int last = -1;
    for (int i = near; i < nearEnd; i++) {
      peakBefore[i - near + 1] = Math.max(peakBefore[i - near], levels[i]);
      if (levels[i] > line[i]) {
        first = Math.min(first, i);
        last = i;
      }
    }
    for (int i = nearEnd - 1; i >= near; i--) {
      peakFrom[i - near] = Math.max(peakFrom[i - near + 1], levels[i]);
    }
    firstOverAt = first;
    lastOverAt = last;
    oldPeak = peakFrom[0];
  }

  /** The highest level before any fix from the start of the neighbourhood to before {@code i}. */
  double peakBefore(int i) {
    return peakBefore[i - near];
  }

  /** The highest level before any fix from {@code i} to the end of the neighbourhood. */
  double peakFrom(int i) {
    return peakFrom[i - near];
  }

  /** Index of a frame of the session, cut to the excerpt. */
  int index(long frame) {
    return (int) Math.max(0, Math.min(excerpt.frames(), frame - excerpt.firstFrame()));
  }

  private static double[] lineAt(HeldLine held, Excerpt excerpt) {
    WindowGrid grid = held.grid();
    double[] line = new double[excerpt.frames()];
    int window = grid.windowOf(excerpt.firstFrame());
    int i = 0;
    while (i < line.length) {
      int end = (int) Math.min(line.length, grid.endFrame(window) - excerpt.firstFrame());
      Arrays.fill(line, i, end, held.level(window));
      i = end;
      window++;
    }
    return line;
  }

  /**
   * A sum of K terms is off by at most (K − 1) roundings of its partial sums, each at most the sum
   * of the stems' peaks; b − y + y' adds two, and so does the product in a weight. Four times that
   * is on the safe side.
   *
   * <p>The filter of true peaks raises that by at most {@link Oversampler#GAIN}, and rounds twelve
   * products and eleven sums, half an ulp each of at most {@code GAIN} times the peaks: so 12 ulps
   * each time that it is used, which is four times where bus and change are filtered apart.
   */
  private static double rounding(Excerpt excerpt, boolean filtered) {
    double peaks = 0;
    for (int k = 0; k < excerpt.stems(); k++) {
      double[][] y = excerpt.marked(k);
      peaks += Math.max(Block.peak(y[0], 0, y[0].length), Block.peak(y[1], 0, y[1].length));
    }
    double ofSum = 4 * (excerpt.stems() + 4) * Math.ulp(1.0) * peaks;
    return filtered ? Oversampler.GAIN * (ofSum + 4 * 12 * Math.ulp(1.0) * peaks) : ofSum;
  }
}
