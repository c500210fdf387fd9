package cairn.collisions.plan;

import cairn.collisions.Decibels;

/**
 * One setting of a stem for the whole song; definitions.md, 4 (whole-stem moves).
 *
 * @param stem index of the stem
 * @param kind what is set
 * @param amount offset in frames, over 0 later; ceiling on the bus in tenths of a dBFS; fader step
 *     in tenths of a dB, over 0 down; polarity: 0
 */
public record StemSetting(int stem, Kind kind, int amount) {

  /** The kinds of whole-stem moves. */
  public enum Kind {
    OFFSET,
    POLARITY,
    CEILING,
    FADER
  }

  /** How much it changes, to tell the smallest change: of one kind only. */
  int size() {
    return kind == Kind.CEILING ? -amount : Math.abs(amount);
  }

  /** What one sample turns into, but for an offset. */
  double of(double sample, double factor) {
    return kind == Kind.CEILING ? Math.max(-factor, Math.min(factor, sample)) : factor * sample;
  }

  /** The ceiling as amplitude, or what samples are multiplied with. */
  double factor() {
    return switch (kind) {
      case OFFSET -> 1;
      case POLARITY -> -1;
      case CEILING -> Decibels.toFactor(amount / 10.0);
      case FADER -> Decibels.toFactor(-amount / 10.0);
    };
  }

  /** Frames by which it moves the stem, over 0 later. */
  int shift() {
    return kind == Kind.OFFSET ? amount : 0;
  }
}
