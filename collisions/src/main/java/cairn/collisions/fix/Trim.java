package cairn.collisions.fix;

/**
 * A hit turned down.
 *
 * @param stem index of the stem
 * @param startFrame first frame of the hit, widened to the span; may be negative
 * @param endFrame frame after the last one of the hit, widened to the span
 * @param tenthsDb {@code g} in tenths of a dB, over 0: 12 turns it down by 1.2 dB
 */
public record Trim(int stem, long startFrame, long endFrame, int tenthsDb) implements Fix {
  public Trim {
    Fix.checkPlace(stem, startFrame, endFrame);
    if (tenthsDb < 1) {
      throw new IllegalArgumentException("tenthsDb must be >= 1: tenthsDb=" + tenthsDb);
    }
  }

  /** The amount in dB, over 0. */
  public double db() {
    return tenthsDb / 10.0;
  }

  @Override
  public Trim on(int newStem) {
    return new Trim(newStem, startFrame, endFrame, tenthsDb);
  }

  @Override
  public Kind kind() {
    return Kind.TRIM;
  }
}
