package cairn.collisions.signal;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * Workers that share numbered tasks. Every task writes its own places, so that the result does not
 * depend on who did it or when.
 *
 * @param executor runs all workers but one, which is the caller's own thread
 * @param workers number of workers, at least 1
 */
public record Crew(Executor executor, int workers) {

  public Crew {
    if (workers < 1) {
      throw new IllegalArgumentException("workers must be >= 1: workers=" + workers);
    }
  }

  /** One worker on the caller's thread. */
  public static final Crew ALONE = new Crew(Runnable::run, 1);

  /** Does one task after another, each with its number. */
  @FunctionalInterface
  public interface Worker extends AutoCloseable {
    /** Does one task. */
    void work(int task) throws IOException;

    @Override
    default void close() throws IOException {}
  }

  /** Makes a worker, on the thread that it will work on. */
  @FunctionalInterface
  public interface Hiring {
    /** Makes a worker. */
    Worker hire() throws IOException;
  }

  /**
   * Does tasks 0 to {@code tasks − 1}, lower numbers begun first. The first failure ends the work:
   * the others stop after their task at hand.
   *
   * @throws IOException if a worker threw it
   * @throws CancellationException if a worker threw it
   */
  public void share(int tasks, Hiring hiring) throws IOException {
    AtomicInteger next = new AtomicInteger();
    AtomicBoolean failed = new AtomicBoolean();
    Runnable run =
        () -> {
          try (Worker worker = hiring.hire()) {
            for (int task = next.getAndIncrement();
                task < tasks && !failed.get();
                task = next.getAndIncrement()) {
              worker.work(task);
            }
          } catch (IOException e) {
            failed.set(true);
            throw new UncheckedIOException(e);
          } catch (Throwable e) {
            failed.set(true);
            throw e;
          }
        };
    int hands = Math.min(workers, tasks);
    List<CompletableFuture<Void>> others = new ArrayList<>();
    for (int i = 1; i < hands; i++) {
      others.add(CompletableFuture.runAsync(run, executor));
    }
    Throwable failure = null;
    try {
      run.run();
    } catch (RuntimeException | Error e) {
      failure = e;
    }
    for (CompletableFuture<Void> other : others) {
      try {
        other.join();
      } catch (CompletionException e) {
        failure = failure == null ? e.getCause() : failure;
      }
    }
    rethrow(failure);
  }

  private static void rethrow(Throwable failure) throws IOException {
    if (failure instanceof UncheckedIOException e) {
      throw e.getCause();
    }
    if (failure instanceof RuntimeException e) {
      throw e;
    }
    if (failure instanceof Error e) {
      throw e;
    }
  }
}
