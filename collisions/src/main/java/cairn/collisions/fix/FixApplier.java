package cairn.collisions.fix;

import cairn.collisions.Decibels;
import cairn.collisions.TimeRange;
import java.util.Optional;

/** Applies a fix to the samples of its stem; definitions.md, 4. */
public final class FixApplier {

  private FixApplier() {}

  /** How far lobes are followed past either end of the span, in frames: 200 ms. */
  static long lobeReach(int sampleRateHz) {
    return Math.max(1, sampleRateHz / 5);
  }

  /**
   * The frames that a buffer must hold for a fix to be applied in it, cut to the session: the
   * affected range, what a nudge reads, and as far as lobes are followed.
   *
   * @param session the range that is looked at; outside it all is silence
   * @return empty if the fix lies outside the session and does nothing
   */
  public static Optional<TimeRange> reads(Fix fix, int sampleRateHz, TimeRange session) {
    long before = HitFinder.cellFrames(sampleRateHz);
    long after = before;
    if (fix instanceof Nudge nudge) {
      before += Math.max(0, nudge.frames());
      after += Math.max(0, -nudge.frames());
    } else if (fix instanceof Clip) {
      before = lobeReach(sampleRateHz);
      after = before;
    }
    long from = Math.max(session.firstFrame(), fix.startFrame() - before);
    long to = Math.min(session.endFrame(), fix.endFrame() + after);
    return from < to ? Optional.of(new TimeRange(from, to)) : Optional.empty();
  }

  /**
   * Applies a fix in place: writes {@code y[0 : 2]} in the affected range.
   *
   * <p>Frames that {@code y} does not hold are not written and count as silence. So the result is
   * exact where {@code y} holds what {@link #reads} says, and for a nudge or trim wherever it holds
   * a frame and the one that is moved there.
   *
   * @param y {@code y[channel][frame]}: the stem as the fixes before left it
   * @param firstFrame frame of the session at which {@code y} stands
   * @param session the range that is looked at; nothing is written outside it, and outside it the
   *     stem is silence
   * @return what was done; for a nudge or trim with the whole affected range, held or not
   */
  public static Change apply(
      Fix fix, int sampleRateHz, double[][] y, long firstFrame, TimeRange session) {
    if (fix instanceof Clip clip) {
      return Lobes.cut(clip, sampleRateHz, y, firstFrame, session);
    }
    int cell = HitFinder.cellFrames(sampleRateHz);
    long from = Math.max(session.firstFrame(), fix.startFrame() - cell);
    long to = Math.min(session.endFrame(), fix.endFrame() + cell);
    if (from >= to) {
      return Change.NOTHING;
    }
    long heldFrom = Math.max(from, firstFrame);
    long heldTo = Math.min(to, firstFrame + y[0].length);
    if (heldFrom < heldTo) {
      double[] w = new double[(int) (heldTo - heldFrom)];
      Weight.fill(w, heldFrom, w.length, fix.startFrame(), fix.endFrame(), cell);
      int at = (int) (heldFrom - firstFrame);
      int silentBefore = (int) Math.max(0, session.firstFrame() - firstFrame);
      int silentFrom = (int) Math.min(y[0].length, session.endFrame() - firstFrame);
      for (double[] channel : y) {
        if (fix instanceof Nudge nudge) {
          nudge(channel, w, at, nudge.frames(), silentBefore, silentFrom);
        } else if (fix instanceof Trim trim) {
          trim(channel, w, at, 1 - Decibels.toFactor(-trim.db()));
        }
      }
    }
    return Change.of(from, to);
  }

  /** {@code y'[n] = y[n] + w[n]·(y[n−d] − y[n])}, written on the side from which it reads last. */
  private static void nudge(
      double[] y, double[] w, int at, int d, int silentBefore, int silentFrom) {
    int step = d > 0 ? -1 : 1;
    for (int i = d > 0 ? w.length - 1 : 0; i >= 0 && i < w.length; i += step) {
      int source = at + i - d;
      double moved = source >= silentBefore && source < silentFrom ? y[source] : 0;
      y[at + i] += w[i] * (moved - y[at + i]);
    }
  }

  /** {@code y'[n] = y[n]·(1 − w[n]·lost)}. */
  private static void trim(double[] y, double[] w, int at, double lost) {
    for (int i = 0; i < w.length; i++) {
      y[at + i] *= 1 - w[i] * lost;
    }
  }
}
