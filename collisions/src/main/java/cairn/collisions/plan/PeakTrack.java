package cairn.collisions.plan;

import java.util.Arrays;

/** Peak levels one after the other, linear. Immutable. */
public final class PeakTrack {

  private final double[] levels;

  private PeakTrack(double[] levels) {
    this.levels = levels;
  }

  /** Takes a copy. */
  public static PeakTrack of(double... levels) {
    return new PeakTrack(levels.clone());
  }

  /** How many there are. */
  public int size() {
    return levels.length;
  }

  /** The {@code i}-th, linear. */
  public double at(int i) {
    return levels[i];
  }

  /** The largest; 0 if there is none. */
  public double largest() {
    return Arrays.stream(levels).max().orElse(0);
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof PeakTrack track && Arrays.equals(levels, track.levels);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(levels);
  }

  @Override
  public String toString() {
    return levels.length + " peaks, largest " + largest();
  }
}
