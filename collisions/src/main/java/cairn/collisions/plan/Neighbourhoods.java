package cairn.collisions.plan;

import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;

/** The neighbourhoods of some moments: each its span and 35 ms on either side. */
final class Neighbourhoods {

  private final List<EarlierMoment> moments;
  private final long gapFrames;

  /** Places in the list, in time order. */
  private final int[] inTime;

  Neighbourhoods(List<EarlierMoment> moments, long gapFrames) {
    this.moments = moments;
    this.gapFrames = gapFrames;
    inTime =
        IntStream.range(0, moments.size())
            .boxed()
            .sorted(Comparator.comparingLong(i -> moments.get(i).firstOver()))
            .mapToInt(i -> i)
            .toArray();
  }

  /**
   * The place in the list of the moment in whose neighbourhood a frame lies; −1 if there is none.
   * Where two overlap, that of the nearer span, the earlier one on a tie.
   */
  int holding(long frame) {
    int low = 0;
    int high = inTime.length;
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (moments.get(inTime[middle]).lastOver() + gapFrames < frame) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    int found = -1;
    long nearest = gapFrames + 1;
    // Spans follow each other without meeting, so their neighbourhoods start and end in order.
    for (int i = low; i < inTime.length; i++) {
      EarlierMoment moment = moments.get(inTime[i]);
      if (moment.firstOver() - gapFrames > frame) {
        break;
      }
      long distance = Math.max(0, Math.max(moment.firstOver() - frame, frame - moment.lastOver()));
      if (distance < nearest) {
        nearest = distance;
        found = inTime[i];
      }
    }
    return found;
  }
}
