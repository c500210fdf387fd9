package cairn.io.sound;

import cairn.collisions.signal.Block;
import java.util.Random;

/**
 * Runs the loops of the first pass on noise, to be started beside all else at the very start: by
 * the time the stems are open the loops are compiled, and compiled for sound. Without it they are
 * compiled while the first seconds of a song are read, which are silent more often than not, taken
 * for what all of it will be like, and compiled again: a list of 32 stems of 4 minutes took 1.5
 * times as long (OpenJDK 17, 2 cores, same run).
 *
 * <p>The coding that most stems are sent in is decoded, 24 bit little-endian stereo; others share
 * the loops after it.
 */
public final class WarmLoops implements Runnable {

  /**
   * Few, so that a loop is called 600 times, and compiled as a whole, before it has made 40,000
   * turns, for which it would be compiled from its middle on first (HotSpot's thresholds).
   */
  private static final int FRAMES = 60;

  /** Some more than it takes, as compilation runs beside. */
  private static final int ROUNDS = 2500;

  @Override
  public void run() {
    byte[] raw = new byte[6 * FRAMES + LinearCoding.PADDING_BYTES];
    new Random(1).nextBytes(raw);
    int[][] words = new int[2][2 * FRAMES];
    int[][] sum = new int[2][FRAMES];
    int[] peaks = new int[FRAMES];
    double[][] bus = Block.stereo(2 * FRAMES);
    double[] levels = new double[2 * FRAMES];
    for (int round = 0; round < ROUNDS; round++) {
      // Several places in a block, or the first one would be taken for the only one.
      int from = round % 3 * (FRAMES / 3);
      int to = from + FRAMES;
      LinearCoding.PCM_24_LITTLE.decodeWhole(raw, 2, FRAMES, words, from);
      for (int c = 0; c < 2; c++) {
        Block.addWords(sum[c], peaks, words[c], -1 << 8, FRAMES);
      }
      Block.levels(levels, bus, from, to);
      Block.peak(levels, from, to);
      Block.energy(bus, from, to);
    }
  }
}
