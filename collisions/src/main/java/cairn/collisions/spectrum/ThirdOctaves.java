package cairn.collisions.spectrum;

import java.util.Locale;

/**
 * One-third-octave bands, base ten: IEC 61260-1:2014. Band {@code i} from 0 to 29 has the index
 * {@code x = i − 16} of the standard and the exact mid-band frequency {@code 1000·10^(x/10)} Hz: 25
 * Hz to 20 kHz. The upper edge of a band is the lower edge of the next.
 */
public final class ThirdOctaves {

  /** How many bands there are. */
  public static final int COUNT = 30;

  private static final int FIRST_INDEX = -16;

  /** Labels only: ISO 266, series R 10. */
  private static final double[] NOMINAL_HZ = {
    25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600,
    2000, 2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000
  };

  private ThirdOctaves() {}

  /** The mid-band frequency that the band is called by, in Hz. */
  public static double nominalHz(int band) {
    return NOMINAL_HZ[band];
  }

  /** The name of a band: {@code 31.5 Hz}, {@code 1.25 kHz}. */
  public static String name(int band) {
    double hz = NOMINAL_HZ[band];
    String unit = hz < 1000 ? " Hz" : " kHz";
    String number = String.format(Locale.ROOT, "%.2f", hz < 1000 ? hz : hz / 1000);
    return number.replaceAll("\\.?0+$", "") + unit;
  }

  /** The exact mid-band frequency in Hz. */
  public static double exactHz(int band) {
    return 1000 * Math.pow(10, (FIRST_INDEX + band) / 10.0);
  }

  /** The lower edge in Hz. */
  public static double lowerHz(int band) {
    return 1000 * Math.pow(10, (FIRST_INDEX + band) / 10.0 - 1 / 20.0);
  }

  /** The upper edge in Hz; of the last band 22387, above half of 44100 Hz. */
  public static double upperHz(int band) {
    return 1000 * Math.pow(10, (FIRST_INDEX + band) / 10.0 + 1 / 20.0);
  }

  /**
   * How many bands begin below half the sample rate. The last of them may be cut there: what lies
   * above is not in the signal.
   */
  public static int countAt(int sampleRateHz) {
    int bands = 0;
    while (bands < COUNT && lowerHz(bands) < sampleRateHz / 2.0) {
      bands++;
    }
    return bands;
  }

  /**
   * The power in each band, as {@link Bands#ofBins} has it.
   *
   * @param binPowers one-sided power of bins 0 to size/2
   * @param sampleRateHz sample rate in Hz
   * @return {@value #COUNT} powers; 0 for a band above half the sample rate
   */
  public static double[] ofBins(double[] binPowers, int sampleRateHz) {
    return Bands.ofBins(
        binPowers, sampleRateHz, COUNT, ThirdOctaves::lowerHz, ThirdOctaves::upperHz);
  }
}
