package cairn.collisions.cue;

import cairn.collisions.Decibels;
import cairn.collisions.Session;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import java.util.Locale;

/**
 * A fix as short as a marker must be, and as exact as it can be: words, never a bare sign.
 *
 * <pre>
 * 0.6 ms later (29 samples)
 * trim 1.2 dB
 * clip at -10.6 dBFS
 * clip at -10.6 dBFS on the bus, -8.1 in the file
 * </pre>
 */
public final class FixPhrase {

  /** Under this gain a level in the file and on the bus are the same to a tenth of a dB. */
  private static final double SAME_LEVEL_DB = 0.05;

  private FixPhrase() {}

  /** The words for a fix of a session's stem. */
  public static String of(Fix fix, Session session) {
    if (fix instanceof Nudge nudge) {
      int samples = Math.abs(nudge.frames());
      double millis = 1000.0 * samples / session.sampleRateHz();
      return String.format(
          Locale.ROOT,
          millis < 0.095 ? "%.2f ms %s (%d sample%s)" : "%.1f ms %s (%d sample%s)",
          millis,
          nudge.frames() > 0 ? "later" : "earlier",
          samples,
          samples == 1 ? "" : "s");
    }
    if (fix instanceof Trim trim) {
      return String.format(Locale.ROOT, "trim %.1f dB", trim.db());
    }
    Clip clip = (Clip) fix;
    String words = String.format(Locale.ROOT, "clip at %.1f dBFS", clip.ceilingDb());
    double gainDb = Decibels.ofAmplitude(Math.abs(session.openFactor(fix.stem())));
    return Math.abs(gainDb) < SAME_LEVEL_DB
        ? words
        : words
            + String.format(
                Locale.ROOT, " on the bus, %.1f in the file", clip.ceilingDb() - gainDb);
  }
}
