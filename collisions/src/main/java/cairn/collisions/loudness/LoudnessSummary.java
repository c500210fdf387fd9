package cairn.collisions.loudness;

import java.util.Arrays;

/**
 * All that stays of the first pass's metering: what every loudness figure of the bus, and of the
 * stems where they were metered, is read from. 800 bytes a second for the bus and 80 for each stem.
 * Immutable, made of plain arrays, and built back from them.
 */
public final class LoudnessSummary {

  private final Hops bus;
  private final double busTruePeak;
  private final double busEnergy;
  private final Hops[] stems;
  private final double[] stemTruePeak;
  private final double[] stemEnergy;
  private final long frames;

  /**
   * Keeps copies.
   *
   * @param sampleRateHz sample rate
   * @param firstFrame first frame of the range that was metered
   * @param frames length of that range
   * @param busHopEnergy K-weighted energy of every hop of 10 ms of the bus
   * @param busTruePeak true peak of the bus, linear
   * @param busEnergy {@code Σ b²} over frames and channels
   * @param stemHopEnergy the same for each stem, for hops of 100 ms, mute and solo left aside; no
   *     stem at all where stems were not metered
   * @param stemTruePeak true peak of each of these stems, linear
   * @param stemEnergy {@code Σ y_k²} of each of these stems
   */
  public LoudnessSummary(
      int sampleRateHz,
      long firstFrame,
      long frames,
      double[] busHopEnergy,
      double busTruePeak,
      double busEnergy,
      double[][] stemHopEnergy,
      double[] stemTruePeak,
      double[] stemEnergy) {
    if (stemTruePeak.length != stemHopEnergy.length || stemEnergy.length != stemHopEnergy.length) {
      throw new IllegalArgumentException(
          "stems must be as many everywhere: stemHopEnergy="
              + stemHopEnergy.length
              + ", stemTruePeak="
              + stemTruePeak.length
              + ", stemEnergy="
              + stemEnergy.length);
    }
    this.frames = frames;
    this.busTruePeak = busTruePeak;
    this.busEnergy = busEnergy;
    bus = new Hops(sampleRateHz, HopPlan.FINE, firstFrame, busHopEnergy);
    stems =
        Arrays.stream(stemHopEnergy)
            .map(energy -> new Hops(sampleRateHz, HopPlan.COARSE, firstFrame, energy))
            .toArray(Hops[]::new);
    this.stemTruePeak = stemTruePeak.clone();
    this.stemEnergy = stemEnergy.clone();
  }

  /** The bus in hops of 10 ms. */
  public Hops bus() {
    return bus;
  }

  /** True peak of the bus, the larger of filter and samples, linear. */
  public double busTruePeak() {
    return busTruePeak;
  }

  /** {@code Σ b²} over frames and channels. */
  public double busEnergy() {
    return busEnergy;
  }

  /** Length of what was metered, in frames. */
  public long frames() {
    return frames;
  }

  /** Number of stems metered: all or none. */
  public int stems() {
    return stems.length;
  }

  /** Stem {@code k} as on the bus, mute and solo left aside, in hops of 100 ms. */
  public Hops stem(int k) {
    return stems[k];
  }

  /** True peak of stem {@code k} as on the bus, linear. */
  public double stemTruePeak(int k) {
    return stemTruePeak[k];
  }

  /** {@code Σ y_k²} over frames and channels. */
  public double stemEnergy(int k) {
    return stemEnergy[k];
  }

  /**
   * Crest factor of the bus in dB; NaN for silence.
   *
   * @param peak largest level, linear
   */
  public double busCrestDb(double peak) {
    return crestDb(peak, busEnergy);
  }

  /**
   * Crest factor of stem {@code k} in dB; NaN for silence.
   *
   * @param peak largest level, linear
   */
  public double stemCrestDb(int k, double peak) {
    return crestDb(peak, stemEnergy[k]);
  }

  /** {@code dB(peak) − 10·log10(mean b², both channels)}: definitions.md, 6. */
  private double crestDb(double peak, double energy) {
    return 20 * Math.log10(peak) - 10 * Math.log10(energy / (2.0 * frames));
  }
}
