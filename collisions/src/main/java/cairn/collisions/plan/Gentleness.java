package cairn.collisions.plan;

import cairn.collisions.fix.Change;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;

/** The classes that a plan takes fixes from, the gentlest first; definitions.md, 5. */
public enum Gentleness {
  /** A trim of 1 dB or less. */
  SMALL_TRIM,
  /** A clip whose longest lobe is 0.07 ms or less: 3 frames at 44.1 and 48 kHz. */
  SHORT_CLIP,
  /** A nudge of 1 ms or less. */
  SMALL_NUDGE,
  /** A deeper trim. */
  TRIM,
  /** A longer nudge. */
  NUDGE,
  /** A clip with a longer lobe. */
  CLIP,
  /** A nudge against a stem with the same sound. */
  COMBING_NUDGE,
  /** A trim of a hit without a quiet edge. */
  SUSTAINED_TRIM;

  private static final int SMALL_TRIM_TENTHS_DB = 10;

  /** Whether it is taken only if nothing else helps. */
  public boolean isLastResort() {
    return compareTo(COMBING_NUDGE) >= 0;
  }

  /** The class of the hardest fix of the same kind that combs, or is sustained, as this one. */
  Gentleness hardestOfItsKind() {
    return switch (this) {
      case SMALL_TRIM, TRIM -> TRIM;
      case SMALL_NUDGE, NUDGE -> NUDGE;
      case SHORT_CLIP, CLIP -> CLIP;
      case COMBING_NUDGE -> COMBING_NUDGE;
      case SUSTAINED_TRIM -> SUSTAINED_TRIM;
    };
  }

  /**
   * @param change what the fix does
   * @param combs whether another leading stem carries the same sound
   * @param sustained whether the hit has an edge that is not quiet
   */
  static Gentleness of(Fix fix, Change change, boolean combs, boolean sustained, int sampleRateHz) {
    if (fix instanceof Trim trim) {
      if (sustained) {
        return SUSTAINED_TRIM;
      }
      return trim.tenthsDb() <= SMALL_TRIM_TENTHS_DB ? SMALL_TRIM : TRIM;
    }
    if (fix instanceof Nudge nudge) {
      if (combs) {
        return COMBING_NUDGE;
      }
      return Math.abs(nudge.frames()) <= sampleRateHz / 1000 ? SMALL_NUDGE : NUDGE;
    }
    return change.longestLobeFrames() <= shortLobeFrames(sampleRateHz) ? SHORT_CLIP : CLIP;
  }

  /** 0.07 ms, at least one frame. */
  private static int shortLobeFrames(int sampleRateHz) {
    return (int) Math.max(1, Math.floor(0.07 * sampleRateHz / 1000));
  }

  /** What orders fixes of one class, upwards from the gentlest: tenths of a dB, or frames. */
  static long amount(Fix fix, Change change) {
    if (fix instanceof Trim trim) {
      return trim.tenthsDb();
    }
    if (fix instanceof Nudge nudge) {
      return Math.abs(nudge.frames());
    }
    return change.longestLobeFrames();
  }
}
