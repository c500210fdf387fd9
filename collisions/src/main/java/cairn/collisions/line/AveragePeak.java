package cairn.collisions.line;

import java.util.Optional;
import java.util.OptionalDouble;

/**
 * The average peak {@code A}, one for the whole song or one a window; definitions.md, 2.
 *
 * <p>Linear, 1.0 = 0 dBFS.
 */
public final class AveragePeak {

  /** Windows on either side of a frame's own that the local baseline takes in. */
  private static final int LOCAL_REACH = 16;

  private final double overall;
  private final double[] local;

  private AveragePeak(double overall, double[] local) {
    this.overall = overall;
    this.local = local;
  }

  /** One average peak for all windows, of {@code peaks[first : end]}; empty if all is silent. */
  static Optional<AveragePeak> of(double[] peaks, int first, int end) {
    OptionalDouble mean = Gate.averagePeak(peaks, first, end);
    return mean.isPresent()
        ? Optional.of(new AveragePeak(mean.getAsDouble(), null))
        : Optional.empty();
  }

  /**
   * The local baseline: for each window the mean of the windows that passed both gates of the whole
   * song, among it and 16 on either side; none there: that of the song.
   */
  static Optional<AveragePeak> local(double[] peaks) {
    boolean[] passed = new boolean[peaks.length];
    Gate.pass(peaks, 0, peaks.length, passed);
    OptionalDouble song = Gate.mean(peaks, 0, peaks.length, passed);
    if (song.isEmpty()) {
      return Optional.empty();
    }
    double[] local = new double[peaks.length];
    for (int j = 0; j < peaks.length; j++) {
      int first = Math.max(0, j - LOCAL_REACH);
      int end = Math.min(peaks.length, j + LOCAL_REACH + 1);
      local[j] = Gate.mean(peaks, first, end, passed).orElse(song.getAsDouble());
    }
    return Optional.of(new AveragePeak(song.getAsDouble(), local));
  }

  /** The average peak of the whole song; with the local baseline, that of all its windows. */
  public double overall() {
    return overall;
  }

  /** The average peak in force in window {@code j}. */
  public double at(int j) {
    return local == null ? overall : local[j];
  }

  /** Whether it moves with the song. */
  public boolean isLocal() {
    return local != null;
  }
}
