package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.Optional;

/**
 * The inner products {@code Σ y_i·y_j}, over frames and both channels, of all stems as they stand
 * on the bus, and of a bounced mix as the last row where there is one: who is like whom.
 *
 * <p>Where stems are so many or so long that it would take minutes, only every s-th stretch of 10
 * ms counts, the same ones for all.
 */
final class Products {

  /** Most multiplications: some seconds. */
  private static final double MOST_PRODUCTS = 6e9;

  /** Stretches a task. */
  private static final int TASK = 256;

  private final int rows;
  private final double[] sums;

  private Products(int rows, double[] sums) {
    this.rows = rows;
    this.sums = sums;
  }

  int rows() {
    return rows;
  }

  double of(int i, int j) {
    return i >= j ? sums[i * (i + 1) / 2 + j] : sums[j * (j + 1) / 2 + i];
  }

  /** Normalised: the correlation; 0 for silence. */
  double correlation(int i, int j) {
    double scale = Math.sqrt(of(i, i) * of(j, j));
    return scale > 0 ? of(i, j) / scale : 0;
  }

  /** Works them out over {@code [from, to)}. */
  static Products over(
      Session session,
      StemSource source,
      Optional<PlacedPrint> print,
      long from,
      long to,
      Crew crew,
      Progress progress)
      throws IOException {
    int stems = session.stems().size();
    int rows = stems + (print.isPresent() ? 1 : 0);
    int packed = rows * (rows + 1) / 2;
    int stretch = Math.max(1, session.sampleRateHz() / 100);
    int every = (int) Math.max(1, Math.ceil(2.0 * packed * (to - from) / MOST_PRODUCTS));
    int taskFrames = stretch * TASK;
    int tasks = Math.toIntExact((to - from + taskFrames - 1) / taskFrames);
    double[][] parts = new double[tasks][];
    Toll toll = new Toll(progress, Progress.Step.EXPLAIN, Math.max(1, (to - from) * stems));
    crew.share(
        tasks,
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          MixDown printed =
              print.isPresent()
                  ? new MixDown(print.get().session(), print.get().source().openReader())
                  : null;
          double[][][] y = new double[rows][2][taskFrames];
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              long first = from + (long) task * taskFrames;
              int frames = (int) Math.min(taskFrames, to - first);
              for (int k = 0; k < stems; k++) {
                mixDown.stemOnBus(k, first, frames, y[k]);
              }
              if (printed != null) {
                printed.sum(first + print.get().lagFrames(), frames, y[stems]);
              }
              parts[task] = products(y, frames, stretch, every, packed);
              toll.pay((long) frames * stems);
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
              if (printed != null) {
                printed.close();
              }
            }
          };
        });
    double[] sums = new double[packed];
    for (double[] part : parts) {
      Block.add(sums, part, 1, 0, packed);
    }
    return new Products(rows, sums);
  }

  private static double[] products(double[][][] y, int frames, int stretch, int every, int packed) {
    double[] sums = new double[packed];
    double[] energy = new double[y.length];
    for (int at = 0; at < frames; at += stretch * every) {
      int end = Math.min(frames, at + stretch);
      for (int i = 0; i < y.length; i++) {
        energy[i] = dot(y[i], y[i], at, end);
        int row = i * (i + 1) / 2;
        sums[row + i] += energy[i];
        for (int j = 0; j < i && energy[i] > 0; j++) {
          if (energy[j] > 0) {
            sums[row + j] += dot(y[i], y[j], at, end);
          }
        }
      }
    }
    return sums;
  }

  private static double dot(double[][] a, double[][] b, int from, int to) {
    return dot(a[0], b[0], from, to) + dot(a[1], b[1], from, to);
  }

  /** Four sums side by side, since one would wait for itself at every frame. */
  private static double dot(double[] a, double[] b, int from, int to) {
    double s0 = 0;
    double s1 = 0;
    double s2 = 0;
    double s3 = 0;
    int i = from;
    for (; i + 3 < to; i += 4) {
      s0 += a[i] * b[i];
      s1 += a[i + 1] * b[i + 1];
      s2 += a[i + 2] * b[i + 2];
      s3 += a[i + 3] * b[i + 3];
    }
    for (; i < to; i++) {
      s0 += a[i] * b[i];
    }
    return s0 + s1 + (s2 + s3);
  }
}
