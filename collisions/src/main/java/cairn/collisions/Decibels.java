package cairn.collisions;

/** Converts between decibels and linear factors; definitions.md, preamble. */
public final class Decibels {

  private Decibels() {}

  /**
   * The level of an amplitude in dB, {@code 20·log10(amplitude)}; of 0: minus infinity.
   *
   * @param amplitude linear amplitude, at least 0; 1.0 is 0 dBFS
   */
  public static double ofAmplitude(double amplitude) {
    return 20 * Math.log10(amplitude);
  }

  /**
   * The linear factor of a gain or level in dB, {@code 10^(db/20)}: {@code toFactor(-6.0206)} is
   * 0.5.
   */
  public static double toFactor(double db) {
    return Math.pow(10, db / 20);
  }
}
