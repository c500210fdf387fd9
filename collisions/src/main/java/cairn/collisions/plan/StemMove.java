package cairn.collisions.plan;

/**
 * What one setting of a stem for the whole song comes to, checked on all of it, at the held line
 * and without marks; definitions.md, 4 (whole-stem moves).
 *
 * @param setting the setting
 * @param cleared how many of the moments have nothing over in their neighbourhood any more
 * @param fresh how many moments there are that lie in no old neighbourhood
 * @param left how many moments there are in all
 * @param peakAfter highest level of the bus, linear
 * @param clippedFrames of a ceiling: frames clipped on either channel; else 0
 * @param longestLobeFrames of a ceiling: the longest stretch of one channel beyond it, in frames;
 *     else 0
 */
public record StemMove(
    StemSetting setting,
    int cleared,
    int fresh,
    int left,
    double peakAfter,
    long clippedFrames,
    long longestLobeFrames) {

  /** Whether it leaves fewer moments than {@code moments}. */
  public boolean helps(int moments) {
    return left < moments;
  }
}
