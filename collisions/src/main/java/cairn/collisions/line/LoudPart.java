package cairn.collisions.line;

import cairn.collisions.TimeRange;

/** Finds the loud part; definitions.md, 2. */
public final class LoudPart {

  private static final int SECONDS = 30;

  private LoudPart() {}

  /**
   * The windows {@code [first, end)} of the loud part: the stretch of the fewest windows from its
   * first on that reach 30 s with the greatest energy, the earliest on a tie; all windows if
   * together they do not reach 30 s.
   *
   * @param energy {@code Σ b²} over frames and channels of each window
   */
  static int[] find(WindowGrid grid, double[] energy, int sampleRateHz) {
    long least = (long) SECONDS * sampleRateHz;
    int windows = grid.windows();
    int[] loudest = {0, windows};
    double greatest = -1;
    int end = 0;
    for (int first = 0; first < windows; first++) {
      while (end < windows && grid.firstFrame(end) - grid.firstFrame(first) < least) {
        end++;
      }
      if (grid.endFrame(end - 1) - grid.firstFrame(first) < least) {
        break;
      }
      double sum = 0;
      for (int j = first; j < end; j++) {
        sum += energy[j];
      }
      if (sum > greatest) {
        greatest = sum;
        loudest = new int[] {first, end};
      }
    }
    return loudest;
  }

  /**
   * The windows {@code [first, end)} of a named section: those that lie in it whole; if there is
   * none, those that it touches.
   */
  static int[] named(WindowGrid grid, TimeRange section) {
    int first = grid.windowOf(Math.max(section.firstFrame(), grid.range().firstFrame()));
    int end = grid.windowOf(Math.min(section.endFrame(), grid.range().endFrame()) - 1) + 1;
    int firstWhole = grid.firstFrame(first) < section.firstFrame() ? first + 1 : first;
    int endWhole = grid.endFrame(end - 1) > section.endFrame() ? end - 1 : end;
    return firstWhole < endWhole ? new int[] {firstWhole, endWhole} : new int[] {first, end};
  }

  /** The frames of the windows {@code [first, end)}. */
  static TimeRange range(WindowGrid grid, int[] windows) {
    return new TimeRange(grid.firstFrame(windows[0]), grid.endFrame(windows[1] - 1));
  }
}
