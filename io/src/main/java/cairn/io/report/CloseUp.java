package cairn.io.report;

import cairn.collisions.TimeRange;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.WhatIf;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The sound about one moment on the channel of its peak, turned so that the peak points up; linear.
 *
 * @param moment the moment
 * @param bus the bus
 * @param stems the stems that lead it, at most {@value #MOST_STEMS}, in falling order
 */
public record CloseUp(Moment moment, Trace bus, List<StemTrace> stems) {

  private static final int MOST_STEMS = 4;

  /** Half of what is shown, in ms: enough for the half-cycle of a low drum. */
  private static final int MILLIS = 6;

  /** A stretch of samples; its arrays are not written to. */
  static final class Trace {
    private final long firstFrame;
    private final double[] before;
    private final double[] after;

    Trace(long firstFrame, double[] before, double[] after) {
      this.firstFrame = firstFrame;
      this.before = before;
      this.after = after;
    }

    /** Frame of the session that it begins at. */
    long firstFrame() {
      return firstFrame;
    }

    /** Without marks. */
    double[] before() {
      return before;
    }

    /** With marks; the same where nothing is changed. */
    double[] after() {
      return after;
    }

    boolean changes() {
      return !Arrays.equals(before, after);
    }
  }

  /**
   * A stem.
   *
   * @param contribution what it adds
   * @param trace its samples on the bus
   */
  record StemTrace(Contribution contribution, Trace trace) {}

  public CloseUp {
    stems = List.copyOf(stems);
  }

  /** Reads what is needed. */
  public static CloseUp of(WhatIf whatIf, Moment moment, int sampleRateHz) throws IOException {
    long half = Math.max(8, (long) sampleRateHz * MILLIS / 1000);
    TimeRange all = whatIf.line().grid().range();
    Excerpt excerpt =
        whatIf.excerpt(
            new TimeRange(
                Math.max(all.firstFrame(), moment.peakFrame() - half),
                Math.min(all.endFrame(), moment.peakFrame() + half + 1)));
    int c = moment.channel();
    double[] bus = new double[excerpt.frames()];
    for (int k = 0; k < excerpt.stems(); k++) {
      double[] y = excerpt.plain(k)[c];
      for (int i = 0; i < bus.length; i++) {
        bus[i] += y[i];
      }
    }
    double sign = bus[(int) (moment.peakFrame() - excerpt.firstFrame())] < 0 ? -1 : 1;
    List<StemTrace> stems = new ArrayList<>();
    for (Contribution contribution : moment.contributions()) {
      boolean shown = contribution.leads() && stems.size() < MOST_STEMS;
      int k = contribution.stem();
      if (shown || !Arrays.equals(excerpt.plain(k)[c], excerpt.marked(k)[c])) {
        stems.add(
            new StemTrace(
                contribution, trace(excerpt, excerpt.plain(k)[c], excerpt.marked(k)[c], sign)));
      }
    }
    return new CloseUp(moment, trace(excerpt, bus, excerpt.bus()[c], sign), stems);
  }

  private static Trace trace(Excerpt excerpt, double[] before, double[] after, double sign) {
    return new Trace(excerpt.firstFrame(), turned(before, sign), turned(after, sign));
  }

  private static double[] turned(double[] samples, double sign) {
    double[] turned = new double[samples.length];
    for (int i = 0; i < turned.length; i++) {
      turned[i] = sign * samples[i];
    }
    return turned;
  }
}
