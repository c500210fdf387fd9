package cairn.collisions.spectrum;

import cairn.collisions.signal.Sound;
import java.util.Arrays;
import java.util.Random;
import java.util.function.IntToDoubleFunction;

/** Sounds in arrays. */
final class Sounds {

  private Sounds() {}

  static double[] channel(int frames, IntToDoubleFunction x) {
    double[] channel = new double[frames];
    Arrays.setAll(channel, x);
    return channel;
  }

  /** Noise with a standard deviation of 0.1. */
  static double[] white(long seed, int frames) {
    Random random = new Random(seed);
    return channel(frames, n -> 0.1 * random.nextGaussian());
  }

  static Sound of(double[] left, double[] right) {
    double[][] x = {left, right};
    return new Sound() {
      @Override
      public long frames() {
        return left.length;
      }

      @Override
      public void read(long firstFrame, int frames, double[][] into) {
        for (int c = 0; c < 2; c++) {
          for (int i = 0; i < frames; i++) {
            long n = firstFrame + i;
            into[c][i] = n >= 0 && n < left.length ? x[c][(int) n] : 0;
          }
        }
      }
    };
  }
}
