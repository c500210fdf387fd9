package cairn.collisions.signal;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.Executor;
import java.util.concurrent.RejectedExecutionException;
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
    Objects.requireNonNull(executor, "executor");
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
   * the others stop after their task at hand. An executor that is busy or refuses only means fewer
   * workers, so the caller may itself run on it. No task: nobody is hired.
   *
   * @throws IOException if a worker threw it
   * @throws CancellationException if a worker threw it
   */
  public void share(int tasks, Hiring hiring) throws IOException {
    if (tasks == 0) {
      return;
    }
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
    List<Hand> others = new ArrayList<>();
    for (int i = 1; i < hands; i++) {
      AtomicBoolean taken = new AtomicBoolean();
      Runnable once =
          () -> {
            if (taken.compareAndSet(false, true)) {
              run.run();
            }
          };
      try {
        others.add(new Hand(taken, CompletableFuture.runAsync(once, executor)));
      } catch (RejectedExecutionException e) {
        // Fewer workers do the same work.
        break;
      }
    }
    Throwable failure = null;
    try {
      run.run();
    } catch (RuntimeException | Error e) {
      failure = e;
    }
    for (Hand other : others) {
      if (other.taken.compareAndSet(false, true)) {
        // The executor had no thread free for it, and no task is left: nothing to wait for.
        continue;
      }
      try {
        other.done.join();
      } catch (CompletionException e) {
        failure = failure == null ? e.getCause() : failure;
      }
    }
    rethrow(failure);
  }

  /**
   * A worker handed to the executor.
   *
   * @param taken set by whoever comes first: the worker as it begins, or the caller, who is through
   *     and calls it off
   * @param done ends with the worker
   */
  private record Hand(AtomicBoolean taken, CompletableFuture<Void> done) {}

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
