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

  /**
   * A line held from an earlier pass, the same everywhere: not rounded on its way through dB.
   *
   * @param level {@code T}, linear, over 0
   */
  record Held(double level) implements Line {
    public Held {
      if (!(level > 0) || Double.isInfinite(level)) {
        throw new IllegalArgumentException("level must be over 0 and finite: level=" + level);
      }
    }

    @Override
    public double level(double averagePeak) {
      return level;
    }
  }
}
