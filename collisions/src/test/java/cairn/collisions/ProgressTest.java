package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.Line;
import cairn.collisions.port.Progress;
import cairn.collisions.port.Progress.Step;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** What an analysis tells while it runs, and how it ends when it may not run to the end. */
@Timeout(60)
class ProgressTest {

  private static final Settings LOW = Settings.DEFAULT.withLine(new Line.Level(-12));

  private final ExecutorService pool = Executors.newFixedThreadPool(4);

  /** 10 s at 8 kHz with a moment every 0.4 s. */
  private final ArrayStems stems =
      new ArrayStems(8_000)
          .mono("kick", 80_000, n -> n % 3_200 == 100 ? 0.5 : 0.001)
          .mono("surdo", 80_000, n -> n % 6_400 == 100 ? 0.25 : 0);

  private record Told(Step step, long done, long total) {}

  @AfterEach
  void closePool() {
    pool.shutdownNow();
  }

  private Pass run(StemSource source, int workers, Progress progress)
      throws IOException, Unanalysable {
    return new Analysis(stems.session(), source, new Crew(pool, workers), progress, 480).run(LOW);
  }

  @Test
  void progressRisesToItsTotalInEveryStep() throws IOException, Unanalysable {
    for (int workers : new int[] {1, 2, 5}) {
      List<Told> told = new ArrayList<>();
      Progress progress = (step, done, total) -> told.add(new Told(step, done, total));
      assertEquals(25, run(stems, workers, progress).moments().size());
      for (Step step : List.of(Step.SUM, Step.EXPLAIN)) {
        List<Told> of = told.stream().filter(t -> t.step() == step).toList();
        assertTrue(of.size() > 25, step + " was told " + of.size() + " times");
        long total = of.get(0).total();
        long before = 0;
        for (Told t : of) {
          assertEquals(total, t.total(), "the total of " + step + " stays");
          assertTrue(t.done() >= before, step + " fell from " + before + " to " + t.done());
          before = t.done();
        }
        assertEquals(total, before, step + " comes to its end");
      }
      // Two stems of 80000 frames.
      assertEquals(160_000, told.get(0).total());
      assertEquals(Step.EXPLAIN, told.get(told.size() - 1).step());
    }
  }

  @Test
  void everyBlockOfTheBusIsToldOnceWithItsLevel() throws IOException, Unanalysable {
    for (int workers : new int[] {1, 2, 5}) {
      double[] told = new double[80_000];
      Arrays.fill(told, -1);
      int[] stretches = new int[1];
      Pass pass =
          run(
              stems,
              workers,
              new Progress() {
                @Override
                public boolean told(Step step, long done, long total) {
                  return true;
                }

                @Override
                public void summed(
                    long firstFrame, int blockFrames, double[] peaks, int from, int end) {
                  stretches[0]++;
                  for (int i = from; i < end; i++) {
                    int frame = Math.toIntExact(firstFrame + (long) (i - from) * blockFrames);
                    assertEquals(-1, told[frame], "told twice: frame " + frame);
                    told[frame] = peaks[i];
                  }
                }
              });
      // 10 s in windows of half a second.
      assertEquals(20, stretches[0]);
      for (int i = 0; i < pass.summary().blocks(); i++) {
        int frame = Math.toIntExact(pass.summary().blockFirstFrame(i));
        assertEquals(pass.summary().blockPeak(i), told[frame], "block " + i);
      }
    }
  }

  @Test
  void withoutAMomentThereIsNothingToExplain() throws IOException, Unanalysable {
    List<Told> told = new ArrayList<>();
    Progress progress = (step, done, total) -> told.add(new Told(step, done, total));
    new Analysis(stems.session(), stems, Crew.ALONE, progress)
        .run(Settings.DEFAULT.withLine(new Line.Level(6)));
    assertTrue(told.stream().allMatch(t -> t.step() == Step.SUM && t.total() > 0));
  }

  @Test
  void itMayBeCancelledAtAnyCall() throws IOException, Unanalysable {
    AtomicInteger calls = new AtomicInteger();
    run(stems, 1, (step, done, total) -> calls.incrementAndGet() > 0);
    int all = calls.get();
    for (int at = 1; at <= all; at += 7) {
      int last = at;
      for (int workers : new int[] {1, 3}) {
        calls.set(0);
        assertThrows(
            CancellationException.class,
            () -> run(stems, workers, (step, done, total) -> calls.incrementAndGet() < last),
            "at call " + at + " of " + all);
      }
      calls.set(0);
      assertThrows(
          CancellationException.class,
          () -> run(stems, 1, (step, done, total) -> calls.incrementAndGet() < last));
      assertEquals(last, calls.get(), "nothing is told after the cancellation");
    }
  }

  @Test
  void aLongMomentMayBeCancelledWhileItIsExplained() {
    ArrayStems tone = new ArrayStems(48_000).mono("siren", 480_000, n -> n % 2 == 0 ? 0.5 : -0.5);
    List<Told> told = new ArrayList<>();
    // All stretches are scanned at half of the total; the one moment is told as done at its end.
    Progress progress =
        (step, done, total) -> {
          told.add(new Told(step, done, total));
          return step == Step.SUM || done < total / 2 || told.size() % 100 != 0;
        };
    assertThrows(
        CancellationException.class,
        () -> new Analysis(tone.session(), tone, Crew.ALONE, progress).run(LOW));
    Told last = told.get(told.size() - 1);
    assertEquals(last.total() / 2, last.done());
    long atHalf =
        told.stream().filter(t -> t.step() == Step.EXPLAIN && t.done() == last.done()).count();
    assertTrue(atHalf > 1, "told while the moment is explained");
  }

  /** Holds the caller back at its first read until another thread has come to its own. */
  private StemSource afterAnother(CountDownLatch other, IOException failure) {
    Thread caller = Thread.currentThread();
    return () -> {
      StemReader reader = stems.openReader();
      return new StemReader() {
        @Override
        public void read(int stem, long firstFrame, int frames, double[][] into, int at)
            throws IOException {
          if (Thread.currentThread() == caller) {
            await(other);
          } else {
            other.countDown();
            if (failure != null) {
              throw failure;
            }
          }
          reader.read(stem, firstFrame, frames, into, at);
        }

        @Override
        public void close() throws IOException {
          reader.close();
        }
      };
    };
  }

  private static void await(CountDownLatch latch) {
    try {
      assertTrue(latch.await(30, TimeUnit.SECONDS), "no other worker came");
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  @Test
  void aCancellationFromAnotherThreadEndsAllOfIt() {
    Thread caller = Thread.currentThread();
    List<Thread> refused = new ArrayList<>();
    Progress progress =
        (step, done, total) -> {
          if (Thread.currentThread() != caller) {
            refused.add(Thread.currentThread());
          }
          return Thread.currentThread() == caller;
        };
    assertThrows(
        CancellationException.class,
        () -> run(afterAnother(new CountDownLatch(1), null), 2, progress));
    assertEquals(1, refused.size());
    assertNotEquals(caller, refused.get(0));
  }

  @Test
  void aReadThatFailsInAnotherThreadSurfacesAsItself() {
    IOException broken = new IOException("'surdo.wav' ends at sample 7");
    assertSame(
        broken,
        assertThrows(
            IOException.class,
            () -> run(afterAnother(new CountDownLatch(1), broken), 2, Progress.NONE)));
  }

  @Test
  void aReadThatFailsSurfacesFromEveryStep() {
    // Two stems, and 20 windows in 8 reads each: 320. One stretch of 77000 frames is scanned in 10
    // reads, then come 25 moments of one read each: up to 340 and up to 390.
    for (int failing : new int[] {1, 100, 330, 380}) {
      for (int workers : new int[] {1, 5}) {
        assertEquals(
            "read " + failing,
            assertThrows(IOException.class, () -> run(failingAt(failing), workers, Progress.NONE))
                .getMessage());
      }
    }
  }

  private StemSource failingAt(int failing) {
    AtomicInteger reads = new AtomicInteger();
    return () -> {
      StemReader reader = stems.openReader();
      return new StemReader() {
        @Override
        public void read(int stem, long firstFrame, int frames, double[][] into, int at)
            throws IOException {
          if (reads.incrementAndGet() == failing) {
            throw new IOException("read " + failing);
          }
          reader.read(stem, firstFrame, frames, into, at);
        }

        @Override
        public void close() throws IOException {
          reader.close();
        }
      };
    };
  }

  @Test
  void everyReaderIsClosedWhateverHappens() throws IOException, Unanalysable {
    AtomicInteger open = new AtomicInteger();
    AtomicInteger opened = new AtomicInteger();
    StemSource counted =
        () -> {
          StemReader reader = stems.openReader();
          open.incrementAndGet();
          opened.incrementAndGet();
          return new StemReader() {
            @Override
            public void read(int stem, long firstFrame, int frames, double[][] into, int at)
                throws IOException {
              reader.read(stem, firstFrame, frames, into, at);
            }

            @Override
            public void close() throws IOException {
              open.decrementAndGet();
              reader.close();
            }
          };
        };
    run(counted, 5, Progress.NONE);
    assertTrue(opened.get() >= 3, "one for each of three steps at least");
    assertEquals(0, open.get());
    assertThrows(
        CancellationException.class,
        () -> run(counted, 5, (step, done, total) -> step == Step.SUM));
    assertEquals(0, open.get());
  }

  @Test
  void blocksOfNoFramesAreRefused() {
    assertEquals(
        "readFrames must be >= 1: readFrames=0",
        assertThrows(
                IllegalArgumentException.class,
                () -> new Analysis(stems.session(), stems, Crew.ALONE, Progress.NONE, 0))
            .getMessage());
  }
}
