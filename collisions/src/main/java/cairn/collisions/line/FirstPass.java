package cairn.collisions.line;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;

/** Reads all stems once, streamed, and keeps a {@link Summary}; memory does not grow with them. */
public final class FirstPass {

  /** Tasks for each worker: few, so that each reads a long stretch forwards. */
  private static final int TASKS_PER_WORKER = 4;

  private FirstPass() {}

  /**
   * What stays of the pass.
   *
   * @param summary peaks and energies
   * @param loudness what was metered along; empty if nothing was
   */
  public record Measured(Summary summary, Optional<LoudnessSummary> loudness) {}

  /**
   * Sums the stems over the grid's range and meters them along.
   *
   * @param frames frames to read at a time, rounded up to whole summary blocks, at most a window
   * @param mode what the levels of bus and stems are read from
   * @param metering what to meter; anything but nothing needs a rate that the weighting covers
   */
  public static Measured run(
      Session session,
      StemSource source,
      WindowGrid grid,
      int frames,
      PeakMode mode,
      Metering metering,
      Crew crew,
      Progress progress)
      throws IOException {
    int stems = session.stems().size();
    Summary summary = new Summary(grid, session.sampleRateHz(), stems);
    LoudnessMeters meters = LoudnessMeters.of(session, grid, Levels.of(mode), metering);
    int segments = meters.segments();
    int tasks = Math.min(segments, crew.workers() * TASKS_PER_WORKER);
    double[] taskPeak = new double[tasks];
    long[] taskPeakFrame = new long[tasks];
    Toll toll = new Toll(progress, Progress.Step.SUM, grid.range().frames() * stems);
    crew.share(
        tasks,
        () ->
            new Worker(session, source, summary, frames, Levels.of(mode), meters, toll) {
              @Override
              public void work(int task) throws IOException {
                sum(
                    (int) ((long) segments * task / tasks),
                    (int) ((long) segments * (task + 1) / tasks));
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
    return new Measured(summary, meters.summary(summary));
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
    private final Levels reading;
    private final int reach;
    private final LoudnessMeters meters;
    private final LoudnessMeters.Tap tap;
    private final Toll toll;
    double peak;
    long peakFrame;

    Worker(
        Session session,
        StemSource source,
        Summary summary,
        int frames,
        Levels reading,
        LoudnessMeters meters,
        Toll toll)
        throws IOException {
      this.summary = summary;
      this.reading = reading;
      reach = reading.reach();
      this.meters = meters;
      tap = meters.tap();
      this.toll = toll;
      grid = summary.grid();
      int blockFrames = summary.blockFrames();
      // No piece crosses a window's edge, so none is longer than the longest window.
      long longest = Math.min(frames, grid.longestFrames());
      pieceFrames = Math.toIntExact((longest + blockFrames - 1) / blockFrames * blockFrames);
      mixDown = new MixDown(session, source.openReader());
      bus = Block.stereo(pieceFrames + 2 * reach);
      levels = new double[pieceFrames + 2 * reach];
      stemPeak = new double[session.stems().size()];
    }

    /** Sums the windows of segments {@code [first, end)}. */
    final void sum(int first, int end) throws IOException {
      peak = -1;
      warmUp(first, end);
      for (int j = meters.firstWindow(first); j < meters.firstWindow(end); j++) {
        Arrays.fill(stemPeak, 0);
        tap.beginWindow();
        sumWindow(j);
        for (int k = 0; k < stemPeak.length; k++) {
          // The mix-down's peaks take in what lies about the window too.
          summary.stemWindowPeak[k][j] = reach > 0 ? tap.windowPeak(k) : stemPeak[k];
        }
      }
      tap.finish();
    }

    /** Lets the filters hear what comes before the first segment. */
    private void warmUp(int first, int end) throws IOException {
      long edge = grid.firstFrame(meters.firstWindow(first));
      for (long from = tap.begin(first, end); from < edge; from += pieceFrames) {
        int length = (int) Math.min(pieceFrames, edge - from);
        sumPiece(from, length);
      }
      tap.warmedUp();
    }

    /**
     * Writes {@code bus[0 : 2]}, {@code length} frames and as many on either side as levels reach.
     */
    private void sumPiece(long from, int length) throws IOException {
      int frames = length + 2 * reach;
      tap.at(from - reach);
      mixDown.sum(from - reach, frames, bus, stemPeak, tap);
      if (reach > 0) {
        // What is outside the range is silence.
        TimeRange range = grid.range();
        Block.clear(bus, 0, clip(range.firstFrame() - (from - reach), frames));
        Block.clear(bus, clip(range.endFrame() - (from - reach), frames), frames);
      }
      tap.takeBus(bus, reach, reach + length);
    }

    private static int clip(long at, int frames) {
      return (int) Math.max(0, Math.min(frames, at));
    }

    private void sumWindow(int j) throws IOException {
      int blockFrames = summary.blockFrames();
      int block = summary.firstBlock(j);
      double windowPeak = 0;
      double energy = 0;
      for (long from = grid.firstFrame(j); from < grid.endFrame(j); from += pieceFrames) {
        int length = (int) Math.min(pieceFrames, grid.endFrame(j) - from);
        sumPiece(from, length);
        int end = reach + length;
        reading.levels(levels, bus, reach, end);
        for (int at = reach; at < end; at += blockFrames) {
          int to = Math.min(end, at + blockFrames);
          double blockPeak = Block.peak(levels, at, to);
          energy += Block.energy(bus, at, to);
          summary.blockPeak[block++] = blockPeak;
          windowPeak = Math.max(windowPeak, blockPeak);
          if (blockPeak > peak) {
            peak = blockPeak;
            peakFrame = from - reach + Block.firstAt(levels, blockPeak, at, to);
          }
        }
        toll.pay((long) length * stemPeak.length);
      }
      toll.summed(grid.firstFrame(j), blockFrames, summary.blockPeak, summary.firstBlock(j), block);
      summary.windowPeak[j] = windowPeak;
      summary.windowEnergy[j] = energy;
    }

    @Override
    public void close() throws IOException {
      mixDown.close();
    }
  }
}
