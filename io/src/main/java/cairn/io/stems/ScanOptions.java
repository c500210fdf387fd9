package cairn.io.stems;

import java.util.Objects;

/**
 * How a folder is read.
 *
 * @param pairs whether two mono files named alike but for a last L and R are one stem
 * @param place where stems start on the bus
 */
public record ScanOptions(boolean pairs, Place place) {

  /** Where stems start on the bus. */
  public enum Place {
    /** All at frame 0. */
    START,
    /** At their {@code bext} time references, the earliest at frame 0. */
    TIMEREF
  }

  /** Pairs, all from the start. */
  public static final ScanOptions DEFAULT = new ScanOptions(true, Place.START);

  public ScanOptions {
    Objects.requireNonNull(place, "place");
  }

  /** The same with pairs or without. */
  public ScanOptions withPairs(boolean newPairs) {
    return new ScanOptions(newPairs, place);
  }

  /** The same with another place. */
  public ScanOptions withPlace(Place newPlace) {
    return new ScanOptions(pairs, newPlace);
  }
}
