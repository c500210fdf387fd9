package cairn.collisions.signal;

/**
 * The true peak of a stereo signal that comes piece by piece: the larger of its sample peak and
 * what the {@link Oversampler} brings out. Linear; 1.0 = 0 dBTP. The result is the same to the bit
 * for any pieces. For one thread.
 *
 * <p>Most of a song is passed over: a chunk whose samples, with the eleven before it, are all at
 * most {@code peak / GAIN} cannot raise the peak found so far ({@link Oversampler#GAIN}), and what
 * cannot raise it need not be known. So the order of pieces and threads does not matter either: the
 * largest of all parts is the largest of the whole.
 */
public final class TruePeakMeter {

  private static final int HISTORY = Oversampler.HISTORY_FRAMES;
  private static final int CHUNK_FRAMES = 256;

  private static final double[][] SILENCE = Block.stereo(HISTORY);

  /** Per channel the last frames that came, then a chunk. */
  private final double[][] held = Block.stereo(HISTORY + CHUNK_FRAMES);

  private double peak;
  private double historyPeak;

  /** Begins anew, after silence; what was found stays. */
  public void begin() {
    Block.clear(held, 0, HISTORY);
    historyPeak = 0;
  }

  /**
   * Only takes note of what comes before the frames that are to be metered: at least the last
   * {@link Oversampler#HISTORY_FRAMES} of it, so that they are not taken for the first after
   * silence.
   */
  public void prime(double[] left, double[] right, int from, int to) {
    remember(held[0], left, from, to);
    remember(held[1], right, from, to);
    rememberPeak();
  }

  private static void remember(double[] buffer, double[] x, int from, int to) {
    int fresh = Math.min(HISTORY, to - from);
    System.arraycopy(buffer, fresh, buffer, 0, HISTORY - fresh);
    System.arraycopy(x, to - fresh, buffer, HISTORY - fresh, fresh);
  }

  private void rememberPeak() {
    historyPeak = Math.max(Block.peak(held[0], 0, HISTORY), Block.peak(held[1], 0, HISTORY));
  }

  /** Whether samples of at most {@code highest} after those that came cannot raise the peak. */
  public boolean isAtLeast(double highest) {
    return Math.max(highest, historyPeak) * Oversampler.GAIN <= peak;
  }

  /** Meters {@code left[from : to]} and {@code right[from : to]}, which may be one array. */
  public void feed(double[] left, double[] right, int from, int to) {
    for (int at = from; at < to; at += CHUNK_FRAMES) {
      int end = Math.min(to, at + CHUNK_FRAMES);
      double matters = peak / Oversampler.GAIN;
      if (historyPeak > matters
          || Block.exceeds(left, at, end, matters)
          || (left != right && Block.exceeds(right, at, end, matters))) {
        feed(held[0], left, at, end - at, true);
        feed(held[1], right, at, end - at, left != right);
        rememberPeak();
      } else {
        prime(left, right, at, end);
      }
    }
  }

  private void feed(double[] buffer, double[] x, int at, int length, boolean isNew) {
    System.arraycopy(x, at, buffer, HISTORY, length);
    if (isNew) {
      peak = Math.max(peak, Block.peak(buffer, HISTORY, HISTORY + length));
      peak = Oversampler.peak(buffer, HISTORY, HISTORY + length, peak);
    }
    System.arraycopy(buffer, length, buffer, 0, HISTORY);
  }

  /** Meters the silence after the end, so that a peak at the last frame is seen. */
  public void finish() {
    feedSilence(HISTORY);
  }

  /** Meters silence; after silence there is nothing to do. */
  public void feedSilence(int frames) {
    if (historyPeak > 0) {
      feed(SILENCE[0], SILENCE[1], 0, Math.min(HISTORY, frames));
    }
  }

  /** As {@link #prime}, with silence. */
  public void primeSilence(int frames) {
    prime(SILENCE[0], SILENCE[1], 0, Math.min(HISTORY, frames));
  }

  /** The largest true peak so far. */
  public double peak() {
    return peak;
  }
}
