package cairn.io.listing;

import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import java.util.Locale;

/** Fixes in words, as one says them at the desk: never a bare sign. */
public final class FixWords {

  private FixWords() {}

  /** {@code 0.58 ms later (28 samples)}, {@code trim -1.2 dB}, {@code clip at -10.6 dBFS}. */
  public static String of(Fix fix, int sampleRateHz) {
    if (fix instanceof Nudge nudge) {
      return shift(nudge.frames(), sampleRateHz);
    }
    if (fix instanceof Trim trim) {
      return String.format(Locale.ROOT, "trim -%.1f dB", trim.db());
    }
    return String.format(Locale.ROOT, "clip at %.1f dBFS", ((Clip) fix).ceilingDb());
  }

  /** {@code 0.58 ms later (28 samples)}; below 0 earlier. */
  static String shift(int frames, int sampleRateHz) {
    int samples = Math.abs(frames);
    return String.format(
        Locale.ROOT,
        "%.2f ms %s (%s)",
        1000.0 * samples / sampleRateHz,
        frames > 0 ? "later" : "earlier",
        Figures.count(samples, "sample"));
  }
}
