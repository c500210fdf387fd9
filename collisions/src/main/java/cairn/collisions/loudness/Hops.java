package cairn.collisions.loudness;

/**
 * K-weighted energies of a signal, one a hop of 10 or 100 ms: 800 or 80 bytes a second, from which
 * every loudness follows. Immutable.
 */
public final class Hops {

  private final int sampleRateHz;
  private final int perSecond;
  private final long firstFrame;
  private final double[] energy;

  /**
   * Keeps a copy.
   *
   * @param perSecond {@link HopPlan#FINE} or {@link HopPlan#COARSE}
   * @param firstFrame first frame of the first hop
   * @param energy {@code Σ y²} over frames and channels of each hop, y K-weighted
   */
  public Hops(int sampleRateHz, int perSecond, long firstFrame, double[] energy) {
    if (perSecond != HopPlan.FINE && perSecond != HopPlan.COARSE) {
      throw new IllegalArgumentException("perSecond must be 10 or 100: perSecond=" + perSecond);
    }
    this.sampleRateHz = sampleRateHz;
    this.perSecond = perSecond;
    this.firstFrame = firstFrame;
    this.energy = energy.clone();
  }

  /** Sample rate in Hz. */
  public int sampleRateHz() {
    return sampleRateHz;
  }

  /** Hops a second, 10 or 100. */
  public int perSecond() {
    return perSecond;
  }

  /** First frame of the first hop. */
  public long firstFrame() {
    return firstFrame;
  }

  /** The energies; a copy. */
  public double[] energies() {
    return energy.clone();
  }

  /** Number of hops. */
  public int count() {
    return energy.length;
  }

  /** Energy of hop {@code h}. */
  double energy(int h) {
    return energy[h];
  }

  /** The same signal at another level: every energy times {@code powerFactor}. */
  public Hops times(double powerFactor) {
    double[] scaled = new double[energy.length];
    for (int h = 0; h < scaled.length; h++) {
      scaled[h] = powerFactor * energy[h];
    }
    return new Hops(sampleRateHz, perSecond, firstFrame, scaled);
  }

  /** The first hop that starts at or after a frame. */
  int firstFrom(long frame) {
    long h = Math.max(0, (frame - firstFrame) * perSecond / sampleRateHz - 1);
    while (h < energy.length && hopFrame(h) < frame) {
      h++;
    }
    return (int) Math.min(energy.length, h);
  }

  /** The hop after the last one that ends at or before a frame. */
  int endBy(long frame) {
    int h = firstFrom(frame);
    return h < energy.length && hopFrame(h) == frame ? h : Math.max(0, fits(h, frame));
  }

  private int fits(int h, long frame) {
    return h == energy.length && hopFrame(h) <= frame ? h : h - 1;
  }

  private long hopFrame(long h) {
    return firstFrame + (2 * h * sampleRateHz + perSecond) / (2L * perSecond);
  }
}
