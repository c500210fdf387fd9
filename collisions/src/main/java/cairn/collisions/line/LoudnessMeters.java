package cairn.collisions.line;

import cairn.collisions.Session;
import cairn.collisions.loudness.HopMeter;
import cairn.collisions.loudness.HopPlan;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.StemTap;
import cairn.collisions.signal.TruePeakMeter;
import java.util.Arrays;
import java.util.Optional;

/**
 * What the workers of a first pass meter along, each in its own segments. A segment is a whole
 * number of windows, the fewest that reach 5 s where something is metered, else one; so where the
 * filters start anew depends on the grid alone.
 */
final class LoudnessMeters {

  private static final int SEGMENT_SECONDS = 5;

  private final Session session;
  private final WindowGrid grid;
  private final Levels reading;

  /** First window of each segment, and the number of windows. */
  private final int[] firstWindow;

  private final Optional<HopMeter.Energies> bus;
  private final HopMeter.Energies[] stems;
  private double busTruePeak;
  private final double[] stemTruePeak;

  private LoudnessMeters(
      Session session,
      WindowGrid grid,
      Levels reading,
      int[] firstWindow,
      Optional<HopMeter.Energies> bus,
      HopMeter.Energies[] stems) {
    this.session = session;
    this.grid = grid;
    this.reading = reading;
    this.firstWindow = firstWindow;
    this.bus = bus;
    this.stems = stems;
    stemTruePeak = new double[stems.length];
  }

  static LoudnessMeters of(Session session, WindowGrid grid, Levels reading, Metering metering) {
    if (metering == Metering.NONE) {
      int[] windows = new int[grid.windows() + 1];
      Arrays.setAll(windows, j -> j);
      return new LoudnessMeters(
          session, grid, reading, windows, Optional.empty(), new HopMeter.Energies[0]);
    }
    int[] windows = segments(grid, session.sampleRateHz());
    long[] edges = new long[windows.length];
    for (int s = 0; s < edges.length - 1; s++) {
      edges[s] = grid.firstFrame(windows[s]);
    }
    edges[edges.length - 1] = grid.range().endFrame();
    HopPlan.SegmentEdges cut = new HopPlan.SegmentEdges(edges);
    HopPlan fine = new HopPlan(session.sampleRateHz(), HopPlan.FINE, cut);
    HopPlan coarse = new HopPlan(session.sampleRateHz(), HopPlan.COARSE, cut);
    HopMeter.Energies[] stems =
        new HopMeter.Energies[metering == Metering.STEMS ? session.stems().size() : 0];
    Arrays.setAll(stems, k -> new HopMeter.Energies(coarse));
    return new LoudnessMeters(
        session, grid, reading, windows, Optional.of(new HopMeter.Energies(fine)), stems);
  }

  private static int[] segments(WindowGrid grid, int sampleRateHz) {
    int[] first = new int[grid.windows() + 1];
    int count = 0;
    for (int j = 0; j < grid.windows(); j++) {
      long reached = grid.firstFrame(j) - grid.firstFrame(first[Math.max(0, count - 1)]);
      if (count == 0 || reached >= (long) SEGMENT_SECONDS * sampleRateHz) {
        first[count] = j;
        count++;
      }
    }
    first[count] = grid.windows();
    return Arrays.copyOf(first, count + 1);
  }

  int segments() {
    return firstWindow.length - 1;
  }

  /** First window of a segment; of the number of segments: the number of windows. */
  int firstWindow(int segment) {
    return firstWindow[segment];
  }

  /** What was metered, once all segments are through. */
  Optional<LoudnessSummary> summary(Summary summary) {
    if (bus.isEmpty()) {
      return Optional.empty();
    }
    double[][] hops = new double[stems.length][];
    double[] energy = new double[stems.length];
    double[] truePeak = new double[stems.length];
    for (int k = 0; k < stems.length; k++) {
      // Metered as in their files: on the bus all is larger by the fader.
      double factor = Math.abs(session.openFactor(k));
      hops[k] = stems[k].hops().times(factor * factor).energies();
      energy[k] = factor * factor * stems[k].plainEnergy();
      truePeak[k] = factor * stemTruePeak[k];
    }
    return Optional.of(
        new LoudnessSummary(
            session.sampleRateHz(),
            grid.range().firstFrame(),
            grid.range().frames(),
            bus.get().hops().energies(),
            busTruePeak,
            Arrays.stream(summary.windowEnergy).sum(),
            hops,
            truePeak,
            energy));
  }

  /** A largest value does not depend on who comes first. */
  private synchronized void found(double truePeak, double[] ofStems) {
    busTruePeak = Math.max(busTruePeak, truePeak);
    for (int k = 0; k < stemTruePeak.length; k++) {
      stemTruePeak[k] = Math.max(stemTruePeak[k], ofStems[k]);
    }
  }

  /** The meters of one worker. */
  Tap tap() {
    return new Tap();
  }

  /** The meters of one worker; do nothing where nothing is metered. */
  final class Tap implements StemTap {
    private final HopMeter busMeter = bus.map(HopMeter::new).orElse(null);
    private final TruePeakMeter busPeak = new TruePeakMeter();
    private final HopMeter[] stemMeter = new HopMeter[stems.length];
    private final TruePeakMeter[] stemPeak = new TruePeakMeter[stems.length];
    private final int reach = reading.reach();
    private final double[] windowPeak = new double[session.stems().size()];
    private long blockFrame;
    private boolean warmingUp;
    private boolean reachesEnd;

    private Tap() {
      Arrays.setAll(stemMeter, k -> new HopMeter(stems[k]));
      Arrays.setAll(stemPeak, k -> new TruePeakMeter());
    }

    /** The frame from which on the filters must hear segments {@code [first, end)}. */
    long begin(int first, int end) {
      long edge = grid.firstFrame(firstWindow[first]);
      if (busMeter == null) {
        return edge;
      }
      busMeter.begin(first, end);
      busPeak.begin();
      for (int k = 0; k < stemMeter.length; k++) {
        stemMeter[k].begin(first, end);
        stemPeak[k].begin();
      }
      warmingUp = true;
      reachesEnd = end == segments();
      return Math.max(
          grid.range().firstFrame(), edge - HopPlan.warmUpFrames(session.sampleRateHz()));
    }

    /** What is taken from now on lies in the segments. */
    void warmedUp() {
      warmingUp = false;
    }

    /** Says at which frame the next block stands. */
    void at(long frame) {
      blockFrame = frame;
    }

    /** Begins a window, of which {@link #windowPeak} will tell. */
    void beginWindow() {
      Arrays.fill(windowPeak, 0);
    }

    /** The largest level of stem {@code k} in the window; only kept where levels reach. */
    double windowPeak(int k) {
      return Math.abs(session.openFactor(k)) * windowPeak[k];
    }

    void takeBus(double[][] bus, int from, int to) {
      if (busMeter != null) {
        take(busMeter, busPeak, bus[0], bus[1], from, to, Double.POSITIVE_INFINITY);
      }
    }

    @Override
    public boolean listens() {
      return stemMeter.length > 0 || reach > 0;
    }

    @Override
    public void take(
        int k, double[] left, double[] right, int from, int to, int frames, double peak) {
      if (stemMeter.length > 0) {
        int first = Math.min(Math.max(from, reach), frames - reach);
        int end = Math.max(first, Math.min(to, frames - reach));
        silence(k, first - reach);
        if (end > first) {
          take(stemMeter[k], stemPeak[k], left, right, first, end, peak);
        }
        silence(k, frames - reach - end);
      }
      if (reach > 0 && to > from) {
        raise(k, left, from, to, frames);
        if (left != right) {
          raise(k, right, from, to, frames);
        }
      }
    }

    /** Raises a stem's window peak to its level in a block; outside range and file is silence. */
    private void raise(int k, double[] x, int from, int to, int frames) {
      long before = grid.range().firstFrame() - blockFrame;
      long past = grid.range().endFrame() - blockFrame;
      Arrays.fill(x, 0, (int) Math.min(frames, Math.max(from, before)), 0);
      Arrays.fill(x, (int) Math.max(0, Math.min(to, past)), frames, 0);
      windowPeak[k] = reading.peak(x, reach, frames - reach, windowPeak[k]);
    }

    private void silence(int k, int frames) {
      stemMeter[k].feedSilence(frames);
      if (warmingUp) {
        stemPeak[k].primeSilence(frames);
      } else {
        stemPeak[k].feedSilence(frames);
      }
    }

    private void take(
        HopMeter meter,
        TruePeakMeter peak,
        double[] left,
        double[] right,
        int from,
        int to,
        double highest) {
      meter.feed(left, right, from, to);
      // What cannot raise the peak need only be remembered.
      if (warmingUp || peak.isAtLeast(highest)) {
        peak.prime(left, right, from, to);
      } else {
        peak.feed(left, right, from, to);
      }
    }

    /** Ends the segments. */
    void finish() {
      if (busMeter == null) {
        return;
      }
      finish(busMeter, busPeak);
      double[] ofStems = new double[stemPeak.length];
      for (int k = 0; k < ofStems.length; k++) {
        finish(stemMeter[k], stemPeak[k]);
        ofStems[k] = stemPeak[k].peak();
      }
      found(busPeak.peak(), ofStems);
    }

    private void finish(HopMeter meter, TruePeakMeter peak) {
      meter.finish();
      if (reachesEnd) {
        peak.finish();
      }
    }
  }
}
