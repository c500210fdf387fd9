package cairn.collisions.fix;

import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import cairn.collisions.signal.Oversampler;
import java.util.Arrays;

/**
 * What bus and trim come to at the instants between samples: a trim by {@code q} leaves {@code bus
 * − q·taken} there, since the filter is linear. Only instants that may pass a threshold for some
 * {@code q} from 0 to 1 are kept.
 *
 * <p>That is all that can: {@code |bus − q·taken|} is convex in {@code q}, so no larger than the
 * larger of its values at 0 and 1; and no instant lies above {@code GAIN} times the largest sample
 * that it reads ({@link Oversampler#GAIN}), so that whole chunks are passed over.
 */
final class TrimInstants {

  private static final int CHUNK_FRAMES = 64;
  private static final int[] BETWEEN = {-3, -1, 1, 3};

  /** Number of instants kept. */
  int count;

  /** Frame of each. */
  int[] frame = new int[64];

  /** {@code b} there. */
  double[] bus = new double[64];

  /** {@code w·y} there, filtered. */
  double[] taken = new double[64];

  private TrimInstants() {}

  /**
   * Looks through the frames {@code [from, to)} of an excerpt.
   *
   * @param part {@code part[channel][i − partFrom]}: {@code w·y}; 0 outside of it
   * @param threshold what is to be passed; none is kept where levels are read from samples
   */
  static TrimInstants of(
      Scene scene, double[][] part, int partFrom, int from, int to, double threshold) {
    TrimInstants kept = new TrimInstants();
    if (scene.reach > 0 && from < to) {
      for (int c = 0; c < 2; c++) {
        kept.add(scene, scene.excerpt.bus()[c], part[c], partFrom, from, to, threshold);
      }
    }
    return kept;
  }

  private void add(
      Scene scene, double[] b, double[] part, int partFrom, int from, int to, double threshold) {
    int reach = scene.reach;
    int frames = to - from + 2 * reach;
    int first = from - reach;
    double[] before = new double[frames];
    double[] lost = new double[frames];
    copy(b, 0, before, first);
    copy(part, partFrom, lost, first);
    double[] after = new double[frames];
    for (int i = 0; i < frames; i++) {
      after[i] = before[i] - lost[i];
    }
    Levels reading = scene.reading;
    for (int at = reach; at < frames - reach; at += CHUNK_FRAMES) {
      int end = Math.min(frames - reach, at + CHUNK_FRAMES);
      double read =
          Math.max(
              Block.peak(before, at - reach, end + reach),
              Block.peak(after, at - reach, end + reach));
      if (read * Oversampler.GAIN <= threshold) {
        continue;
      }
      for (int i = at; i < end; i++) {
        for (int eighths : BETWEEN) {
          double level = reading.at(before, i, eighths);
          double trim = reading.at(lost, i, eighths);
          if (Math.abs(level) > threshold || Math.abs(level - trim) > threshold) {
            keep(first + i, level, trim);
          }
        }
      }
    }
  }

  /** Writes what {@code x}, which starts at {@code xFrom}, has of {@code into}'s frames. */
  private static void copy(double[] x, int xFrom, double[] into, int intoFrom) {
    int from = Math.max(xFrom, intoFrom);
    int to = Math.min(xFrom + x.length, intoFrom + into.length);
    if (from < to) {
      System.arraycopy(x, from - xFrom, into, from - intoFrom, to - from);
    }
  }

  private void keep(int i, double level, double trim) {
    if (count == frame.length) {
      frame = Arrays.copyOf(frame, 2 * count);
      bus = Arrays.copyOf(bus, 2 * count);
      taken = Arrays.copyOf(taken, 2 * count);
    }
    frame[count] = i;
    bus[count] = level;
    taken[count] = trim;
    count++;
  }
}
