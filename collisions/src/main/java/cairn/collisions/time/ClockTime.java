package cairn.collisions.time;

import java.util.Locale;

/** Clock time as m:ss.mmm; definitions.md, 8. */
public final class ClockTime {

  private static final int[] TICK_SECONDS = {1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600};

  private ClockTime() {}

  /**
   * The shortest round step, in whole seconds, that is no more than so many times in a stretch; an
   * hour where none is.
   *
   * @param frames length of the stretch
   * @param sampleRateHz sample rate in Hz
   * @param most how many steps there may be
   */
  public static int tickSeconds(long frames, int sampleRateHz, int most) {
    double seconds = (double) frames / sampleRateHz;
    int step = TICK_SECONDS[TICK_SECONDS.length - 1];
    for (int i = TICK_SECONDS.length - 1; i >= 0 && seconds / TICK_SECONDS[i] <= most; i--) {
      step = TICK_SECONDS[i];
    }
    return step;
  }

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
