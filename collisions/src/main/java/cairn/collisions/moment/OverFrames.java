package cairn.collisions.moment;

import cairn.collisions.line.HeldLine;
import cairn.collisions.signal.Levels;
import java.util.ArrayList;
import java.util.List;

/** Finds the over frames of a bus that is handed over piece by piece; definitions.md, 3. */
public final class OverFrames {

  private final HeldLine line;
  private final long gapFrames;
  private final Levels reading;
  private final List<OverRun> runs = new ArrayList<>();

  /**
   * @param gapFrames {@code G}: over frames no farther apart belong together
   */
  public OverFrames(HeldLine line, long gapFrames) {
    this.line = line;
    this.gapFrames = gapFrames;
    reading = Levels.of(line.mode());
  }

  /** {@code G = round(0.035·fs)} frames, 35 ms. */
  public static long gapFrames(int sampleRateHz) {
    return (35L * sampleRateHz + 500) / 1000;
  }

  /**
   * Looks through {@code bus[0 : 2][at : at + frames]}, with as many frames on either side as
   * levels reach; {@code at} stands at {@code firstFrame}. Pieces come in order; what lies between
   * them is not over.
   */
  public void look(double[][] bus, double[] levels, int at, long firstFrame, int frames) {
    int window = line.grid().windowOf(firstFrame);
    long start = firstFrame - at;
    int from = at;
    while (from < at + frames) {
      int to = (int) Math.min(at + frames, line.grid().endFrame(window) - start);
      look(bus, levels, start, from, to, line.level(window));
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
        int channel = reading.channelAt(bus, peakAt);
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
