package cairn.tui.model;

import cairn.collisions.spectrum.Portrait;
import java.util.Optional;

/**
 * What the bus is like as a whole, and the finished track that it is held against.
 *
 * @param bus the bus as found; empty: being worked out
 * @param reference the reference; empty: there is none, or it is being worked out
 * @param name name of the reference, safe to show; empty: there is none
 * @param why why something is missing, one line; empty: nothing is
 */
public record Spectra(
    Optional<Portrait> bus, Optional<Portrait> reference, String name, String why) {

  /** Being worked out. */
  public static final Spectra PENDING = new Spectra(Optional.empty(), Optional.empty(), "", "");
}
