package cairn.collisions.plan;

import java.util.OptionalDouble;

/**
 * A moment of an earlier pass, in that pass's own frames.
 *
 * @param peakFrame its peak frame
 * @param firstOver first over frame
 * @param lastOver last over frame, inclusive
 * @param peak its peak level, linear, over 0
 * @param told the largest level that the what-if showed in its neighbourhood, linear; empty: no
 *     marks are known
 */
public record EarlierMoment(
    long peakFrame, long firstOver, long lastOver, double peak, OptionalDouble told) {

  public EarlierMoment {
    if (firstOver < 0 || peakFrame < firstOver || lastOver < peakFrame) {
      throw new IllegalArgumentException(
          "frames must be 0 <= firstOver <= peakFrame <= lastOver: firstOver="
              + firstOver
              + ", peakFrame="
              + peakFrame
              + ", lastOver="
              + lastOver);
    }
    if (!(peak > 0)) {
      throw new IllegalArgumentException("peak must be over 0: peak=" + peak);
    }
  }
}
