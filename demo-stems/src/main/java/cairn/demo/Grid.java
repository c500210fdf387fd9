package cairn.demo;

/**
 * Where bars and sixteenths lie: 104 quarter notes a minute, 4/4, bar one at 0.0 s. A bar starts on
 * its time rounded to a frame and is cut alike in every bar, so that what is programmed alike is
 * alike to the frame; within a beat the sixteenths lean as a samba's do (common practice, no
 * source).
 */
final class Grid {

  static final double QUARTERS_PER_MINUTE = 104;
  static final int STEPS_PER_BAR = 16;

  private static final double FRAMES_PER_BAR =
      4 * 60.0 * Waves.SAMPLE_RATE_HZ / QUARTERS_PER_MINUTE;

  /** Sixteenths of a beat, in beats. */
  private static final double[] LEAN = {0, 0.265, 0.49, 0.735};

  private Grid() {}

  /** The first frame of a bar, counted from 0. */
  static int bar(int bar) {
    return (int) Math.floor(bar * FRAMES_PER_BAR + 0.5);
  }

  /** The frame of a step; steps beyond a bar count on into the next ones. */
  static int frame(int bar, int step) {
    int within = Math.floorMod(step, STEPS_PER_BAR);
    int whole = bar + Math.floorDiv(step, STEPS_PER_BAR);
    int beat = within / 4;
    double beats = beat + LEAN[within % 4];
    return bar(whole) + (int) Math.floor(beats * FRAMES_PER_BAR / 4 + 0.5);
  }

  /** The length of some steps in seconds, without lean. */
  static double seconds(int steps) {
    return steps * FRAMES_PER_BAR / STEPS_PER_BAR / Waves.SAMPLE_RATE_HZ;
  }
}
