package cairn.tui.effect;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;

/** Threads that never keep the program from ending. */
public final class Workers {

  private Workers() {}

  /** Threads that read and sum. */
  public static ExecutorService pool(int workers) {
    return Executors.newFixedThreadPool(workers, task -> daemon(task, "cairn-worker"));
  }

  static Thread daemon(Runnable task, String name) {
    Thread thread = new Thread(task, name);
    thread.setDaemon(true);
    return thread;
  }
}
