package cairn.tui.update;

/** The three sizes of step, in time and in level. */
public final class Steps {

  private Steps() {}

  /** Frames of one step: 1 sample, 0.1 ms, 1 ms, rounded to samples, at least 1. */
  static int frames(int size, int sampleRateHz) {
    double millis = size == 0 ? 0 : size == 1 ? 0.1 : 1;
    return (int) Math.max(1, Math.floor(millis * sampleRateHz / 1000 + 0.5));
  }

  /** Tenths of a dB of one step: 0.1, 0.1, 1 dB. */
  static int tenthsDb(int size) {
    return size == 2 ? 10 : 1;
  }

  /** A step in words. */
  public static String words(int size) {
    return switch (size) {
      case 0 -> "1 sample, 0.1 dB";
      case 1 -> "0.1 ms, 0.1 dB";
      default -> "1 ms, 1 dB";
    };
  }
}
