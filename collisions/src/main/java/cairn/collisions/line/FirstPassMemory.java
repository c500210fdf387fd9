package cairn.collisions.line;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.loudness.Metering;
import java.util.Optional;

/**
 * Remembers first passes from one opening to the next, so that stems that have not changed need not
 * be read again. It never fails: what it cannot find is computed, what it cannot keep is forgotten.
 */
public interface FirstPassMemory {

  /**
   * What the first pass over this session would give, to the bit; empty: not known.
   *
   * @param mode what levels are read from
   * @param metering what must have been metered along; the result holds just that
   */
  Optional<FirstPass.Measured> find(
      Session session, WindowGrid grid, PeakMode mode, Metering metering);

  /** Keeps what a first pass gave. */
  void keep(Session session, WindowGrid grid, PeakMode mode, FirstPass.Measured measured);
}
