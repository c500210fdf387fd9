package cairn.collisions.plan;

import cairn.collisions.Decibels;
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

  /** Blocks of each stretch that are compared, where block peaks alone were kept: 0.3 s. */
  private static final int COMPARED_BLOCKS = 64;

  /** Two block peaks are alike within 0.1 dB: what makes a moment lower, too. */
  private static final double ALIKE = Decibels.toFactor(0.1);

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
    checkRate(earlier.session().sampleRateHz(), rate);
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

  /**
   * The same where of the earlier pass only the peaks of its blocks were kept: the shift at which
   * the peaks of the later bus, in some of the very same blocks, differ least from those kept.
   * Exact to the frame where most of them stayed.
   *
   * @param now the later stems, at the same sample rate
   * @param source its stems
   * @return {@link Shift.Assumed} where no peaks were kept
   */
  public static Shift find(EarlierPass earlier, Session now, StemSource source) throws IOException {
    checkRate(earlier.sampleRateHz(), now.sampleRateHz());
    if (earlier.blockPeaks().isEmpty()) {
      return new Shift.Assumed();
    }
    PeakTrack kept = earlier.blockPeaks().get();
    Summary layout = Summary.ofSilence(earlier.grid(), earlier.sampleRateHz());
    if (kept.size() != layout.blocks()) {
      throw new IllegalArgumentException(
          "blockPeaks must be as many as the blocks: blockPeaks="
              + kept.size()
              + ", blocks="
              + layout.blocks());
    }
    int reach = MOST_SECONDS * earlier.sampleRateHz();
    PeaksAbout about = new PeaksAbout(kept, layout, -reach, 2 * reach + 1);
    try (MixDown mixDown = new MixDown(now, source.openReader())) {
      about.compare(mixDown);
    }
    int best = about.best();
    double likeness = (double) about.alike[best] / about.compared;
    return likeness >= LEAST_LIKENESS
        ? new Shift.Found(best - reach, likeness)
        : new Shift.Unlike(likeness);
  }

  /**
   * What {@link #find(EarlierPass, Session, StemSource)} looks at of block peaks, all others
   * silent: enough to keep of an earlier pass.
   */
  public static PeakTrack compared(PeakTrack blockPeaks) {
    double[] some = new double[blockPeaks.size()];
    for (int first : blocksToCompare(blockPeaks)) {
      for (int i = first; i < Math.min(some.length, first + COMPARED_BLOCKS); i++) {
        some[i] = blockPeaks.at(i);
      }
    }
    return PeakTrack.of(some);
  }

  private static void checkRate(int earlierHz, int nowHz) {
    if (earlierHz != nowHz) {
      throw new IllegalArgumentException(
          "sample rates must be the same: earlier=" + earlierHz + ", now=" + nowHz);
    }
  }

  /** How kept block peaks compare with those of a bus at each of some shifts in a row. */
  private static final class PeaksAbout {
    private final PeakTrack kept;
    private final Summary layout;
    final long firstShift;
    final double[] differences;
    final int[] alike;
    int compared;

    PeaksAbout(PeakTrack kept, Summary layout, long firstShift, int shifts) {
      this.kept = kept;
      this.layout = layout;
      this.firstShift = firstShift;
      differences = new double[shifts];
      alike = new int[shifts];
    }

    void compare(MixDown mixDown) throws IOException {
      for (int first : blocksToCompare(kept)) {
        int end = Math.min(kept.size(), first + COMPARED_BLOCKS);
        long from = layout.blockFirstFrame(first) + firstShift;
        int frames =
            Math.toIntExact(
                layout.blockEndFrame(end - 1) + firstShift + differences.length - 1 - from);
        double[][] bus = Block.stereo(frames);
        double[] levels = new double[frames];
        mixDown.sum(from, frames, bus);
        Block.levels(levels, bus, 0, frames);
        int slid = 0;
        double[] peaks = levels;
        for (int i = first; i < end; i++) {
          int length = (int) (layout.blockEndFrame(i) - layout.blockFirstFrame(i));
          if (length != slid) {
            peaks = slidingPeaks(levels, length);
            slid = length;
          }
          int at = (int) (layout.blockFirstFrame(i) - layout.blockFirstFrame(first));
          for (int s = 0; s < differences.length; s++) {
            double peak = peaks[at + s];
            boolean isAlike = peak <= kept.at(i) * ALIKE && kept.at(i) <= peak * ALIKE;
            alike[s] += isAlike ? 1 : 0;
            differences[s] += isAlike ? differenceOfAlike(peak, kept.at(i)) : 1;
          }
        }
        compared += end - first;
      }
    }

    /**
     * From 0 to 1, where they are 0.1 dB apart. What differs by more was changed, and by how much
     * says nothing of the shift: hits that were moved, all the highest of a song perhaps, would
     * pull it their way.
     */
    private static double differenceOfAlike(double peak, double kept) {
      return peak == kept ? 0 : Math.abs(peak - kept) / (kept * (ALIKE - 1));
    }

    /** The place of the least difference; of several the shortest shift. */
    int best() {
      int best = 0;
      for (int s = 1; s < differences.length; s++) {
        boolean shorter = Math.abs(firstShift + s) < Math.abs(firstShift + best);
        if (differences[s] < differences[best]
            || (differences[s] == differences[best] && shorter)) {
          best = s;
        }
      }
      return best;
    }
  }

  /**
   * {@code max(p[i .. i + width − 1])} for every {@code i} from which so many are left: running
   * maxima backwards and forwards in stretches of that width (van Herk 1992, from memory).
   */
  private static double[] slidingPeaks(double[] p, int width) {
    double[] forwards = new double[p.length];
    double[] backwards = new double[p.length];
    for (int i = 0; i < p.length; i++) {
      forwards[i] = i % width == 0 ? p[i] : Math.max(forwards[i - 1], p[i]);
    }
    for (int i = p.length - 1; i >= 0; i--) {
      boolean starts = i == p.length - 1 || (i + 1) % width == 0;
      backwards[i] = starts ? p[i] : Math.max(backwards[i + 1], p[i]);
    }
    double[] peaks = new double[p.length - width + 1];
    for (int i = 0; i < peaks.length; i++) {
      peaks[i] = Math.max(backwards[i], forwards[i + width - 1]);
    }
    return peaks;
  }

  /** First blocks of stretches to compare, one in each part of the song, at its highest block. */
  private static int[] blocksToCompare(PeakTrack kept) {
    int parts = Math.min(STRETCHES, kept.size());
    int[] first = new int[parts];
    for (int part = 0; part < parts; part++) {
      int highest = (int) ((long) kept.size() * part / parts);
      int end = (int) ((long) kept.size() * (part + 1) / parts);
      for (int i = highest + 1; i < end; i++) {
        highest = kept.at(i) > kept.at(highest) ? i : highest;
      }
      first[part] =
          Math.max(0, Math.min(kept.size() - COMPARED_BLOCKS, highest - COMPARED_BLOCKS / 2));
    }
    return Arrays.stream(first).distinct().toArray();
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
