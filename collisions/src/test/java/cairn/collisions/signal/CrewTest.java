package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicIntegerArray;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

@Timeout(30)
class CrewTest {

  private final ExecutorService pool = Executors.newFixedThreadPool(4);

  @AfterEach
  void closePool() {
    pool.shutdownNow();
  }

  @Test
  void everyTaskIsDoneOnce() throws IOException {
    for (int workers : new int[] {1, 2, 5, 200}) {
      AtomicIntegerArray done = new AtomicIntegerArray(100);
      new Crew(pool, workers).share(100, () -> done::incrementAndGet);
      for (int task = 0; task < 100; task++) {
        assertEquals(1, done.get(task), "task " + task + " of a crew of " + workers);
      }
    }
  }

  @Test
  void oneWorkerDoesTasksInOrderAndIsClosed() throws IOException {
    List<Integer> seen = new ArrayList<>();
    Crew.ALONE.share(
        3,
        () ->
            new Crew.Worker() {
              @Override
              public void work(int task) {
                seen.add(task);
              }

              @Override
              public void close() {
                seen.add(-1);
              }
            });
    assertEquals(List.of(0, 1, 2, -1), seen);
  }

  @Test
  void withoutATaskNobodyIsHired() throws IOException {
    new Crew(pool, 3).share(0, () -> fail("hired"));
  }

  @Test
  void noMoreWorkersAreHiredThanThereAreTasks() throws IOException {
    AtomicInteger hired = new AtomicInteger();
    new Crew(Runnable::run, 9)
        .share(
            2,
            () -> {
              hired.incrementAndGet();
              return task -> {};
            });
    assertTrue(hired.get() <= 2, "hired " + hired);
  }

  @Test
  void anIOExceptionOfAnotherWorkerSurfacesAsItself() {
    IOException broken = new IOException("'surdo.wav' ends early");
    assertSame(broken, assertThrows(IOException.class, () -> failElsewhere(broken)));
  }

  @Test
  void aCancellationByAnotherWorkerSurfacesAsItself() {
    CancellationException cancelled = new CancellationException("cancelled");
    assertSame(
        cancelled, assertThrows(CancellationException.class, () -> failElsewhere(cancelled)));
  }

  @Test
  void anErrorOfAnotherWorkerSurfacesAsItself() {
    AssertionError error = new AssertionError("broken");
    assertSame(error, assertThrows(AssertionError.class, () -> failElsewhere(error)));
  }

  /** The caller's worker waits at its first task until another one has failed. */
  private void failElsewhere(Throwable failure) throws IOException {
    Thread caller = Thread.currentThread();
    CountDownLatch failed = new CountDownLatch(1);
    new Crew(pool, 2)
        .share(
            2,
            () ->
                task -> {
                  if (Thread.currentThread() == caller) {
                    await(failed);
                    return;
                  }
                  failed.countDown();
                  sneak(failure);
                });
  }

  private static void sneak(Throwable failure) throws IOException {
    if (failure instanceof IOException e) {
      throw e;
    }
    if (failure instanceof RuntimeException e) {
      throw e;
    }
    throw (Error) failure;
  }

  @Test
  void aFailureToHireSurfaces() {
    IOException gone = new IOException("'surdo.wav' is gone");
    assertSame(
        gone,
        assertThrows(
            IOException.class,
            () ->
                new Crew(pool, 2)
                    .share(
                        2,
                        () -> {
                          throw gone;
                        })));
  }

  @Test
  void afterAFailureNoFurtherTaskIsBegun() {
    List<Integer> begun = new ArrayList<>();
    assertThrows(
        IOException.class,
        () ->
            Crew.ALONE.share(
                10,
                () ->
                    task -> {
                      begun.add(task);
                      if (task == 3) {
                        throw new IOException("no more");
                      }
                    }));
    assertEquals(List.of(0, 1, 2, 3), begun);
  }

  @Test
  void aCallerOnTheOnlyThreadOfTheExecutorDoesTheWorkItself() throws Exception {
    ExecutorService single = Executors.newSingleThreadExecutor();
    try {
      int[] done = new int[8];
      Future<?> future =
          single.submit(
              () -> {
                new Crew(single, 4).share(8, () -> task -> done[task]++);
                return null;
              });
      future.get(20, TimeUnit.SECONDS);
      assertArrayEquals(new int[] {1, 1, 1, 1, 1, 1, 1, 1}, done);
    } finally {
      single.shutdownNow();
    }
  }

  @Test
  void anExecutorThatRefusesLeavesTheWorkToTheCaller() throws IOException {
    int[] done = new int[3];
    new Crew(
            run -> {
              throw new RejectedExecutionException("shut down");
            },
            4)
        .share(3, () -> task -> done[task]++);
    assertArrayEquals(new int[] {1, 1, 1}, done);
  }

  @Test
  void aCrewHasAtLeastOneWorker() {
    assertEquals(
        "workers must be >= 1: workers=0",
        assertThrows(IllegalArgumentException.class, () -> new Crew(pool, 0)).getMessage());
  }

  private static void await(CountDownLatch latch) {
    try {
      assertTrue(latch.await(20, TimeUnit.SECONDS), "the other worker never came");
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }
}
