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
public record StemFigures(double peak, OptionalDouble averagePeak, int moments, int loneMoments) {}
