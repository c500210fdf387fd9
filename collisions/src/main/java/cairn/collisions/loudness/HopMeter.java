package cairn.collisions.loudness;

import java.util.Arrays;

/**
 * Meters a stereo signal that comes piece by piece into the energies of a {@link HopPlan}. The
 * result is the same to the bit for any pieces, and for any split of the segments over meters that
 * share one {@link Energies}. For one thread.
 */
public final class HopMeter {

  private static final int SILENCE_FRAMES = 1024;
  private static final double[] SILENCE = new double[SILENCE_FRAMES];

  /** What all meters of one signal write, each its own places. */
  public static final class Energies {
    private final HopPlan plan;
    private final double[] ofHop;

    /** Of the hop that a segment's start cuts, the part in the segment. */
    private final double[] cut;

    private final double[] plain;

    /** Room for the energies of a plan. */
    public Energies(HopPlan plan) {
      this.plan = plan;
      // The last one is for what is left over after the last whole hop.
      ofHop = new double[plan.hops() + 1];
      cut = new double[plan.edges().segments()];
      plain = new double[plan.edges().segments()];
    }

    /** The K-weighted energies, once all segments are metered. */
    public Hops hops() {
      double[] whole = Arrays.copyOf(ofHop, plan.hops());
      for (int s = 1; s < cut.length; s++) {
        int h = plan.hopOf(plan.edges().frame(s));
        if (h < whole.length) {
          whole[h] += cut[s];
        }
      }
      return new Hops(plan.sampleRateHz(), plan.perSecond(), plan.edges().frame(0), whole);
    }

    /** {@code Σ x²} over frames and channels, not weighted, once all segments are metered. */
    public double plainEnergy() {
      double energy = 0;
      for (double part : plain) {
        energy += part;
      }
      return energy;
    }
  }

  private final HopPlan plan;
  private final Energies energies;
  private KFilter current;
  private KFilter next;
  private int segment;
  private int endSegment;
  private int hop;
  private long frame;
  private double energy;
  private double plainEnergy;

  /** A meter that writes into {@code energies}. */
  public HopMeter(Energies energies) {
    this.energies = energies;
    plan = energies.plan;
    KWeighting weighting = KWeighting.at(plan.sampleRateHz());
    current = new KFilter(weighting);
    next = new KFilter(weighting);
  }

  /**
   * Begins with a segment: what is fed next stands at {@link HopPlan#startFrame}.
   *
   * @param newEndSegment segment after the last one that will be fed to this meter
   */
  public void begin(int firstSegment, int newEndSegment) {
    segment = firstSegment;
    endSegment = newEndSegment;
    frame = plan.startFrame(segment);
    hop = plan.hopOf(frame);
    energy = 0;
    plainEnergy = 0;
    current.reset();
    next.reset();
  }

  /** Meters {@code left[from : to]} and {@code right[from : to]}, which may be one array. */
  public void feed(double[] left, double[] right, int from, int to) {
    feed(left, right, from, to, false);
  }

  /** Meters silence. */
  public void feedSilence(int frames) {
    for (int done = 0; done < frames; done += SILENCE_FRAMES) {
      feed(SILENCE, SILENCE, 0, Math.min(SILENCE_FRAMES, frames - done), true);
    }
  }

  private void feed(double[] left, double[] right, int from, int to, boolean silent) {
    int i = from;
    while (i < to) {
      long start = plan.edges().frame(segment);
      long end = plan.edges().frame(segment + 1);
      if (frame == end) {
        store();
        energies.plain[segment] = plainEnergy;
        plainEnergy = 0;
        KFilter used = current;
        current = next;
        next = used;
        next.reset();
        segment++;
        continue;
      }
      long nextStart = segment + 1 < endSegment ? plan.startFrame(segment + 1) : end;
      long hopEnd = plan.hopFrame(hop + 1L);
      long stop = frame < start ? start : frame < nextStart ? nextStart : end;
      int length = (int) Math.min(to - i, Math.min(stop, hopEnd) - frame);
      if (frame >= nextStart) {
        run(next, left, right, i, i + length, silent);
      }
      boolean rests = silent && current.isAtRest();
      double sum = run(current, left, right, i, i + length, silent);
      if (frame >= start) {
        energy = sum;
        plainEnergy = rests ? plainEnergy : current.plainEnergy();
      }
      frame += length;
      i += length;
      if (frame == hopEnd) {
        if (frame > start) {
          store();
        }
        hop++;
        current.settle();
        next.settle();
      }
    }
  }

  /** Silence out of a filter at rest is silence: nothing is added, so nothing need be done. */
  private double run(
      KFilter filter, double[] left, double[] right, int from, int to, boolean silent) {
    return silent && filter.isAtRest()
        ? energy
        : filter.run(left, right, from, to, energy, plainEnergy);
  }

  /** Ends the last segment; what was fed reaches up to its end. */
  public void finish() {
    store();
    energies.plain[segment] = plainEnergy;
  }

  private void store() {
    long hopStart = plan.hopFrame(hop);
    long start = plan.edges().frame(segment);
    if (frame > hopStart) {
      double weighted = current.energyFactor() * energy;
      if (hopStart < start) {
        energies.cut[segment] = weighted;
      } else {
        energies.ofHop[hop] = weighted;
      }
    }
    energy = 0;
  }
}
