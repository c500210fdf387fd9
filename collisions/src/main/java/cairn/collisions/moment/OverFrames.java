package cairn.collisions.moment;

import cairn.collisions.line.HeldLine;
import java.util.ArrayList;
import java.util.List;

/** Finds the over frames of a bus that is handed over piece by piece; definitions.md, 3. */
public final class OverFrames {

  private final HeldLine line;
  private final long gapFrames;
  private final List<OverRun> runs = new ArrayList<>();

  /**
   * @param gapFrames {@code G}: over frames no farther apart belong together
   */
  public OverFrames(HeldLine line, long gapFrames) {
    this.line = line;
    this.gapFrames = gapFrames;
  }

  /** {@code G = round(0.035·fs)} frames, 35 ms. */
  public static long gapFrames(int sampleRateHz) {
    return (35L * sampleRateHz + 500) / 1000;
  }

  /**
   * Looks through {@code bus[0 : 2][0 : frames]}, which stands at {@code firstFrame}. Pieces come
   * in order; what lies between them is not over.
   */
  public void look(double[][] bus, double[] levels, long firstFrame, int frames) {
    int window = line.grid().windowOf(firstFrame);
    int from = 0;
    while (from < frames) {
      int to = (int) Math.min(frames, line.grid().endFrame(window) - firstFrame);
      look(bus, levels, firstFrame, from, to, line.level(window));
      from = to;
      window++;
    }
  }

  private void look(
      double[][] bus, double[] levels, long firstFrame, int from, int to, double threshold) {
    int i = from;
    while (i < to) {
      if (levels[i] > threshold) {
        int start = i;
        int peakAt = i;
        while (i < to && levels[i] > threshold) {
          peakAt = levels[i] > levels[peakAt] ? i : peakAt;
          i++;
        }
        long run = (long) i - start;
        int channel = Math.abs(bus[1][peakAt]) > Math.abs(bus[0][peakAt]) ? 1 : 0;
        OverRun.append(
            runs,
            new OverRun(
                firstFrame + start,
                firstFrame + i - 1,
                firstFrame + peakAt,
                channel,
                levels[peakAt],
                run,
                run,
                run,
                run),
            gapFrames);
      } else {
        i++;
      }
    }
  }

  /** What was found so far, in time order. */
  public List<OverRun> found() {
    return runs;
  }
}
