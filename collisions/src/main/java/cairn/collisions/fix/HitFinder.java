package cairn.collisions.fix;

import cairn.collisions.signal.Block;

/** Finds the hit of a stem at a moment; definitions.md, 4. */
public final class HitFinder {

  /** A rest before the peak starts at this cell or later. */
  static final int FIRST_CELL = -100;

  /** A rest after the peak starts at this cell or earlier. */
  static final int LAST_CELL = 500;

  /** The cells whose highest level is that of the event, {@code H}. */
  private static final int EVENT_FIRST_CELL = -10;

  private static final int EVENT_LAST_CELL = 9;

  private HitFinder() {}

  /** Frames of a cell, {@code round(0.001·fs)}, at least 1. */
  public static int cellFrames(int sampleRateHz) {
    return Math.max(1, (sampleRateHz + 500) / 1000);
  }

  /**
   * The hit about {@code peakFrame}.
   *
   * @param plain {@code plain[channel][frame]}: the stem on the bus without marks; frames that it
   *     does not hold are silence
   * @param firstFrame frame of the session at which {@code plain} stands
   * @param peakFrame {@code n*}, at which cell 0 starts
   */
  public static Hit find(
      double[][] plain, long firstFrame, long peakFrame, int sampleRateHz, FixLimits limits) {
    int cell = cellFrames(sampleRateHz);
    int rest = limits.restCells();
    double[] cells = cellLevels(plain, peakFrame - firstFrame, cell, LAST_CELL + rest);
    double event = 0;
    for (int i = EVENT_FIRST_CELL; i <= EVENT_LAST_CELL; i++) {
      event = Math.max(event, cells[i - FIRST_CELL]);
    }
    double quiet = event / 10;

    int before = -rest;
    for (int i = -rest; i >= FIRST_CELL && restLevel(cells, before, rest) > quiet; i--) {
      if (restLevel(cells, i, rest) < restLevel(cells, before, rest)) {
        before = i;
      }
    }
    int after = 1;
    for (int i = 1; i <= LAST_CELL && restLevel(cells, after, rest) > quiet; i++) {
      if (restLevel(cells, i, rest) < restLevel(cells, after, rest)) {
        after = i;
      }
    }
    boolean sustained =
        restLevel(cells, before, rest) > quiet || restLevel(cells, after, rest) > quiet;
    long middle = (long) rest * cell / 2;
    return new Hit(
        peakFrame + (long) before * cell + middle,
        peakFrame + (long) after * cell + middle,
        sustained);
  }

  /** Levels of the cells from {@link #FIRST_CELL} to {@code endCell − 1}. */
  private static double[] cellLevels(double[][] plain, long peakAt, int cell, int endCell) {
    double[] cells = new double[endCell - FIRST_CELL];
    int frames = plain[0].length;
    for (int i = 0; i < cells.length; i++) {
      long from = peakAt + (long) (i + FIRST_CELL) * cell;
      int inside = (int) Math.max(0, Math.min(frames, from));
      int end = (int) Math.max(0, Math.min(frames, from + cell));
      cells[i] = Math.max(Block.peak(plain[0], inside, end), Block.peak(plain[1], inside, end));
    }
    return cells;
  }

  private static double restLevel(double[] cells, int firstCell, int rest) {
    return Block.peak(cells, firstCell - FIRST_CELL, firstCell - FIRST_CELL + rest);
  }
}
