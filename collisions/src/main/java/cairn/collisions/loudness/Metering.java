package cairn.collisions.loudness;

/** Of what loudness, true peak and crest factor are measured in the first pass. */
public enum Metering {
  /** Of nothing. */
  NONE,
  /** Of the bus: a few per cent on top of the sum. */
  BUS,
  /** Of the bus and of each stem, which takes about as long as the sum itself. */
  STEMS;

  /** The one of both that measures more. */
  public Metering and(Metering other) {
    return compareTo(other) >= 0 ? this : other;
  }
}
