package cairn.tui.model;

import cairn.collisions.plan.Marks;
import java.util.List;

/**
 * Where the energy of the stems sits that lead at a moment.
 *
 * @param marks the marks it was worked out with
 * @param peakFrame where
 * @param stems one a stem, in the order of the pile; empty: being worked out
 */
public record Bands(Marks marks, long peakFrame, List<OfStem> stems) {

  /**
   * One stem.
   *
   * @param stem which
   * @param levelsDb level in each third-octave band, dB; minus infinity where there is nothing
   * @param strongest the band with the most power; −1: silence
   */
  public record OfStem(int stem, List<Double> levelsDb, int strongest) {
    public OfStem {
      levelsDb = List.copyOf(levelsDb);
    }
  }

  public Bands {
    stems = List.copyOf(stems);
  }
}
