package cairn.collisions.signal;

import cairn.collisions.PeakMode;

/**
 * Reads levels from samples, or from the five instants of each frame; definitions.md, 1. An instant
 * is told in eighths of a frame: −3, −1, 0 (the sample itself), 1, 3.
 *
 * <p>Of blocks it reads {@link #reach} frames on either side of those whose level it tells.
 */
public enum Levels {
  /** Samples alone. */
  OF_SAMPLES(0) {
    @Override
    public void levels(double[] p, double[][] block, int from, int to) {
      Block.levels(p, block, from, to);
    }

    @Override
    public int instantAt(double[] x, int i) {
      return 0;
    }

    @Override
    public double at(double[] x, int i, int eighths) {
      return x[i];
    }

    @Override
    public double peak(double[] x, int from, int to, double highest) {
      return Math.max(highest, Block.peak(x, from, to));
    }
  },

  /** Samples and four instants about each. */
  OF_INSTANTS(Oversampler.REACH_FRAMES) {
    @Override
    public void levels(double[] p, double[][] block, int from, int to) {
      Block.levels(p, block, from, to);
      Oversampler.raise(p, block[0], from, to);
      Oversampler.raise(p, block[1], from, to);
    }

    @Override
    public int instantAt(double[] x, int i) {
      int found = EIGHTHS[0];
      for (int eighths : EIGHTHS) {
        // The first maximum wins: definitions.md, 3.
        found = Math.abs(at(x, i, eighths)) > Math.abs(at(x, i, found)) ? eighths : found;
      }
      return found;
    }

    @Override
    public double at(double[] x, int i, int eighths) {
      return switch (eighths) {
        case -3 -> Oversampler.phase2(x, i + 5);
        case -1 -> Oversampler.phase3(x, i + 5);
        case 0 -> x[i];
        case 1 -> Oversampler.phase0(x, i + 6);
        case 3 -> Oversampler.phase1(x, i + 6);
        default -> throw new IllegalArgumentException("no instant: eighths=" + eighths);
      };
    }

    @Override
    public double peak(double[] x, int from, int to, double highest) {
      double peak = highest;
      for (int at = from; at < to; at += CHUNK_FRAMES) {
        int end = Math.min(to, at + CHUNK_FRAMES);
        peak = Math.max(peak, Block.peak(x, at, end));
        // What cannot top the peak so far is passed over: Oversampler.GAIN.
        double read = Block.peak(x, at - Oversampler.REACH_FRAMES, end + Oversampler.REACH_FRAMES);
        if (read * Oversampler.GAIN > peak) {
          peak = Oversampler.peakOfInstants(x, at, end, peak);
        }
      }
      return peak;
    }
  };

  private static final int[] EIGHTHS = {-3, -1, 0, 1, 3};
  private static final int CHUNK_FRAMES = 256;

  private final int reach;

  Levels(int reach) {
    this.reach = reach;
  }

  /** How levels are read in a mode. */
  public static Levels of(PeakMode mode) {
    return mode == PeakMode.TRUE_PEAK ? OF_INSTANTS : OF_SAMPLES;
  }

  /** Frames on either side of a frame that its level depends on. */
  public int reach() {
    return reach;
  }

  /** Writes {@code p[from : to]}, the levels of the same frames of a block. */
  public abstract void levels(double[] p, double[][] block, int from, int to);

  /** The first instant of {@code x[i]} at which it is largest in magnitude. */
  public abstract int instantAt(double[] x, int i);

  /** The value of one channel at an instant of {@code x[i]}. */
  public abstract double at(double[] x, int i, int eighths);

  /** The larger of {@code highest} and the largest level of one channel in {@code x[from : to]}. */
  public abstract double peak(double[] x, int from, int to, double highest);

  /** The largest level of a channel at {@code x[i]}. */
  public double levelAt(double[] x, int i) {
    return Math.abs(at(x, i, instantAt(x, i)));
  }

  /** The channel whose level is the larger at frame {@code i} of a block, left on a tie. */
  public int channelAt(double[][] block, int i) {
    return levelAt(block[1], i) > levelAt(block[0], i) ? 1 : 0;
  }
}
