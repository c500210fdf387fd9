package cairn.collisions.plan;

import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.LagSearch;
import cairn.collisions.signal.MixDown;
import java.io.IOException;
import java.util.Arrays;

/**
 * Finds by how much all stems of a later pass are shifted against those of an earlier one, within
 * ±1 s; definitions.md, 5.
 *
 * <p>The buses are correlated in a few stretches of at least a second, one in each part of the
 * song, at its highest window. It is their first differences, {@code b[n] − b[n−1]}, that are
 * correlated: those of music are nearly white, so that the right frame stands out from its
 * neighbours, and moved hits or a moved stem do not pull it away. Exact to the frame where most of
 * what is heard stayed as it was.
 */
public final class ShiftFinder {

  /** A shift is looked for up to this many seconds either way: definitions.md, 5. */
  private static final int MOST_SECONDS = 1;

  private static final int STRETCHES = 4;

  /**
   * At less the buses do not share the better part of their sound, and the largest of many
   * correlations may lie anywhere: where the loudest stem of a made-up song was moved or reversed,
   * wrong shifts reached 0.45. Choice of ours.
   */
  private static final double LEAST_LIKENESS = 0.5;

  private ShiftFinder() {}

  /**
   * The shift between two sets of stems.
   *
   * @param earlier a pass over the first of them
   * @param earlierSource its stems
   * @param now the second, at the same sample rate
   * @param nowSource its stems
   * @return {@link Shift.Found} or {@link Shift.Unlike}
   */
  public static Shift find(
      Pass earlier, StemSource earlierSource, Session now, StemSource nowSource)
      throws IOException {
    int rate = now.sampleRateHz();
    if (earlier.session().sampleRateHz() != rate) {
      throw new IllegalArgumentException(
          "sample rates must be the same: earlier="
              + earlier.session().sampleRateHz()
              + ", now="
              + rate);
    }
    int lagFrames = MOST_SECONDS * rate;
    // The size that one second and all its lags need anyway, used to the full.
    int fitting = LagSearch.fittingSize(rate + 2 * lagFrames) - 2 * lagFrames;
    int frames = (int) Math.min(fitting, earlier.range().frames());
    LagSearch search = new LagSearch(frames, lagFrames);
    double[][] before = Block.stereo(frames + 1);
    double[][] after = Block.stereo(frames + 2 * lagFrames + 1);
    try (MixDown earlierBus = new MixDown(earlier.session(), earlierSource.openReader());
        MixDown nowBus = new MixDown(now, nowSource.openReader())) {
      for (long firstFrame : stretches(earlier.summary(), frames)) {
        earlierBus.sum(firstFrame - 1, frames + 1, before);
        toDifferences(before, frames);
        nowBus.sum(firstFrame - lagFrames - 1, frames + 2 * lagFrames + 1, after);
        toDifferences(after, frames + 2 * lagFrames);
        search.add(before, after);
      }
    }
    LagSearch.Lag best = search.best();
    return best.correlation() >= LEAST_LIKENESS
        ? new Shift.Found(best.lagFrames(), best.correlation())
        : new Shift.Unlike(best.correlation());
  }

  /** First frames of the stretches, each about the highest window of its part, inside the range. */
  private static long[] stretches(Summary summary, int frames) {
    WindowGrid grid = summary.grid();
    double[] peaks = summary.windowPeaks();
    int parts = Math.min(STRETCHES, grid.windows());
    long[] firstFrames = new long[parts];
    for (int part = 0; part < parts; part++) {
      int highest = (int) ((long) grid.windows() * part / parts);
      int end = (int) ((long) grid.windows() * (part + 1) / parts);
      for (int j = highest + 1; j < end; j++) {
        highest = peaks[j] > peaks[highest] ? j : highest;
      }
      long middle = (grid.firstFrame(highest) + grid.endFrame(highest)) / 2;
      long last = grid.range().endFrame() - frames;
      firstFrames[part] = Math.max(grid.range().firstFrame(), Math.min(last, middle - frames / 2));
    }
    return Arrays.stream(firstFrames).distinct().toArray();
  }

  /** {@code x[n] = x[n + 1] − x[n]}, for the first {@code frames} frames. */
  private static void toDifferences(double[][] x, int frames) {
    for (double[] channel : x) {
      for (int n = 0; n < frames; n++) {
        channel[n] = channel[n + 1] - channel[n];
      }
    }
  }
}
