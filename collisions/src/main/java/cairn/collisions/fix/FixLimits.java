package cairn.collisions.fix;

/**
 * How far a search for a fix may go; definitions.md, 4.
 *
 * @param nudgeMillis longest nudge in ms, over 0 and at most 49; it also sets how wide a rest is
 * @param trimTenthsDb deepest trim in tenths of a dB, from 1 to 240
 * @param lobeMillis longest lobe that a clip may cut off, in ms, at least 0; may be infinite
 */
public record FixLimits(double nudgeMillis, int trimTenthsDb, double lobeMillis) {

  /** Deepest trim, in tenths of a dB, and how far a ceiling may lie under the largest sample. */
  public static final int DEEPEST_TENTHS_DB = 240;

  /** What a single fix may do: 3 ms, 24 dB, lobes of any length. */
  public static final FixLimits DEFAULT =
      new FixLimits(3, DEEPEST_TENTHS_DB, Double.POSITIVE_INFINITY);

  public FixLimits {
    // A rest of 2·49 + 2 cells is as wide as the stretch before the peak in which it is sought.
    if (!(nudgeMillis > 0 && nudgeMillis <= 49)) {
      throw new IllegalArgumentException(
          "nudge limit must be over 0 ms and at most 49 ms: nudgeMillis=" + nudgeMillis);
    }
    if (trimTenthsDb < 1 || trimTenthsDb > DEEPEST_TENTHS_DB) {
      throw new IllegalArgumentException(
          "trim limit must be from 0.1 dB to 24 dB: trimTenthsDb=" + trimTenthsDb);
    }
    if (!(lobeMillis >= 0)) {
      throw new IllegalArgumentException("lobe limit must be >= 0 ms: lobeMillis=" + lobeMillis);
    }
  }

  /** The same with another trim limit, in tenths of a dB, and lobe limit, in ms. */
  public FixLimits with(int newTrimTenthsDb, double newLobeMillis) {
    return new FixLimits(nudgeMillis, newTrimTenthsDb, newLobeMillis);
  }

  /** Longest nudge in frames, {@code floor(ms·fs/1000)}. */
  public int nudgeFrames(int sampleRateHz) {
    return (int) Math.floor(nudgeMillis * sampleRateHz / 1000);
  }

  /** Longest lobe in frames, {@code floor(ms·fs/1000)}. */
  public long lobeFrames(int sampleRateHz) {
    return (long) Math.floor(lobeMillis * sampleRateHz / 1000);
  }

  /** {@code S}: how many cells a rest is wide. */
  public int restCells() {
    return 2 * (int) Math.ceil(nudgeMillis) + 2;
  }
}
