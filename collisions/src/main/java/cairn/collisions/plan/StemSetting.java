package cairn.collisions.plan;

import cairn.collisions.Decibels;
import cairn.collisions.Yokes;
import java.util.List;

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

  /** Whether it sets the stem against others that carry its sound: by time or by polarity. */
  public boolean setsApart() {
    return kind == Kind.OFFSET || kind == Kind.POLARITY;
  }

  /** How much it changes, to tell the smallest change: of one kind only. */
  int size() {
    return kind == Kind.CEILING ? -amount : Math.abs(amount);
  }

  /** The stems that move: all of a yoke, but for a ceiling, which stays on its stem. */
  public List<Integer> moved(Yokes yokes) {
    return kind == Kind.CEILING ? List.of(stem) : yokes.groupOf(stem);
  }

  /** No sample of a sound that peaks at {@code peak} is changed by more. */
  double mostChanged(double peak) {
    return switch (kind) {
      case OFFSET, POLARITY -> 2 * peak;
      case CEILING -> Math.max(0, peak - factor());
      case FADER -> peak * (1 - factor());
    };
  }

  /** No sample of a sound that peaks at {@code peak} is larger with it. */
  double largestOf(double peak) {
    return switch (kind) {
      case OFFSET, POLARITY -> peak;
      case CEILING -> Math.min(peak, factor());
      case FADER -> peak * factor();
    };
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
