package cairn.collisions.fix;

import cairn.collisions.Decibels;

/**
 * The lobes of a stem that reach into a span, cut off at a ceiling.
 *
 * @param stem index of the stem
 * @param startFrame first frame of the span
 * @param endFrame frame after the last one of the span
 * @param ceilingTenthsDb ceiling in tenths of a dBFS on the bus: −106 is −10.6 dBFS
 */
public record Clip(int stem, long startFrame, long endFrame, int ceilingTenthsDb) implements Fix {
  public Clip {
    Fix.checkPlace(stem, startFrame, endFrame);
  }

  /** The ceiling in dBFS. */
  public double ceilingDb() {
    return ceilingTenthsDb / 10.0;
  }

  /** {@code C}, the ceiling as linear amplitude. */
  public double ceilingFactor() {
    return Decibels.toFactor(ceilingDb());
  }

  @Override
  public Clip on(int newStem) {
    return new Clip(newStem, startFrame, endFrame, ceilingTenthsDb);
  }

  @Override
  public Kind kind() {
    return Kind.CLIP;
  }
}
