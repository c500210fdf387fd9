package cairn.tui.command;

import cairn.collisions.port.Progress;
import java.io.PrintWriter;
import java.util.Locale;

/** A bar on one line of the terminal, with throughput and time left; drawn ten times a second. */
final class ProgressBar implements Progress {

  private static final int WIDTH = 24;
  private static final long EVERY_NANOS = 100_000_000;

  private final PrintWriter err;
  private final long inputBytes;
  private Step step;
  private long startNanos;
  private long lastNanos;
  private boolean drawn;

  /**
   * @param inputBytes size of all stem files, for the throughput
   */
  ProgressBar(PrintWriter err, long inputBytes) {
    this.err = err;
    this.inputBytes = inputBytes;
  }

  @Override
  public synchronized boolean told(Step now, long done, long total) {
    long nanos = System.nanoTime();
    if (now != step) {
      step = now;
      startNanos = nanos;
      lastNanos = nanos;
    }
    if (nanos - lastNanos >= EVERY_NANOS) {
      lastNanos = nanos;
      err.print("\r\u001B[K" + line(now, done, total, (nanos - startNanos) / 1e9));
      err.flush();
      drawn = true;
    }
    return true;
  }

  private String line(Step now, long done, long total, double seconds) {
    double part = total > 0 ? Math.min(1, (double) done / total) : 0;
    int full = (int) (part * WIDTH);
    String text =
        String.format(
            Locale.ROOT,
            "%s [%s%s] %3.0f %%",
            words(now),
            "#".repeat(full),
            ".".repeat(WIDTH - full),
            100 * part);
    if (now == Step.SUM && seconds > 0) {
      text += String.format(Locale.ROOT, "  %.0f MB/s", inputBytes * part / 1e6 / seconds);
    }
    if (part > 0.02) {
      long left = Math.round(seconds / part * (1 - part));
      text += String.format(Locale.ROOT, "  %d:%02d left", left / 60, left % 60);
    }
    return text;
  }

  private static String words(Step step) {
    return switch (step) {
      case SUM -> "summing the stems";
      case EXPLAIN -> "explaining       ";
      case PLAN -> "planning         ";
      case WRITE -> "writing          ";
    };
  }

  /** Wipes the line. */
  synchronized void clear() {
    if (drawn) {
      err.print("\r\u001B[K");
      err.flush();
      drawn = false;
    }
  }
}
