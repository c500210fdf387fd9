package cairn.collisions.fix;

import cairn.collisions.signal.Block;

/**
 * The samples of all stems and of the bus about one moment, in memory, planar, 1.0 = 0 dBFS. Frame
 * {@code i} of every array is frame {@code firstFrame + i} of the session.
 *
 * <p>It lies inside the range that is looked at; outside that range all is silence. The arrays are
 * not copied: whoever holds an excerpt does not write to them.
 */
public final class Excerpt {

  private final long firstFrame;
  private final int frames;
  private final double[][][] plain;
  private final double[][][] marked;
  private final double[][] bus;
  private final double[] levels;

  /**
   * Sums the bus of an excerpt from {@code marked}, in stem order.
   *
   * @param firstFrame first frame of the session that it holds, at least 0
   * @param frames number of frames
   * @param plain {@code plain[stem][channel][frame]}: {@code y_k} without any mark
   * @param marked {@code marked[stem][channel][frame]}: {@code y_k} as it stands, marks applied;
   *     the same array as in {@code plain} where a stem has no mark here
   */
  public Excerpt(long firstFrame, int frames, double[][][] plain, double[][][] marked) {
    this.firstFrame = firstFrame;
    this.frames = frames;
    this.plain = plain;
    this.marked = marked;
    bus = Block.stereo(frames);
    levels = new double[frames];
    for (double[][] y : marked) {
      Block.add(bus[0], y[0], 1, 0, frames);
      Block.add(bus[1], y[1], 1, 0, frames);
    }
    Block.levels(levels, bus, 0, frames);
  }

  /** First frame of the session that it holds. */
  public long firstFrame() {
    return firstFrame;
  }

  /** Number of frames. */
  public int frames() {
    return frames;
  }

  /** Frame of the session after the last one that it holds. */
  public long endFrame() {
    return firstFrame + frames;
  }

  /** Number of stems. */
  public int stems() {
    return plain.length;
  }

  /** {@code y_k[channel][frame]} without any mark. */
  public double[][] plain(int stem) {
    return plain[stem];
  }

  /** {@code y_k[channel][frame]} as it stands, marks applied. */
  public double[][] marked(int stem) {
    return marked[stem];
  }

  /** The bus of the stems as they stand. */
  public double[][] bus() {
    return bus;
  }

  /** {@code p} of that bus. */
  public double[] levels() {
    return levels;
  }
}
