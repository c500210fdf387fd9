package cairn.collisions.line;

import cairn.collisions.TimeRange;
import java.util.ArrayList;
import java.util.List;

/** Which stretches must be read again for a line. */
public final class OverBlocks {

  private OverBlocks() {}

  /**
   * The stretches that hold every over frame, in time order: runs of summary blocks whose bound is
   * over the line. Runs less than {@code bridgeFrames} apart become one, since reading on is
   * cheaper than reading anew.
   */
  public static List<TimeRange> of(Summary summary, HeldLine line, int bridgeFrames) {
    WindowGrid grid = summary.grid();
    List<TimeRange> ranges = new ArrayList<>();
    for (int j = 0; j < grid.windows(); j++) {
      double level = line.level(j);
      if (summary.windowPeak[j] <= level) {
        continue;
      }
      for (int i = summary.firstBlock(j); i < summary.firstBlock(j + 1); i++) {
        if (summary.blockPeak(i) > level) {
          long from = summary.blockFirstFrame(i);
          long to = summary.blockEndFrame(i);
          int last = ranges.size() - 1;
          if (last >= 0 && from - ranges.get(last).endFrame() < bridgeFrames) {
            ranges.set(last, new TimeRange(ranges.get(last).firstFrame(), to));
          } else {
            ranges.add(new TimeRange(from, to));
          }
        }
      }
    }
    return ranges;
  }
}
