package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** What is left in a bounced mix when the fitted sum is taken away, stretch by stretch of 10 ms. */
final class PrintRest {

  /** Loudest stretches by which dynamics are told, and how much lower they must be. */
  private static final double LOUDEST = 0.02;

  private static final double LEAST_DOWN_DB = 0.2;

  private static final int TASK = 256;
  private static final int HALF_SECOND = 50;

  private final long from;
  private final int stretch;

  /** Power of the fitted sum. */
  private final double[] model;

  /** Its product with the mix. */
  private final double[] cross;

  /** Power of the mix. */
  private final double[] printed;

  /** Power of the difference. */
  private final double[] left;

  private PrintRest(long from, int stretch, int stretches) {
    this.from = from;
    this.stretch = stretch;
    model = new double[stretches];
    cross = new double[stretches];
    printed = new double[stretches];
    left = new double[stretches];
  }

  /** Measures {@code [from, to)} of the bus; {@code factors} are those of the stems. */
  static PrintRest of(
      Session session,
      StemSource source,
      PlacedPrint print,
      long from,
      long to,
      double[] factors,
      Crew crew,
      Progress progress)
      throws IOException {
    int stems = factors.length;
    int stretch = Math.max(1, session.sampleRateHz() / 100);
    int taskFrames = stretch * TASK;
    int tasks = Math.toIntExact((to - from + taskFrames - 1) / taskFrames);
    int stretches = Math.toIntExact((to - from + stretch - 1) / stretch);
    PrintRest rest = new PrintRest(from, stretch, stretches);
    Toll toll = new Toll(progress, Progress.Step.EXPLAIN, (to - from) * stems);
    crew.share(
        tasks,
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          MixDown printed = new MixDown(print.session(), print.source().openReader());
          double[][] y = Block.stereo(taskFrames);
          double[][] sum = Block.stereo(taskFrames);
          double[][] mix = Block.stereo(taskFrames);
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              long first = from + (long) task * taskFrames;
              int frames = (int) Math.min(taskFrames, to - first);
              Block.clear(sum, 0, frames);
              for (int k = 0; k < stems; k++) {
                mixDown.stemOnBus(k, first, frames, y);
                Block.add(sum[0], y[0], factors[k], 0, frames);
                Block.add(sum[1], y[1], factors[k], 0, frames);
              }
              printed.sum(first + print.lagFrames(), frames, mix);
              for (int at = 0; at < frames; at += stretch) {
                rest.measure(task * TASK + at / stretch, sum, mix, at, frames);
              }
              toll.pay((long) frames * stems);
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
              printed.close();
            }
          };
        });
    return rest;
  }

  private void measure(int place, double[][] sum, double[][] mix, int from, int frames) {
    int to = Math.min(frames, from + stretch);
    for (int c = 0; c < 2; c++) {
      double[] s = sum[c];
      double[] m = mix[c];
      for (int i = from; i < to; i++) {
        double d = m[i] - s[i];
        model[place] += s[i] * s[i];
        cross[place] += s[i] * m[i];
        printed[place] += m[i] * m[i];
        left[place] += d * d;
      }
    }
  }

  double power() {
    return Arrays.stream(left).sum();
  }

  double printPower() {
    return Arrays.stream(printed).sum();
  }

  long loudestFrame() {
    double most = -1;
    int at = 0;
    for (int i = 0; i < left.length; i += HALF_SECOND) {
      double sum = 0;
      for (int j = i; j < Math.min(left.length, i + HALF_SECOND); j++) {
        sum += left[j];
      }
      if (sum > most) {
        most = sum;
        at = i;
      }
    }
    return from + (long) at * stretch;
  }

  /**
   * The gain of each stretch that is within 30 dB of the loudest. It is dynamics if the loudest
   * ones are lower than the middle ones, and if gains of their own leave less than 0.7 of what is
   * left.
   */
  Optional<PrintComparison.BusDynamics> dynamics() {
    double loudest = Arrays.stream(model).max().orElse(0);
    if (!(loudest > 0)
        || PrintComparison.db(power() / printPower()) < PrintComparison.NOTHING_DB + 20) {
      return Optional.empty();
    }
    List<Integer> byLevel = new ArrayList<>();
    double withOwnGains = 0;
    double withOne = 0;
    for (int i = 0; i < model.length; i++) {
      if (model[i] > 1e-3 * loudest && cross[i] > 0) {
        byLevel.add(i);
        withOwnGains += Math.max(0, printed[i] - cross[i] * cross[i] / model[i]);
        withOne += left[i];
      }
    }
    byLevel.sort((a, b) -> Double.compare(model[b], model[a]));
    int count = byLevel.size();
    int top = (int) Math.ceil(LOUDEST * count);
    double downDb =
        meanGainDb(byLevel.subList(count * 2 / 5, count * 3 / 5))
            - meanGainDb(byLevel.subList(0, top));
    return downDb >= LEAST_DOWN_DB && withOwnGains < 0.7 * withOne
        ? Optional.of(new PrintComparison.BusDynamics(downDb))
        : Optional.empty();
  }

  private double meanGainDb(List<Integer> places) {
    return places.stream()
        .mapToDouble(i -> 20 * Math.log10(cross[i] / model[i]))
        .average()
        .orElse(0);
  }
}
