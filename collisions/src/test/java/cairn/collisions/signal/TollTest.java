package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import cairn.collisions.port.Progress;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;

class TollTest {

  @Test
  void whatSeveralWorkersPayIsToldInRisingOrder() throws IOException {
    List<Long> told = new ArrayList<>();
    // Not a list for several threads: they must be told of one at a time.
    Toll toll = new Toll((step, done, total) -> told.add(done), Progress.Step.SUM, 20_000);
    ExecutorService pool = Executors.newFixedThreadPool(3);
    try {
      new Crew(pool, 4).share(20_000, () -> task -> toll.pay(1));
    } finally {
      pool.shutdownNow();
    }
    assertEquals(LongStream.rangeClosed(1, 20_000).boxed().toList(), told);
  }

  @Test
  void falseFromWhoeverIsToldCancels() {
    Toll toll = new Toll((step, done, total) -> done < 3, Progress.Step.EXPLAIN, 10);
    toll.pay(2);
    assertThrows(CancellationException.class, () -> toll.pay(1));
  }
}
