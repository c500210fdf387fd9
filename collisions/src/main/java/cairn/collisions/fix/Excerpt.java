package cairn.collisions.fix;

import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import java.util.Arrays;
import java.util.List;

/**
 * The samples of all stems and of the bus about one moment, in memory, planar, 1.0 = 0 dBFS. Frame
 * {@code i} of every array is frame {@code firstFrame + i} of the session.
 *
 * <p>It lies inside the range that is looked at; outside that range all is silence. The arrays are
 * not copied: whoever holds an excerpt does not write to them.
 */
public final class Excerpt {

  private final long firstFrame;
  private final int frames;
  private final double[][][] plain;
  private final double[][][] marked;
  private final double[][] bus;
  private final double[] levels;

  /** The same with levels read from samples. */
  public Excerpt(long firstFrame, int frames, double[][][] plain, double[][][] marked) {
    this(Levels.OF_SAMPLES, firstFrame, frames, plain, marked);
  }

  /**
   * Sums the bus of an excerpt from {@code marked}, in stem order.
   *
   * @param reading what levels are read from; those of frames that are closer to an end than they
   *     reach count what lies past it as silence
   * @param firstFrame first frame of the session that it holds, at least 0
   * @param frames number of frames
   * @param plain {@code plain[stem][channel][frame]}: {@code y_k} without any mark
   * @param marked {@code marked[stem][channel][frame]}: {@code y_k} as it stands, marks applied;
   *     the same array as in {@code plain} where a stem has no mark here
   */
  public Excerpt(
      Levels reading, long firstFrame, int frames, double[][][] plain, double[][][] marked) {
    this.firstFrame = firstFrame;
    this.frames = frames;
    this.plain = plain;
    this.marked = marked;
    bus = Block.stereo(frames);
    for (double[][] y : marked) {
      Block.add(bus[0], y[0], 1, 0, frames);
      Block.add(bus[1], y[1], 1, 0, frames);
    }
    levels = levels(reading, bus, frames);
  }

  private static double[] levels(Levels reading, double[][] bus, int frames) {
    int reach = reading.reach();
    double[][] wide = bus;
    if (reach > 0) {
      wide = Block.stereo(frames + 2 * reach);
      System.arraycopy(bus[0], 0, wide[0], reach, frames);
      System.arraycopy(bus[1], 0, wide[1], reach, frames);
    }
    double[] levels = new double[frames + 2 * reach];
    reading.levels(levels, wide, reach, reach + frames);
    return reach == 0 ? levels : Arrays.copyOfRange(levels, reach, reach + frames);
  }

  /** First frame of the session that it holds. */
  public long firstFrame() {
    return firstFrame;
  }

  /** Number of frames. */
  public int frames() {
    return frames;
  }

  /** Frame of the session after the last one that it holds. */
  public long endFrame() {
    return firstFrame + frames;
  }

  /** Number of stems. */
  public int stems() {
    return plain.length;
  }

  /** {@code y_k[channel][frame]} without any mark. */
  public double[][] plain(int stem) {
    return plain[stem];
  }

  /** {@code y_k[channel][frame]} as it stands, marks applied. */
  public double[][] marked(int stem) {
    return marked[stem];
  }

  /** Some stems together, without any mark; of one the array itself, which is not written to. */
  double[][] plain(List<Integer> stems) {
    return together(plain, stems);
  }

  /** Some stems together as they stand; of one the array itself, which is not written to. */
  double[][] marked(List<Integer> stems) {
    return together(marked, stems);
  }

  private double[][] together(double[][][] y, List<Integer> stems) {
    if (stems.size() == 1) {
      return y[stems.get(0)];
    }
    double[][] sum = Block.stereo(frames);
    for (int k : stems) {
      Block.add(sum[0], y[k][0], 1, 0, frames);
      Block.add(sum[1], y[k][1], 1, 0, frames);
    }
    return sum;
  }

  /** The bus of the stems as they stand. */
  public double[][] bus() {
    return bus;
  }

  /** {@code p} of that bus. */
  public double[] levels() {
    return levels;
  }
}
