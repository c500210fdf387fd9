package cairn.collisions.loudness;

import cairn.collisions.PeakMode;

/**
 * What the master is to come to; definitions.md, 6.
 *
 * @param targetLufs target loudness {@code L}
 * @param ceilingDb where the limiter stands
 * @param ceilingMode the kind of level that the ceiling is
 * @param allowanceDb how much the limiter may take, at least 0; common practice, no source: 2 to 3
 *     dB stays clean, 5 to 6 dB and more is heard
 * @param part what the loudness of the bus is measured on
 */
public record Goal(
    double targetLufs, double ceilingDb, PeakMode ceilingMode, double allowanceDb, Part part) {

  /** Ceiling that is taken where none is named. */
  public static final double DEFAULT_CEILING_DB = -1;

  /** Allowance that is taken where none is named. */
  public static final double DEFAULT_ALLOWANCE_DB = 3;

  /** What part of the song the goal is for. */
  public enum Part {
    /** The loud part, or the section that stands for it: drops are quoted so. */
    LOUD,
    /** All that is looked at. */
    SONG
  }

  public Goal {
    if (!Double.isFinite(targetLufs) || !Double.isFinite(ceilingDb)) {
      throw new IllegalArgumentException(
          "target and ceiling must be finite: targetLufs="
              + targetLufs
              + ", ceilingDb="
              + ceilingDb);
    }
    if (!(allowanceDb >= 0) || Double.isInfinite(allowanceDb)) {
      throw new IllegalArgumentException(
          "the allowance must be 0 or more: allowanceDb=" + allowanceDb);
    }
  }
}
