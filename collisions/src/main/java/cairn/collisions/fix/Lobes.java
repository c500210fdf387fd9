package cairn.collisions.fix;

import cairn.collisions.TimeRange;

/** Cuts off the lobes of a stem that reach into a span; definitions.md, 4. */
final class Lobes {

  private Lobes() {}

  /**
   * Sets every lobe with a frame in the span to the ceiling, from its start to its end. Writes
   * {@code y[0 : 2]}, which stands at {@code firstFrame}; frames that it does not hold count as
   * silence.
   */
  static Change cut(Clip clip, int sampleRateHz, double[][] y, long firstFrame, TimeRange session) {
    double ceiling = clip.ceilingFactor();
    long reach = FixApplier.lobeReach(sampleRateHz);
    long heldFrom = Math.max(session.firstFrame(), firstFrame);
    long heldTo = Math.min(session.endFrame(), firstFrame + y[0].length);
    long spanFrom = Math.max(heldFrom, clip.startFrame());
    long spanTo = Math.min(heldTo, clip.endFrame());
    if (spanFrom >= spanTo) {
      return Change.NOTHING;
    }
    long reachFrom = Math.max(heldFrom, clip.startFrame() - reach);
    long reachTo = Math.min(heldTo, clip.endFrame() + reach);
    int from = (int) (spanFrom - firstFrame);
    int to = (int) (spanTo - firstFrame);
    int first = (int) (reachFrom - firstFrame);
    int end = (int) (reachTo - firstFrame);

    long clipped = 0;
    double[] left = y[0];
    double[] right = y[1];
    for (int i = from; i < to; i++) {
      if (Math.abs(left[i]) > ceiling || Math.abs(right[i]) > ceiling) {
        clipped++;
      }
    }
    int changedFrom = from;
    int changedTo = to;
    int longest = 0;
    boolean tooLong = false;
    for (double[] channel : y) {
      int i = from;
      while (i < to) {
        double sign = Math.signum(channel[i]);
        if (Math.abs(channel[i]) <= ceiling) {
          i++;
          continue;
        }
        int start = i;
        // Only at the span's edge can a lobe have begun before.
        while (start > first && i == from && sign * channel[start - 1] > ceiling) {
          start--;
        }
        int stop = i;
        while (stop < end && sign * channel[stop] > ceiling) {
          channel[stop] = sign * ceiling;
          stop++;
        }
        for (int j = start; j < i; j++) {
          channel[j] = sign * ceiling;
        }
        longest = Math.max(longest, stop - start);
        tooLong |= start == first && reachFrom > session.firstFrame();
        tooLong |= stop == end && reachTo < session.endFrame();
        changedFrom = Math.min(changedFrom, start);
        changedTo = Math.max(changedTo, stop);
        i = stop;
      }
    }
    // Outside the span only lobes that touch its edges are cut off, so their frames are in a row.
    clipped += (from - changedFrom) + (changedTo - to);
    return new Change(firstFrame + changedFrom, firstFrame + changedTo, clipped, longest, tooLong);
  }
}
