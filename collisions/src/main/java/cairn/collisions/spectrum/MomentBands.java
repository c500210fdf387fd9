package cairn.collisions.spectrum;

/**
 * Where the energy of a stem sits about one frame: power in third-octave bands of ±20 ms;
 * definitions.md, 7. A Hann window of 40 ms tells bands apart from 50 Hz or so on; below, energy
 * spreads over neighbours.
 */
public final class MomentBands {

  private MomentBands() {}

  /** Frames on either side of the peak frame: 20 ms. */
  public static int reachFrames(int sampleRateHz) {
    return Math.max(1, sampleRateHz / 50);
  }

  /**
   * Power in each band.
   *
   * @param y {@code y[0 : 2][0 : 2·reach]}: the stem as it stands on the bus, its frame {@code
   *     reach} being the peak frame
   * @return {@value ThirdOctaves#COUNT} powers, linear
   */
  public static double[] powers(double[][] y, int sampleRateHz) {
    HannPowers meter = new HannPowers(2 * reachFrames(sampleRateHz), sampleRateHz);
    return ThirdOctaves.ofBins(meter.bins(y), sampleRateHz);
  }

  /** The band with the most power, the lower one on a tie; −1 for silence. */
  public static int strongest(double[] powers) {
    int strongest = -1;
    for (int band = 0; band < powers.length; band++) {
      if (powers[band] > (strongest < 0 ? 0 : powers[strongest])) {
        strongest = band;
      }
    }
    return strongest;
  }
}
