package cairn.collisions.fix;

/**
 * The samples of all stems and of the bus about one moment, in memory, planar, 1.0 = 0 dBFS. Frame
 * {@code i} of every array is frame {@code firstFrame + i} of the session.
 *
 * <p>It lies inside the range that is looked at; outside it all is silence. The arrays are not
 * copied: whoever holds an excerpt does not write to them.
 *
 * @param firstFrame first frame of the session that it holds, at least 0
 * @param frames number of frames
 * @param plain {@code plain[stem][channel][frame]}: {@code y_k} without any mark
 * @param marked {@code marked[stem][channel][frame]}: {@code y_k} as it stands, marks applied; the
 *     same array as in {@code plain} where a stem has no mark here
 * @param bus {@code bus[channel][frame]}: the sum of {@code marked} in stem order
 * @param levels {@code levels[frame]}: {@code p} of that bus
 */
public record Excerpt(
    long firstFrame,
    int frames,
    double[][][] plain,
    double[][][] marked,
    double[][] bus,
    double[] levels) {

  /** Frame after the last one that it holds. */
  public long endFrame() {
    return firstFrame + frames;
  }

  /** Where a frame of the session stands in the arrays; may be outside them. */
  public long at(long frame) {
    return frame - firstFrame;
  }
}
