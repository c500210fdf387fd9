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
   * The power in each band. A bin that an edge cuts is split in proportion to how much of {@code [f
   * − ½, f + ½]} bins lies on either side.
   *
   * @param binPowers one-sided power of bins 0 to size/2
   * @param sampleRateHz sample rate in Hz
   * @return {@value #COUNT} powers; 0 for a band above half the sample rate
   */
  public static double[] ofBins(double[] binPowers, int sampleRateHz) {
    int half = binPowers.length - 1;
    double binHz = sampleRateHz / (2.0 * half);
    double[] bands = new double[COUNT];
    for (int band = 0; band < COUNT; band++) {
      // In bins, moved by a half so that bin f covers [f, f + 1).
      double from = lowerHz(band) / binHz + 0.5;
      double to = upperHz(band) / binHz + 0.5;
      double sum = 0;
      for (int f = (int) from; f <= half && f < to; f++) {
        sum += binPowers[f] * (Math.min(to, f + 1) - Math.max(from, f));
      }
      bands[band] = sum;
    }
    return bands;
  }
}
