package cairn.collisions;

/**
 * A stretch of time, half-open: {@code [firstFrame, endFrame)}.
 *
 * @param firstFrame first frame, at least 0
 * @param endFrame frame after the last one, over {@code firstFrame}
 */
public record TimeRange(long firstFrame, long endFrame) {
  public TimeRange {
    if (firstFrame < 0) {
      throw new IllegalArgumentException("firstFrame must be >= 0: firstFrame=" + firstFrame);
    }
    if (endFrame <= firstFrame) {
      throw new IllegalArgumentException(
          "endFrame must be > firstFrame: firstFrame=" + firstFrame + ", endFrame=" + endFrame);
    }
  }

  /** Number of frames, at least 1. */
  public long frames() {
    return endFrame - firstFrame;
  }

  /** Whether the frame lies in the range. */
  public boolean contains(long frame) {
    return frame >= firstFrame && frame < endFrame;
  }
}
