package cairn.collisions.signal;

import cairn.collisions.port.Progress;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicLong;

/** Counts the work done by all workers, tells it, and stops them when told to. */
public final class Toll {

  private final Progress progress;
  private final Progress.Step step;
  private final long total;
  private final AtomicLong done = new AtomicLong();

  /**
   * @param total units of the whole step
   */
  public Toll(Progress progress, Progress.Step step, long total) {
    this.progress = progress;
    this.step = step;
    this.total = total;
  }

  /**
   * Adds units done.
   *
   * @throws CancellationException if the work is to stop
   */
  public void pay(long units) {
    long now = done.addAndGet(units);
    if (!progress.told(step, now, total)) {
      throw new CancellationException("cancelled");
    }
  }
}
