package cairn.tui.command;

import cairn.collisions.port.Progress;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * Lets Ctrl-C, or a polite kill, cancel work that would else leave something half done: the process
 * ends once the work has cleaned up after itself, or after some seconds.
 */
final class Interruptible implements Progress, AutoCloseable {

  private static final int MOST_SECONDS = 10;

  private final Progress inner;
  private final CountDownLatch cleaned = new CountDownLatch(1);
  private final Thread hook = new Thread(this::cancel, "cairn-cancel");
  private volatile boolean cancelled;

  /**
   * @param inner is told as before
   */
  Interruptible(Progress inner) {
    this.inner = inner;
    Runtime.getRuntime().addShutdownHook(hook);
  }

  /** What the system runs at the end of the process. */
  void cancel() {
    cancelled = true;
    try {
      cleaned.await(MOST_SECONDS, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public boolean told(Step step, long done, long total) {
    return inner.told(step, done, total) && !cancelled;
  }

  /** The work has ended, one way or the other. */
  @Override
  public void close() {
    cleaned.countDown();
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      // The process is ending already: that is what was waited for.
    }
  }
}
