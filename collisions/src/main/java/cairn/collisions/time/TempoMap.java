package cairn.collisions.time;

import java.util.Locale;

/**
 * A constant tempo with its meter; definitions.md, 8. Bars and beats count from 1, ticks from 0;
 * what lies before bar 1 has bar 0, −1 and so on.
 *
 * @param quartersPerMinute tempo in quarter notes a minute, over 0, at most 1000
 * @param beatsPerBar upper figure of the meter, 1 to 99
 * @param beatUnit lower figure of the meter: 1, 2, 4, 8, 16, 32 or 64
 * @param barOneSeconds time of bar 1, beat 1 in seconds
 */
public record TempoMap(
    double quartersPerMinute, int beatsPerBar, int beatUnit, double barOneSeconds) {

  /** Ticks of one beat. */
  public static final int TICKS_PER_BEAT = 960;

  public TempoMap {
    if (!(quartersPerMinute > 0 && quartersPerMinute <= 1000)) {
      throw new IllegalArgumentException(
          "tempo must be > 0 and <= 1000 quarter notes a minute: tempo=" + quartersPerMinute);
    }
    if (beatsPerBar < 1 || beatsPerBar > 99) {
      throw new IllegalArgumentException("beats a bar must be 1 to 99: beats=" + beatsPerBar);
    }
    if (beatUnit < 1 || beatUnit > 64 || Integer.bitCount(beatUnit) != 1) {
      throw new IllegalArgumentException(
          "a meter's lower figure must be 1, 2, 4, 8, 16, 32 or 64: it is " + beatUnit);
    }
    if (!(Math.abs(barOneSeconds) <= 1e6)) {
      throw new IllegalArgumentException(
          "bar one must be within 1000000 s of the start: bar one=" + barOneSeconds);
    }
  }

  /** Length of one beat of the meter in seconds. */
  public double beatSeconds() {
    return 60 / quartersPerMinute * 4 / beatUnit;
  }

  /** Time of a beat in seconds; beat 0 is bar 1, beat 1, the beat before it is −1. */
  public double beatTimeSeconds(long beat) {
    return barOneSeconds + beat * beatSeconds();
  }

  /**
   * Bar, beat and tick of a frame: {@code 2|1|000}. Rounded once, to whole ticks, then split.
   *
   * @param frame frame
   * @param sampleRateHz sample rate in Hz
   */
  public String barsBeats(long frame, int sampleRateHz) {
    // One division, at the end: what lies before it is a whole number wherever the tempo is one, so
    // that a frame half-way between two ticks is not lost to rounding.
    double ticksTimesDivisor =
        (frame - barOneSeconds * sampleRateHz) * quartersPerMinute * beatUnit * TICKS_PER_BEAT;
    long ticks = (long) Math.floor(ticksTimesDivisor / (240.0 * sampleRateHz) + 0.5);
    long ticksPerBar = (long) beatsPerBar * TICKS_PER_BEAT;
    long inBar = Math.floorMod(ticks, ticksPerBar);
    return String.format(
        Locale.ROOT,
        "%d|%d|%03d",
        Math.floorDiv(ticks, ticksPerBar) + 1,
        inBar / TICKS_PER_BEAT + 1,
        inBar % TICKS_PER_BEAT);
  }
}
