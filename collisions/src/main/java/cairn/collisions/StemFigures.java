package cairn.collisions;

import java.util.OptionalDouble;

/**
 * Figures of one stem on the bus, mute and solo left aside.
 *
 * @param peak its largest level, linear
 * @param averagePeak its own average peak, linear; empty: silent
 * @param moments number of moments that it leads
 * @param loneMoments number of lone peaks where it is the one
 */
public record StemFigures(double peak, OptionalDouble averagePeak, int moments, int loneMoments) {

  /**
   * How far a level, linear, stands above the stem's own average peak, in dB; NaN if either is
   * silent.
   */
  public double aboveOwnAverageDb(double level) {
    double own = averagePeak.orElse(0);
    return own > 0 && level > 0 ? Decibels.ofAmplitude(level / own) : Double.NaN;
  }
}
