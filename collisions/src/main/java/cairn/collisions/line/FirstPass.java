package cairn.collisions.line;

import cairn.collisions.Session;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.Arrays;

/** Reads all stems once, streamed, and keeps a {@link Summary}; memory does not grow with them. */
public final class FirstPass {

  /** Tasks for each worker: few, so that each reads a long stretch forwards. */
  private static final int TASKS_PER_WORKER = 4;

  private FirstPass() {}

  /**
   * Sums the stems over the grid's range.
   *
   * @param frames frames to read at a time, rounded up to whole summary blocks, at most a window
   */
  public static Summary run(
      Session session, StemSource source, WindowGrid grid, int frames, Crew crew, Progress progress)
      throws IOException {
    int stems = session.stems().size();
    Summary summary = new Summary(grid, session.sampleRateHz(), stems);
    int windows = grid.windows();
    int tasks = Math.min(windows, crew.workers() * TASKS_PER_WORKER);
    double[] taskPeak = new double[tasks];
    long[] taskPeakFrame = new long[tasks];
    Toll toll = new Toll(progress, Progress.Step.SUM, grid.range().frames() * stems);
    crew.share(
        tasks,
        () ->
            new Worker(session, source, summary, frames, toll) {
              @Override
              public void work(int task) throws IOException {
                sum(
                    (int) ((long) windows * task / tasks),
                    (int) ((long) windows * (task + 1) / tasks));
                taskPeak[task] = peak;
                taskPeakFrame[task] = peakFrame;
              }
            });
    int highest = 0;
    for (int task = 1; task < tasks; task++) {
      // Strictly above: the first maximum wins, definitions.md, 3.
      highest = taskPeak[task] > taskPeak[highest] ? task : highest;
    }
    summary.foundPeak(taskPeak[highest], taskPeakFrame[highest]);
    return summary;
  }

  /** Sums some windows after each other. */
  private abstract static class Worker implements Crew.Worker {
    private final MixDown mixDown;
    private final Summary summary;
    private final WindowGrid grid;
    private final int pieceFrames;
    private final double[][] bus;
    private final double[] levels;
    private final double[] stemPeak;
    private final Toll toll;
    double peak;
    long peakFrame;

    Worker(Session session, StemSource source, Summary summary, int frames, Toll toll)
        throws IOException {
      this.summary = summary;
      this.toll = toll;
      grid = summary.grid();
      int blockFrames = summary.blockFrames();
      // No piece crosses a window's edge, so none is longer than the longest window.
      long longest = Math.min(frames, grid.longestFrames());
      pieceFrames = Math.toIntExact((longest + blockFrames - 1) / blockFrames * blockFrames);
      mixDown = new MixDown(session, source.openReader());
      bus = Block.stereo(pieceFrames);
      levels = new double[pieceFrames];
      stemPeak = new double[session.stems().size()];
    }

    /** Sums windows {@code [first, end)}. */
    final void sum(int first, int end) throws IOException {
      peak = -1;
      for (int j = first; j < end; j++) {
        Arrays.fill(stemPeak, 0);
        sumWindow(j);
        for (int k = 0; k < stemPeak.length; k++) {
          summary.stemWindowPeak[k][j] = stemPeak[k];
        }
      }
    }

    private void sumWindow(int j) throws IOException {
      int blockFrames = summary.blockFrames();
      int block = summary.firstBlock(j);
      double windowPeak = 0;
      double energy = 0;
      for (long from = grid.firstFrame(j); from < grid.endFrame(j); from += pieceFrames) {
        int length = (int) Math.min(pieceFrames, grid.endFrame(j) - from);
        mixDown.sum(from, length, bus, stemPeak);
        Block.levels(levels, bus, 0, length);
        for (int at = 0; at < length; at += blockFrames) {
          int to = Math.min(length, at + blockFrames);
          double blockPeak = Block.peak(levels, at, to);
          energy += Block.energy(bus, at, to);
          summary.blockPeak[block++] = blockPeak;
          windowPeak = Math.max(windowPeak, blockPeak);
          if (blockPeak > peak) {
            peak = blockPeak;
            peakFrame = from + Block.firstAt(levels, blockPeak, at, to);
          }
        }
        toll.pay((long) length * stemPeak.length);
      }
      summary.windowPeak[j] = windowPeak;
      summary.windowEnergy[j] = energy;
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }
}
