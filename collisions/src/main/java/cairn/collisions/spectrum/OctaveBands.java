package cairn.collisions.spectrum;

/**
 * Octave bands, base ten: IEC 61260-1:2014. Band {@code i} from 0 to 8 has the index {@code x = i −
 * 4} of the standard and the exact mid-band frequency {@code 1000·10^(3x/10)} Hz: 63 Hz to 16 kHz.
 * The upper edge of a band is the lower edge of the next.
 */
public final class OctaveBands {

  /** How many bands there are. */
  public static final int COUNT = 9;

  private static final int FIRST_INDEX = -4;

  private OctaveBands() {}

  /** The exact mid-band frequency in Hz. */
  public static double exactHz(int band) {
    return 1000 * Math.pow(10, 0.3 * (FIRST_INDEX + band));
  }

  /** The lower edge in Hz. */
  public static double lowerHz(int band) {
    return 1000 * Math.pow(10, 0.3 * (FIRST_INDEX + band) - 0.15);
  }

  /** The upper edge in Hz; of the last band 22387, above half of 44100 Hz. */
  public static double upperHz(int band) {
    return 1000 * Math.pow(10, 0.3 * (FIRST_INDEX + band) + 0.15);
  }

  /**
   * The power in each band, as {@link Bands#ofBins} has it.
   *
   * @param binPowers one-sided power of bins 0 to size/2
   * @param sampleRateHz sample rate in Hz
   * @return {@value #COUNT} powers; 0 for a band above half the sample rate
   */
  public static double[] ofBins(double[] binPowers, int sampleRateHz) {
    return Bands.ofBins(binPowers, sampleRateHz, COUNT, OctaveBands::lowerHz, OctaveBands::upperHz);
  }
}
