package cairn.collisions.loudness;

import cairn.collisions.Decibels;

/**
 * What a limiter would have to do to bring the bus to its goal; definitions.md, 6.
 *
 * @param goal the goal
 * @param measuredLufs {@code L_I}, integrated loudness of the goal's part of the bus
 */
public record LimiterWork(Goal goal, double measuredLufs) {

  public LimiterWork {
    if (!Double.isFinite(measuredLufs)) {
      throw new IllegalArgumentException("measuredLufs must be finite: " + measuredLufs);
    }
  }

  /** Needed gain {@code γ = L − L_I} in dB; negative where the bus is louder than the goal. */
  public double neededGainDb() {
    return goal.targetLufs() - measuredLufs;
  }

  /** The goal line in dB: {@code ceiling + allowance − γ}. */
  public double goalLineDb() {
    return goal.ceilingDb() + goal.allowanceDb() - neededGainDb();
  }

  /**
   * {@code dB(level) + γ − ceiling}: what the limiter would take at a level of the bus; negative
   * where it would take nothing.
   *
   * @param level linear
   */
  public double dbAt(double level) {
    return Decibels.ofAmplitude(level) + neededGainDb() - goal.ceilingDb();
  }

  /**
   * The loudness in LUFS that the goal's part reaches where the highest peak is at a level and the
   * limiter takes all that it may there: {@code L_I + ceiling + allowance − dB(level)}.
   *
   * @param level linear
   */
  public double reachedLufs(double level) {
    return measuredLufs + goal.ceilingDb() + goal.allowanceDb() - Decibels.ofAmplitude(level);
  }

  /** Whether a level of the bus stays within the allowance: not above the goal line. */
  public boolean allows(double level) {
    return level <= Decibels.toFactor(goalLineDb());
  }
}
