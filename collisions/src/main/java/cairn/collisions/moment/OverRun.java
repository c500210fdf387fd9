package cairn.collisions.moment;

import java.util.ArrayList;
import java.util.List;

/**
 * Over frames that belong together, as far as they have been read: a moment before it is explained.
 *
 * @param firstOver first over frame
 * @param lastOver last over frame, inclusive
 * @param peakFrame first frame at which the level is largest
 * @param channel channel of that largest level, left on a tie
 * @param peak that level, linear
 * @param overFrames number of over frames
 * @param leadingRun consecutive over frames from {@code firstOver} on
 * @param trailingRun consecutive over frames up to {@code lastOver}
 * @param longestRun longest run of consecutive over frames
 */
public record OverRun(
    long firstOver,
    long lastOver,
    long peakFrame,
    int channel,
    double peak,
    long overFrames,
    long leadingRun,
    long trailingRun,
    long longestRun) {

  /** Both together; {@code later} starts after this one ends. */
  public OverRun joined(OverRun later) {
    boolean touching = later.firstOver == lastOver + 1;
    boolean laterIsHigher = later.peak > peak;
    long joint = touching ? trailingRun + later.leadingRun : 0;
    return new OverRun(
        firstOver,
        later.lastOver,
        laterIsHigher ? later.peakFrame : peakFrame,
        laterIsHigher ? later.channel : channel,
        laterIsHigher ? later.peak : peak,
        overFrames + later.overFrames,
        touching && leadingRun == overFrames ? leadingRun + later.leadingRun : leadingRun,
        touching && later.trailingRun == later.overFrames
            ? trailingRun + later.trailingRun
            : later.trailingRun,
        Math.max(joint, Math.max(longestRun, later.longestRun)));
  }

  /** Whether a span is over 100 ms: level, not a spike. */
  public static boolean isLong(long firstOver, long lastOver, int sampleRateHz) {
    return lastOver - firstOver + 1 > sampleRateHz / 10;
  }

  /** Appends a run, joined to the last one if no more than {@code gapFrames} lie between. */
  public static void append(List<OverRun> runs, OverRun run, long gapFrames) {
    int last = runs.size() - 1;
    if (last >= 0 && run.firstOver - runs.get(last).lastOver <= gapFrames) {
      runs.set(last, runs.get(last).joined(run));
    } else {
      runs.add(run);
    }
  }

  /** All runs of several lists in order, joined across their borders. */
  public static List<OverRun> joinedAll(List<List<OverRun>> parts, long gapFrames) {
    List<OverRun> runs = new ArrayList<>();
    for (List<OverRun> part : parts) {
      for (OverRun run : part) {
        append(runs, run, gapFrames);
      }
    }
    return runs;
  }
}
