package cairn.collisions.time;

import java.util.Locale;

/** Clock time as m:ss.mmm; definitions.md, 8. */
public final class ClockTime {

  private ClockTime() {}

  /**
   * The time of a frame, rounded half up to whole milliseconds before it is split: frame 2879976 at
   * 48000 Hz is {@code 1:00.000}.
   *
   * @param frame frame, at least 0
   * @param sampleRateHz sample rate in Hz
   */
  public static String of(long frame, int sampleRateHz) {
    long millis = Math.floorDiv(2 * frame * 1000 + sampleRateHz, 2L * sampleRateHz);
    return String.format(
        Locale.ROOT, "%d:%02d.%03d", millis / 60_000, millis / 1000 % 60, millis % 1000);
  }
}
