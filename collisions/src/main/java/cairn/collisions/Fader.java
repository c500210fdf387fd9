package cairn.collisions;

/**
 * How a stem goes into the bus; definitions.md, 1.
 *
 * @param gainDb gain in dB, finite
 * @param reversed whether the polarity is −1
 * @param muted whether it is left out of the bus; wins over {@code soloed}
 * @param soloed whether all stems that are not soloed are left out
 * @param offset frames by which it starts later on the bus; negative: earlier
 */
public record Fader(double gainDb, boolean reversed, boolean muted, boolean soloed, long offset) {

  /** As the stem is: 0 dB, polarity +1, neither muted nor soloed, at its place. */
  public static final Fader UNITY = new Fader(0, false, false, false, 0);

  public Fader {
    if (!Double.isFinite(gainDb)) {
      throw new IllegalArgumentException("gainDb must be finite: gainDb=" + gainDb);
    }
  }

  /** +1 or −1. */
  public int polarity() {
    return reversed ? -1 : 1;
  }

  /** The same fader with another gain in dB. */
  public Fader withGainDb(double newGainDb) {
    return new Fader(newGainDb, reversed, muted, soloed, offset);
  }

  /** The same fader with the polarity turned or not. */
  public Fader withReversed(boolean newReversed) {
    return new Fader(gainDb, newReversed, muted, soloed, offset);
  }

  /** The same fader muted or not. */
  public Fader withMuted(boolean newMuted) {
    return new Fader(gainDb, reversed, newMuted, soloed, offset);
  }

  /** The same fader soloed or not. */
  public Fader withSoloed(boolean newSoloed) {
    return new Fader(gainDb, reversed, muted, newSoloed, offset);
  }

  /** The same fader with another offset in frames. */
  public Fader withOffset(long newOffset) {
    return new Fader(gainDb, reversed, muted, soloed, newOffset);
  }
}
