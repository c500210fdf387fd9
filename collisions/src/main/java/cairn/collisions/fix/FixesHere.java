package cairn.collisions.fix;

import cairn.collisions.Session;
import cairn.collisions.line.HeldLine;
import java.util.List;
import java.util.Optional;

/** All fixes at one moment; definitions.md, 4. For one thread. */
public final class FixesHere {

  final Session session;
  final HeldLine line;
  final FixLimits limits;
  final Excerpt excerpt;
  final long firstOver;
  final long peakFrame;
  final long lastOver;

  FixesHere(
      Session session,
      HeldLine line,
      FixLimits limits,
      Excerpt excerpt,
      long firstOver,
      long peakFrame,
      long lastOver) {
    this.session = session;
    this.line = line;
    this.limits = limits;
    this.excerpt = excerpt;
    this.firstOver = firstOver;
    this.peakFrame = peakFrame;
    this.lastOver = lastOver;
  }

  /** The hit of a stem, from its samples without marks. */
  public Hit hit(int stem) {
    return HitFinder.find(
        excerpt.plain(stem), excerpt.firstFrame(), peakFrame, session.sampleRateHz(), limits);
  }

  /** Share of the stem in the peak as the bus stands. */
  public double share(int stem) {
    return 0;
  }

  /** The stem's hit nudged by {@code frames}, over 0 later; may be sustained or refused. */
  public Nudge nudge(int stem, int frames) {
    return new Nudge(stem, hit(stem).startFrame(), hit(stem).endFrame(), frames);
  }

  /** The stem's hit, widened to the span, trimmed by {@code tenthsDb} tenths of a dB. */
  public Trim trim(int stem, int tenthsDb) {
    return new Trim(
        stem,
        Math.min(hit(stem).startFrame(), firstOver),
        Math.max(hit(stem).endFrame(), lastOver + 1),
        tenthsDb);
  }

  /** The stem clipped in the span at a ceiling in tenths of a dBFS. */
  public Clip clip(int stem, int ceilingTenthsDb) {
    return new Clip(stem, firstOver, lastOver + 1, ceilingTenthsDb);
  }

  /**
   * The smallest nudge within the limit that clears, later on a tie; if none, the partial one that
   * leaves the lowest peak. Empty if there is neither, for a sustained hit, and at a long moment.
   */
  public Optional<Attempt> leastNudge(int stem) {
    return Optional.empty();
  }

  /**
   * The smallest trim within the limit that clears; if none, the partial one that leaves the lowest
   * peak. Empty if there is neither, and at a long moment.
   */
  public Optional<Attempt> leastTrim(int stem) {
    return Optional.empty();
  }

  /**
   * The highest ceiling that clears with lobes within the limit; if none, the partial one that
   * leaves the lowest peak. Empty if there is neither, and at a long moment.
   */
  public Optional<Attempt> leastClip(int stem) {
    return Optional.empty();
  }

  /** The least fix of each kind. */
  public Proposals proposals(int stem) {
    return new Proposals(stem, hit(stem), leastNudge(stem), leastTrim(stem), leastClip(stem));
  }

  /** What any fix does here; it need not be one of this moment's own. */
  public Judgement judge(Fix fix) {
    return new Judgement(fix, Judgement.Verdict.REFUSED, 0, Change.NOTHING, -1, 0, 0, List.of());
  }
}
