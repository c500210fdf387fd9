package cairn.collisions.line;

import cairn.collisions.Decibels;

/** How the line is asked for; definitions.md, 3. */
public sealed interface Line {

  /** The default: 1 dB above the average peak. */
  Line DEFAULT = new Margin(1.0);

  /** The line as linear level, for an average peak {@code A}. */
  double level(double averagePeak);

  /**
   * {@code T = A · 10^(margin/20)}.
   *
   * @param marginDb how far above the average peak, in dB, finite
   */
  record Margin(double marginDb) implements Line {
    public Margin {
      if (!Double.isFinite(marginDb)) {
        throw new IllegalArgumentException("margin must be finite: margin=" + marginDb);
      }
    }

    @Override
    public double level(double averagePeak) {
      return averagePeak * Decibels.toFactor(marginDb);
    }
  }

  /**
   * A level in dBFS, the same for every average peak.
   *
   * @param levelDb the level in dBFS, finite
   */
  record Level(double levelDb) implements Line {
    public Level {
      if (!Double.isFinite(levelDb)) {
        throw new IllegalArgumentException("line must be finite: line=" + levelDb);
      }
    }

    @Override
    public double level(double averagePeak) {
      return Decibels.toFactor(levelDb);
    }
  }
}
