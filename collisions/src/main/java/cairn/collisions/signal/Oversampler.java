package cairn.collisions.signal;

/**
 * The four-fold oversampling filter of ITU-R BS.1770-5, Annex 2: order 48, four phases of twelve
 * taps. Phase p with tap 0 on frame {@code n} stands at {@code n − 5.5 + (p − 1.5)/4}; no phase
 * passes a sample through, so a true peak is the larger of filter and sample peak.
 *
 * <p>All coefficients are whole multiples of 2^−13, so exact in binary.
 */
public final class Oversampler {

  /** Frames before the newest one that a phase reads. */
  public static final int HISTORY_FRAMES = 11;

  /** Frames on either side of a frame that its instants reach; definitions.md, 1. */
  public static final int REACH_FRAMES = 6;

  /**
   * No phase brings out more than this times the largest sample that it reads: the largest sum of
   * absolute taps, that of phases 1 and 2, is 16571/8192 = 2.02283 (+6.12 dB).
   *
   * <p>So what reads no sample above {@code T / GAIN} brings out nothing above {@code T}, and may
   * be left out of a search for what lies above {@code T}: |Σ h·x| ≤ Σ|h| · max|x| ≤ 2.02283 · T /
   * 2.023 = 0.99991 · T, and the roundings of twelve products and eleven sums, at most 24 · 2^−53
   * of Σ|h·x| together, are far less than the 8e−5 between the two.
   */
  public static final double GAIN = 2.023;

  /**
   * What the eight outer taps of a phase bring out is at most {@code OUTER · m}, m the largest
   * sample that they read: the sum of their absolute values, in phases 1 and 2 16571/8192 − 13203 /
   * 8192 = 0.41113. In smooth sounds it is far less, for their signs alternate: they add up to
   * 0.09497 in phases 1 and 2, and what a sample differs from the one next to the instant is at
   * most as many times the steepest step as it is frames away, which weighed with the taps is
   * 1.40063 steps; so it is at most {@code OUTER_SUM · m + OUTER_STEPS · step} too.
   *
   * <p>So most of what {@link #GAIN} leaves is ruled out by four taps in place of twelve. The
   * roundings, a few 2^−53 of m, are far less than what each of the three is rounded up by.
   */
  static final double OUTER = 0.4112;

  /** How much of it stays in a sound that stands still: {@link #OUTER}. */
  static final double OUTER_SUM = 0.0951;

  /** How much a step between neighbours adds to that: {@link #OUTER}. */
  static final double OUTER_STEPS = 1.4008;

  /** So short that one high sample does not have much filtered about it. */
  private static final int CHUNK_FRAMES = 32;

  private Oversampler() {}

  /** Phase 0 with tap 0 on {@code x[i]}: 1/8 after frame {@code i − 6}. */
  static double phase0(double[] x, int i) {
    return 0.0017089843750 * x[i]
        + 0.0109863281250 * x[i - 1]
        - 0.0196533203125 * x[i - 2]
        + 0.0332031250000 * x[i - 3]
        - 0.0594482421875 * x[i - 4]
        + 0.1373291015625 * x[i - 5]
        + 0.9721679687500 * x[i - 6]
        - 0.1022949218750 * x[i - 7]
        + 0.0476074218750 * x[i - 8]
        - 0.0266113281250 * x[i - 9]
        + 0.0148925781250 * x[i - 10]
        - 0.0083007812500 * x[i - 11];
  }

  /** Phase 1 with tap 0 on {@code x[i]}: 3/8 after frame {@code i − 6}. */
  static double phase1(double[] x, int i) {
    return -0.0291748046875 * x[i]
        + 0.0292968750000 * x[i - 1]
        - 0.0517578125000 * x[i - 2]
        + 0.0891113281250 * x[i - 3]
        - 0.1665039062500 * x[i - 4]
        + 0.4650878906250 * x[i - 5]
        + 0.7797851562500 * x[i - 6]
        - 0.2003173828125 * x[i - 7]
        + 0.1015625000000 * x[i - 8]
        - 0.0582275390625 * x[i - 9]
        + 0.0330810546875 * x[i - 10]
        - 0.0189208984375 * x[i - 11];
  }

  /** Phase 2 with tap 0 on {@code x[i]}: 3/8 before frame {@code i − 5}. */
  static double phase2(double[] x, int i) {
    return -0.0189208984375 * x[i]
        + 0.0330810546875 * x[i - 1]
        - 0.0582275390625 * x[i - 2]
        + 0.1015625000000 * x[i - 3]
        - 0.2003173828125 * x[i - 4]
        + 0.7797851562500 * x[i - 5]
        + 0.4650878906250 * x[i - 6]
        - 0.1665039062500 * x[i - 7]
        + 0.0891113281250 * x[i - 8]
        - 0.0517578125000 * x[i - 9]
        + 0.0292968750000 * x[i - 10]
        - 0.0291748046875 * x[i - 11];
  }

  /** Phase 3 with tap 0 on {@code x[i]}: 1/8 before frame {@code i − 5}. */
  static double phase3(double[] x, int i) {
    return -0.0083007812500 * x[i]
        + 0.0148925781250 * x[i - 1]
        - 0.0266113281250 * x[i - 2]
        + 0.0476074218750 * x[i - 3]
        - 0.1022949218750 * x[i - 4]
        + 0.9721679687500 * x[i - 5]
        + 0.1373291015625 * x[i - 6]
        - 0.0594482421875 * x[i - 7]
        + 0.0332031250000 * x[i - 8]
        - 0.0196533203125 * x[i - 9]
        + 0.0109863281250 * x[i - 10]
        + 0.0017089843750 * x[i - 11];
  }

  /** Whether phase 0 or 1 with tap 0 on {@code x[i]}, without its outer taps, is above a level. */
  static boolean inner01(double[] x, int i, double level) {
    double a = x[i - 4];
    double b = x[i - 5];
    double c = x[i - 6];
    double d = x[i - 7];
    double of0 =
        -0.0594482421875 * a + 0.1373291015625 * b + 0.9721679687500 * c - 0.1022949218750 * d;
    double of1 =
        -0.1665039062500 * a + 0.4650878906250 * b + 0.7797851562500 * c - 0.2003173828125 * d;
    return Math.abs(of0) > level || Math.abs(of1) > level;
  }

  /** Whether phase 2 or 3 with tap 0 on {@code x[i]}, without its outer taps, is above a level. */
  static boolean inner23(double[] x, int i, double level) {
    double a = x[i - 4];
    double b = x[i - 5];
    double c = x[i - 6];
    double d = x[i - 7];
    double of2 =
        -0.2003173828125 * a + 0.7797851562500 * b + 0.4650878906250 * c - 0.1665039062500 * d;
    double of3 =
        -0.1022949218750 * a + 0.9721679687500 * b + 0.1373291015625 * c - 0.0594482421875 * d;
    return Math.abs(of2) > level || Math.abs(of3) > level;
  }

  /** The most that outer taps bring out that read of {@code x[from : to]} alone: {@link #OUTER}. */
  static double outer(double[] x, int from, int to) {
    double largest = Block.peak(x, from, to);
    double step = Block.steepest(x, from, to);
    return Math.min(OUTER * largest, OUTER_SUM * largest + OUTER_STEPS * step);
  }

  /**
   * The larger of {@code highest} and all that the four phases bring out with tap 0 on {@code
   * x[from : to]}; reads {@code x[from − 11 : to]}. What cannot top it is passed over: {@link
   * #GAIN}, {@link #OUTER}.
   */
  static double peak(double[] x, int from, int to, double highest) {
    double peak = highest;
    double outer = outer(x, from - HISTORY_FRAMES, to);
    for (int at = from; at < to; at += CHUNK_FRAMES) {
      int end = Math.min(to, at + CHUNK_FRAMES);
      if (Block.exceeds(x, at - HISTORY_FRAMES, end, peak / GAIN)) {
        peak = peakOfChunk(x, at, end, outer, peak);
      }
    }
    return peak;
  }

  private static double peakOfChunk(double[] x, int from, int to, double outer, double highest) {
    double peak = highest;
    for (int i = from; i < to; i++) {
      if (inner01(x, i, peak - outer) || inner23(x, i, peak - outer)) {
        double a = Math.max(Math.abs(phase0(x, i)), Math.abs(phase1(x, i)));
        double b = Math.max(Math.abs(phase2(x, i)), Math.abs(phase3(x, i)));
        peak = Math.max(peak, Math.max(a, b));
      }
    }
    return peak;
  }

  /** Raises {@code p[from : to]} to what a channel comes to at the four instants of each frame. */
  static void raise(double[] p, double[] x, int from, int to) {
    for (int i = from; i < to; i++) {
      double a = Math.max(Math.abs(phase2(x, i + 5)), Math.abs(phase3(x, i + 5)));
      double b = Math.max(Math.abs(phase0(x, i + 6)), Math.abs(phase1(x, i + 6)));
      p[i] = Math.max(p[i], Math.max(a, b));
    }
  }

  /**
   * The larger of {@code highest} and the four instants of frames {@code x[from : to]}. What cannot
   * top it is passed over: {@link #GAIN}, {@link #OUTER}.
   */
  static double peakOfInstants(double[] x, int from, int to, double highest) {
    double peak = highest;
    double outer = outer(x, from - REACH_FRAMES, to + REACH_FRAMES);
    for (int at = from; at < to; at += CHUNK_FRAMES) {
      int end = Math.min(to, at + CHUNK_FRAMES);
      if (Block.exceeds(x, at - REACH_FRAMES, end + REACH_FRAMES, peak / GAIN)) {
        peak = peakOfChunkOfInstants(x, at, end, outer, peak);
      }
    }
    return peak;
  }

  private static double peakOfChunkOfInstants(
      double[] x, int from, int to, double outer, double highest) {
    double peak = highest;
    for (int i = from; i < to; i++) {
      if (inner23(x, i + 5, peak - outer) || inner01(x, i + 6, peak - outer)) {
        double a = Math.max(Math.abs(phase2(x, i + 5)), Math.abs(phase3(x, i + 5)));
        double b = Math.max(Math.abs(phase0(x, i + 6)), Math.abs(phase1(x, i + 6)));
        peak = Math.max(peak, Math.max(a, b));
      }
    }
    return peak;
  }
}
