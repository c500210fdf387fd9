package cairn.collisions.fix;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.HeldLine;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.moment.OverRun;
import cairn.collisions.signal.Levels;
import java.util.Optional;

/** Finds fixes; definitions.md, 4. Immutable; what it hands out is for one thread. */
public final class FixFinder {

  /**
   * Excerpts have a multiple of so many frames, so that the next moment, whose span is a few frames
   * longer, takes the same room.
   */
  private static final int ROUND_FRAMES = 512;

  private final Session session;
  private final HeldLine line;
  private final FixLimits limits;

  /** A finder for the session whose line is held. */
  public FixFinder(Session session, HeldLine line, FixLimits limits) {
    this.session = session;
    this.line = line;
    this.limits = limits;
  }

  /** The frames that an excerpt must hold so that all about the moment is exact. */
  public TimeRange excerptRange(OverRun moment) {
    return excerptRange(moment.firstOver(), moment.peakFrame(), moment.lastOver());
  }

  /** The frames that an excerpt must hold so that all about the moment is exact. */
  public TimeRange excerptRange(Moment moment) {
    return excerptRange(moment.firstOver(), moment.peakFrame(), moment.lastOver());
  }

  private TimeRange excerptRange(long firstOver, long peakFrame, long lastOver) {
    int fs = session.sampleRateHz();
    TimeRange range = line.grid().range();
    long cell = HitFinder.cellFrames(fs);
    long nudge = limits.nudgeFrames(fs);
    long gap = OverFrames.gapFrames(fs);
    long lobes = FixApplier.lobeReach(fs);
    // Levels are compared so much wider than samples change, and read as much wider again.
    long reach = 2L * Levels.of(line.mode()).reach();
    // The widest hit with its ramps, further what a nudge reads, and what never louder looks at.
    long hitFrom = peakFrame + HitFinder.FIRST_CELL * cell;
    long hitTo = peakFrame + (HitFinder.LAST_CELL + limits.restCells()) * cell;
    long from = Math.min(hitFrom - nudge, firstOver - lobes) - gap - reach;
    long to = Math.max(hitTo + nudge, lastOver + 1 + lobes) + gap + reach;
    long frames = (to - from + ROUND_FRAMES - 1) / ROUND_FRAMES * ROUND_FRAMES;
    return new TimeRange(
        Math.max(range.firstFrame(), from), Math.min(range.endFrame(), from + frames));
  }

  /**
   * Looks at one moment of the bus as it stands; what all its fixes need is worked out once.
   *
   * @param excerpt holds at least {@link #excerptRange}
   */
  public FixesHere at(Excerpt excerpt, OverRun moment) {
    return at(excerpt, moment.firstOver(), moment.peakFrame(), moment.lastOver());
  }

  /**
   * Looks at one moment of the list; what all its fixes need is worked out once.
   *
   * @param excerpt holds at least {@link #excerptRange}
   */
  public FixesHere at(Excerpt excerpt, Moment moment) {
    return at(excerpt, moment.firstOver(), moment.peakFrame(), moment.lastOver());
  }

  private FixesHere at(Excerpt excerpt, long firstOver, long peakFrame, long lastOver) {
    return new FixesHere(
        new Scene(session, line, limits, excerpt, firstOver, peakFrame, lastOver),
        OverRun.isLong(firstOver, lastOver, session.sampleRateHz()));
  }

  /** As {@link FixesHere#leastNudge}. */
  public Optional<Attempt> leastNudge(Excerpt excerpt, OverRun moment, int stem) {
    return at(excerpt, moment).leastNudge(stem);
  }

  /** As {@link FixesHere#leastTrim}. */
  public Optional<Attempt> leastTrim(Excerpt excerpt, OverRun moment, int stem) {
    return at(excerpt, moment).leastTrim(stem);
  }

  /** As {@link FixesHere#leastClip}. */
  public Optional<Attempt> leastClip(Excerpt excerpt, OverRun moment, int stem) {
    return at(excerpt, moment).leastClip(stem);
  }

  /** As {@link FixesHere#proposals}. */
  public Proposals proposals(Excerpt excerpt, OverRun moment, int stem) {
    return at(excerpt, moment).proposals(stem);
  }

  /** As {@link FixesHere#judge}. */
  public Judgement judge(Excerpt excerpt, OverRun moment, Fix fix) {
    return at(excerpt, moment).judge(fix);
  }
}
