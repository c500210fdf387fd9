package cairn.demo;

/** The few functions that the synthesis stands on; equal to the last bit on every machine. */
final class Waves {

  static final int SAMPLE_RATE_HZ = 48_000;

  /** Coefficients of the odd Taylor series of sin(2πx), x to x^13. */
  private static final double C1 = 6.283185307179586;

  private static final double C3 = -41.34170224039976;
  private static final double C5 = 81.60524927607504;
  private static final double C7 = -76.70585975306136;
  private static final double C9 = 42.058693944897634;
  private static final double C11 = -15.094642576822984;
  private static final double C13 = 3.8199525848482803;

  private Waves() {}

  /**
   * The sine of a phase in turns: {@code sine(0.25)} is 1. Within 1e-8 of the true one, and made of
   * additions and multiplications only, which Java 17 defines exactly.
   *
   * @param turns any finite number; 1.0 is a full turn
   */
  static double sine(double turns) {
    double x = turns - Math.floor(turns + 0.5);
    if (x > 0.25) {
      x = 0.5 - x;
    } else if (x < -0.25) {
      x = -0.5 - x;
    }
    double q = x * x;
    return x * (C1 + q * (C3 + q * (C5 + q * (C7 + q * (C9 + q * (C11 + q * C13))))));
  }

  /** The factor a frame by which an exponential decay with this time constant goes down. */
  static double decay(double seconds) {
    return StrictMath.exp(-1 / (seconds * SAMPLE_RATE_HZ));
  }

  /** A length in frames, rounded. */
  static int frames(double seconds) {
    return (int) Math.floor(seconds * SAMPLE_RATE_HZ + 0.5);
  }

  /** The factor of a level in dB: {@code factor(-6.0206)} is 0.5. */
  static double factor(double db) {
    return StrictMath.pow(10, db / 20);
  }

  /** The level in dB of an amplitude, 1.0 = 0 dBFS; of 0: minus infinity. */
  static double levelDb(double amplitude) {
    return 20 * StrictMath.log10(amplitude);
  }

  /** The frequency of a note in Hz, equal temperament, note 69 = 440 Hz. */
  static double hertz(int note) {
    return 440 * StrictMath.pow(2, (note - 69) / 12.0);
  }

  /** Lets the last frames run out to nothing along a raised cosine, so that no sound ends hard. */
  static void fadeOut(double[] samples, double seconds) {
    int frames = Math.min(frames(seconds), samples.length);
    int first = samples.length - frames;
    for (int i = 0; i < frames; i++) {
      samples[first + i] *= 0.5 + 0.5 * sine(0.25 + 0.5 * (i + 1.0) / frames);
    }
  }
}
