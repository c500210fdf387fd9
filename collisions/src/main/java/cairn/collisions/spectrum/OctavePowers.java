package cairn.collisions.spectrum;

/**
 * Octave-band power of stretches of one length, through one periodic Hann window; definitions.md, 4
 * (tone cost). For one thread.
 */
public final class OctavePowers {

  private final int sampleRateHz;
  private final HannPowers meter;

  /**
   * @param frames length of the stretches, over 0
   * @param sampleRateHz sample rate in Hz
   */
  public OctavePowers(int frames, int sampleRateHz) {
    this.sampleRateHz = sampleRateHz;
    meter = new HannPowers(frames, sampleRateHz);
  }

  /**
   * Power in each octave band, the mean of both channels: a steady sine of amplitude A on both has
   * A²/2 in its band.
   *
   * @param y {@code y[0 : 2][0 : frames]}
   * @return {@value OctaveBands#COUNT} powers, linear
   */
  public double[] powers(double[][] y) {
    return OctaveBands.ofBins(meter.bins(y), sampleRateHz);
  }
}
