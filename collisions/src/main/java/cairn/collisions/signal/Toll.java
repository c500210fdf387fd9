package cairn.collisions.signal;

import cairn.collisions.port.Progress;
import java.util.concurrent.CancellationException;

/**
 * Counts the work done by all workers, tells it, and stops them when told to. Workers tell one at a
 * time, so that what is told never goes backwards.
 */
public final class Toll {

  private final Progress progress;
  private final Progress.Step step;
  private final long total;
  private long done;

  /**
   * @param total units of the whole step
   */
  public Toll(Progress progress, Progress.Step step, long total) {
    this.progress = progress;
    this.step = step;
    this.total = total;
  }

  /** Tells the levels of a stretch that was summed; see {@link Progress#summed}. */
  public synchronized void summed(
      long firstFrame, int blockFrames, double[] peaks, int from, int end) {
    progress.summed(firstFrame, blockFrames, peaks, from, end);
  }

  /**
   * Adds units done, 0 where only a cancellation is to be noticed.
   *
   * @throws CancellationException if the work is to stop
   */
  public synchronized void pay(long units) {
    done += units;
    if (!progress.told(step, done, total)) {
      throw new CancellationException("cancelled");
    }
  }
}
