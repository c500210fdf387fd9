package cairn.collisions.moment;

import cairn.collisions.Session;
import cairn.collisions.line.HeldLine;
import java.util.Optional;

/**
 * Remembers the moments of a bus from one opening to the next, so that stems that have not changed
 * need not be read again. It never fails: what it cannot find is looked for, what it cannot keep is
 * forgotten.
 */
public interface MomentMemory {

  /**
   * What would be found over a line, to the bit; empty: not known.
   *
   * @param line line and average peak in each window, which are all that counts: it does not matter
   *     how they were asked for
   */
  Optional<OverLine> findMoments(Session session, HeldLine line);

  /** Keeps what was found over a line. */
  void keepMoments(Session session, HeldLine line, OverLine found);
}
