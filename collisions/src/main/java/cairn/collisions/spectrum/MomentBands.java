package cairn.collisions.spectrum;

/**
 * Where the energy of a stem sits about one frame: power in third-octave bands of ±20 ms;
 * definitions.md, 7. A Hann window of 40 ms tells bands apart from 50 Hz or so on; below, energy
 * spreads over neighbours.
 */
public final class MomentBands {

  /** Bins of 6 Hz or less, so that low bands have one of their own. */
  private static final double BIN_HZ = 6;

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
    int frames = 2 * reachFrames(sampleRateHz);
    int size = Integer.highestOneBit((int) Math.max(frames, sampleRateHz / BIN_HZ) - 1) * 2;
    double[] powers = new double[size / 2 + 1];
    Transform transform = new Transform(size);
    double squares = 0;
    for (int c = 0; c < 2; c++) {
      double[] x = new double[size];
      for (int n = 0; n < frames; n++) {
        double w = 0.5 - 0.5 * Math.cos(2 * Math.PI * n / frames);
        squares += w * w / 2;
        x[n] = w * y[c][n];
      }
      transform.addPowers(x, powers);
    }
    for (int f = 0; f < powers.length; f++) {
      powers[f] *= (f == 0 || f == size / 2 ? 1 : 2) / (2 * size * squares);
    }
    return ThirdOctaves.ofBins(powers, sampleRateHz);
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
