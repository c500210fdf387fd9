package cairn.collisions.line;

import java.util.Arrays;

/**
 * All that stays of the first pass: exact peaks of the bus for short blocks, its energy and the
 * peaks of every stem for each window. Its size grows with the length of the song, not with the
 * size of the stems: 16 bytes a block of about 5.3 ms.
 *
 * <p>No block crosses a window's edge, so a window's peak is exactly the largest of its blocks'.
 */
public final class Summary {

  private final WindowGrid grid;
  private final int blockFrames;
  private final int[] firstBlock;
  final double[] blockPeak;
  final double[] windowPeak;
  final double[] windowEnergy;
  final double[][] stemWindowPeak;
  private double peak;
  private long peakFrame;

  Summary(WindowGrid grid, int sampleRateHz, int stems) {
    this.grid = grid;
    blockFrames = blockFrames(sampleRateHz);
    int windows = grid.windows();
    firstBlock = new int[windows + 1];
    for (int j = 0; j < windows; j++) {
      long frames = grid.endFrame(j) - grid.firstFrame(j);
      firstBlock[j + 1] = Math.toIntExact(firstBlock[j] + (frames + blockFrames - 1) / blockFrames);
    }
    blockPeak = new double[firstBlock[windows]];
    windowPeak = new double[windows];
    windowEnergy = new double[windows];
    stemWindowPeak = new double[stems][windows];
  }

  /** A summary of silence: where the blocks of any bus with these windows lie. */
  public static Summary ofSilence(WindowGrid grid, int sampleRateHz) {
    return new Summary(grid, sampleRateHz, 0);
  }

  /**
   * A summary built back from its arrays; copies them.
   *
   * @param grid the windows
   * @param sampleRateHz sample rate in Hz, which sets the length of a block
   * @param blockPeaks largest {@code p} of each block, linear
   * @param windowEnergies {@code Σ b²} of each window over frames and channels
   * @param stemWindowPeaks window peaks of each stem on the bus, linear
   * @param peakFrame first frame at which {@code p} is largest
   * @throws IllegalArgumentException if they do not fit the grid, or are none that a sum could give
   */
  public static Summary of(
      WindowGrid grid,
      int sampleRateHz,
      double[] blockPeaks,
      double[] windowEnergies,
      double[][] stemWindowPeaks,
      long peakFrame) {
    Summary summary = new Summary(grid, sampleRateHz, stemWindowPeaks.length);
    copy("blockPeaks", blockPeaks, summary.blockPeak);
    copy("windowEnergies", windowEnergies, summary.windowEnergy);
    for (int k = 0; k < stemWindowPeaks.length; k++) {
      copy("stemWindowPeaks", stemWindowPeaks[k], summary.stemWindowPeak[k]);
    }
    int highest = 0;
    for (int j = 0; j < grid.windows(); j++) {
      for (int i = summary.firstBlock[j]; i < summary.firstBlock[j + 1]; i++) {
        summary.windowPeak[j] = Math.max(summary.windowPeak[j], blockPeaks[i]);
        highest = blockPeaks[i] > blockPeaks[highest] ? i : highest;
      }
    }
    if (peakFrame < summary.blockFirstFrame(highest)
        || peakFrame >= summary.blockEndFrame(highest)) {
      throw new IllegalArgumentException(
          "peakFrame must lie in the highest block, the first of several: peakFrame="
              + peakFrame
              + ", block="
              + highest);
    }
    summary.foundPeak(blockPeaks[highest], peakFrame);
    return summary;
  }

  private static void copy(String name, double[] from, double[] into) {
    if (from.length != into.length) {
      throw new IllegalArgumentException(
          name + " must be " + into.length + ": " + name + "=" + from.length);
    }
    for (int i = 0; i < into.length; i++) {
      if (!(from[i] >= 0 && from[i] <= Double.MAX_VALUE)) {
        throw new IllegalArgumentException(
            name + " must be finite and >= 0: [" + i + "]=" + from[i]);
      }
      into[i] = from[i];
    }
  }

  /** Length of a block: 256 frames at 48 kHz, as long in time at other rates. */
  static int blockFrames(int sampleRateHz) {
    return Math.max(16, (int) (256L * sampleRateHz / 48_000));
  }

  /** The windows. */
  public WindowGrid grid() {
    return grid;
  }

  int blockFrames() {
    return blockFrames;
  }

  /** First block of window {@code j}; of the number of windows: the number of blocks. */
  int firstBlock(int j) {
    return firstBlock[j];
  }

  void foundPeak(double level, long frame) {
    peak = level;
    peakFrame = frame;
  }

  /** The largest {@code p} of the bus, linear. */
  public double peak() {
    return peak;
  }

  /** The first frame at which {@code p} is largest. */
  public long peakFrame() {
    return peakFrame;
  }

  /** {@code w_j}, linear; a copy. */
  public double[] windowPeaks() {
    return windowPeak.clone();
  }

  /** {@code Σ b²} of each window over frames and channels; a copy. */
  public double[] windowEnergies() {
    return windowEnergy.clone();
  }

  /** The largest {@code p} of each block, linear; a copy. */
  public double[] blockPeaks() {
    return blockPeak.clone();
  }

  /** Number of stems. */
  public int stems() {
    return stemWindowPeak.length;
  }

  /** The window peaks of stem {@code k} on the bus, mute and solo left aside, linear; a copy. */
  public double[] stemWindowPeaks(int k) {
    return stemWindowPeak[k].clone();
  }

  /** The peak of stem {@code k} in window {@code j}, mute and solo left aside, linear. */
  public double stemWindowPeak(int k, int j) {
    return stemWindowPeak[k][j];
  }

  /** The largest level of stem {@code k}, mute and solo left aside, linear. */
  public double stemPeak(int k) {
    double largest = 0;
    for (double level : stemWindowPeak[k]) {
      largest = Math.max(largest, level);
    }
    return largest;
  }

  /** Number of blocks. */
  public int blocks() {
    return blockPeak.length;
  }

  /** The largest {@code p} of block {@code i}, linear, exact. */
  public double blockPeak(int i) {
    return blockPeak[i];
  }

  /** First frame of block {@code i}. */
  public long blockFirstFrame(int i) {
    int j = windowOfBlock(i);
    return grid.firstFrame(j) + (long) (i - firstBlock[j]) * blockFrames;
  }

  /** Frame after the last one of block {@code i}. */
  public long blockEndFrame(int i) {
    int j = windowOfBlock(i);
    return Math.min(
        grid.firstFrame(j) + (long) (i - firstBlock[j] + 1) * blockFrames, grid.endFrame(j));
  }

  /** The block that holds a frame of the grid's range. */
  public int blockOf(long frame) {
    int j = grid.windowOf(frame);
    return firstBlock[j] + (int) ((frame - grid.firstFrame(j)) / blockFrames);
  }

  private int windowOfBlock(int i) {
    int found = Arrays.binarySearch(firstBlock, i);
    return found >= 0 ? found : -found - 2;
  }
}
