package cairn.collisions.plan;

import cairn.collisions.TimeRange;
import cairn.collisions.line.Summary;
import java.io.IOException;
import java.util.function.IntToDoubleFunction;

/**
 * The largest level of a bus in any stretch, exact: from the peaks of the blocks that lie in it as
 * a whole, and from samples only where the block at one of its ends might hold more.
 */
final class LargestLevel {

  private final Summary blocks;
  private final IntToDoubleFunction blockPeak;
  private final FromSamples fromSamples;

  /** The largest level of a short stretch, from its samples. */
  @FunctionalInterface
  interface FromSamples {
    double largest(TimeRange where) throws IOException;
  }

  /**
   * @param blocks where the blocks lie
   * @param blockPeak the peak of each, linear
   */
  LargestLevel(Summary blocks, IntToDoubleFunction blockPeak, FromSamples fromSamples) {
    this.blocks = blocks;
    this.blockPeak = blockPeak;
    this.fromSamples = fromSamples;
  }

  /** The largest level in {@code [firstFrame, endFrame)}, linear; outside the blocks is silence. */
  double in(long firstFrame, long endFrame) throws IOException {
    TimeRange range = blocks.grid().range();
    long from = Math.max(firstFrame, range.firstFrame());
    long end = Math.min(endFrame, range.endFrame());
    if (from >= end) {
      return 0;
    }
    int first = blocks.blockOf(from);
    int last = blocks.blockOf(end - 1);
    double largest = 0;
    for (int i = first; i <= last; i++) {
      if (isWhole(i, from, end)) {
        largest = Math.max(largest, blockPeak.applyAsDouble(i));
      }
    }
    largest = Math.max(largest, atEnd(first, from, end, largest));
    return last == first ? largest : Math.max(largest, atEnd(last, from, end, largest));
  }

  private boolean isWhole(int i, long from, long end) {
    return blocks.blockFirstFrame(i) >= from && blocks.blockEndFrame(i) <= end;
  }

  private double atEnd(int i, long from, long end, double largest) throws IOException {
    if (isWhole(i, from, end) || blockPeak.applyAsDouble(i) <= largest) {
      return 0;
    }
    return fromSamples.largest(
        new TimeRange(
            Math.max(from, blocks.blockFirstFrame(i)), Math.min(end, blocks.blockEndFrame(i))));
  }
}
