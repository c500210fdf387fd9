package cairn.collisions.loudness;

/**
 * The two biquads of the K-weighting, in series: ITU-R BS.1770-5, Annex 1. Stage 1 is the shelf of
 * the head, stage 2 the high-pass, whose numerator is 1, −2, 1 at every rate.
 *
 * <p>The recommendation gives numbers for 48 kHz alone and asks for the same response elsewhere.
 * Both stages are the bilinear transforms of one analogue prototype, which gives Tables 1 and 2 at
 * 48 kHz to the last digit printed; at other rates the gain at 997 Hz drifts by at most 0.04 dB, as
 * in other implementations of that prototype.
 *
 * @param b0 numerator of stage 1
 * @param b1 numerator of stage 1
 * @param b2 numerator of stage 1
 * @param a1 denominator of stage 1, {@code y = … − a1·y1 − a2·y2}
 * @param a2 denominator of stage 1
 * @param highPassA1 denominator of stage 2
 * @param highPassA2 denominator of stage 2
 */
public record KWeighting(
    double b0, double b1, double b2, double a1, double a2, double highPassA1, double highPassA2) {

  /** Lowest sample rate for which the weighting is worked out. */
  public static final int LOWEST_RATE_HZ = 8_000;

  /** Highest sample rate for which the weighting is worked out. */
  public static final int HIGHEST_RATE_HZ = 384_000;

  /** Whether loudness can be measured at a sample rate: 8 to 384 kHz. */
  public static boolean covers(int sampleRateHz) {
    return sampleRateHz >= LOWEST_RATE_HZ && sampleRateHz <= HIGHEST_RATE_HZ;
  }

  /**
   * The weighting at a sample rate.
   *
   * @param sampleRateHz 8000 to 384000
   */
  public static KWeighting at(int sampleRateHz) {
    if (!covers(sampleRateHz)) {
      throw new IllegalArgumentException(
          "sampleRateHz must be 8000 to 384000: sampleRateHz=" + sampleRateHz);
    }
    // The prototype of the shelf: corner, gain and Q that give Table 1 at 48 kHz.
    double k = Math.tan(Math.PI * 1681.974450955533 / sampleRateHz);
    double q = 0.7071752369554196;
    double high = Math.pow(10, 3.999843853973347 / 20);
    double band = Math.pow(high, 0.4996667741545416);
    double a0 = 1 + k / q + k * k;
    // The prototype of the high-pass: corner and Q that give Table 2 at 48 kHz.
    double hk = Math.tan(Math.PI * 38.13547087602444 / sampleRateHz);
    double hq = 0.5003270373238773;
    double ha0 = 1 + hk / hq + hk * hk;
    return new KWeighting(
        (high + band * k / q + k * k) / a0,
        2 * (k * k - high) / a0,
        (high - band * k / q + k * k) / a0,
        2 * (k * k - 1) / a0,
        (1 - k / q + k * k) / a0,
        2 * (hk * hk - 1) / ha0,
        (1 - hk / hq + hk * hk) / ha0);
  }
}
