package cairn.collisions.fix;

/**
 * What was done to a stem's samples.
 *
 * @param fromFrame first frame of the affected range {@code R}
 * @param toFrame frame after the last one of {@code R}; {@code fromFrame} where nothing was done
 * @param clippedFrames frames clipped on either channel; 0 but for a clip
 * @param longestLobeFrames frames of the longest lobe cut off; 0 but for a clip
 * @param lobeTooLong whether a lobe reaches 200 ms past the span without an end: it is then cut off
 *     at that distance only, and never proposed
 */
public record Change(
    long fromFrame, long toFrame, long clippedFrames, long longestLobeFrames, boolean lobeTooLong) {

  /** Nothing was done. */
  public static final Change NOTHING = new Change(0, 0, 0, 0, false);

  /** A change without lobes. */
  static Change of(long fromFrame, long toFrame) {
    return new Change(fromFrame, toFrame, 0, 0, false);
  }

  /** Number of frames of the affected range. */
  public long frames() {
    return toFrame - fromFrame;
  }
}
