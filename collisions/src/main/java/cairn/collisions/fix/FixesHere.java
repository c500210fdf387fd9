package cairn.collisions.fix;

import cairn.collisions.TimeRange;
import cairn.collisions.moment.Contribution;
import cairn.collisions.signal.BandCorrelation;
import cairn.collisions.signal.Correlator;
import cairn.collisions.signal.Levels;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;

/**
 * All fixes at one moment; definitions.md, 4. What the stems have in common is worked out once, so
 * ask for all fixes of one stem before those of the next. For one thread.
 */
public final class FixesHere {

  /** From this normalised cross-correlation on, two stems carry the same sound. */
  private static final double SAME_SOUND_FROM = 0.6;

  /** Unrelated stems correlate less: at most 0.40 was measured on two songs of twelve stems. */
  private static final double UNLIKE_UNDER = 0.25;

  private static final int COMB_LAG_MILLIS = 5;

  private final Scene scene;
  private final boolean isLong;
  private final Hit[] hits;
  private final double[] shares;
  private final List<List<Integer>> combs;
  private final Correlator correlator;
  private final Correlator.Signal[] signals;
  private Trial trial;
  private LeastNudge nudges;
  private LeastTrim trims;
  private ToneCost tone;

  FixesHere(Scene scene, boolean isLong) {
    this.scene = scene;
    this.isLong = isLong;
    hits = new Hit[scene.excerpt.stems()];
    shares = shares(scene);
    correlator =
        new Correlator(scene.excerpt.frames(), COMB_LAG_MILLIS * scene.sampleRateHz / 1000);
    signals = new Correlator.Signal[hits.length];
    combs = new ArrayList<>(Collections.nCopies(hits.length, (List<Integer>) null));
  }

  private static double[] shares(Scene scene) {
    Excerpt excerpt = scene.excerpt;
    int at = scene.index(scene.peakFrame);
    Levels reading = scene.reading;
    int reach = scene.reach;
    double[][] bus = {about(excerpt.bus()[0], at, reach), about(excerpt.bus()[1], at, reach)};
    int channel = reading.channelAt(bus, reach);
    int instant = reading.instantAt(bus[channel], reach);
    double peak = reading.at(bus[channel], reach, instant);
    double[] shares = new double[excerpt.stems()];
    for (int k = 0; k < shares.length; k++) {
      double[] y = about(excerpt.marked(k)[channel], at, reach);
      shares[k] = reading.at(y, reach, instant) / peak;
    }
    return shares;
  }

  /** {@code x[i − reach .. i + reach]}, silence past its ends. */
  static double[] about(double[] x, int i, int reach) {
    double[] part = new double[2 * reach + 1];
    int from = Math.max(0, i - reach);
    int to = Math.min(x.length, i + reach + 1);
    System.arraycopy(x, from, part, from - (i - reach), to - from);
    return part;
  }

  /** The hit of a stem, from its samples without marks; of yoked stems that of their sum. */
  public Hit hit(int stem) {
    if (hits[stem] == null) {
      hits[stem] =
          HitFinder.find(
              scene.excerpt.plain(scene.session.yokes().groupOf(stem)),
              scene.excerpt.firstFrame(),
              scene.peakFrame,
              scene.sampleRateHz,
              scene.limits);
    }
    return hits[stem];
  }

  /** Share of the stem in the peak as the bus stands. */
  public double share(int stem) {
    return shares[stem];
  }

  /** The stem's hit nudged by {@code frames}, over 0 later; nothing says that it helps. */
  public Nudge nudge(int stem, int frames) {
    return new Nudge(stem, hit(stem).startFrame(), hit(stem).endFrame(), frames);
  }

  /** The stem's hit, widened to the span, trimmed by {@code tenthsDb} tenths of a dB. */
  public Trim trim(int stem, int tenthsDb) {
    Hit hit = hit(stem);
    return new Trim(
        stem,
        Math.min(hit.startFrame(), scene.firstOver),
        Math.max(hit.endFrame(), scene.lastOver + 1),
        tenthsDb);
  }

  /** The stem clipped in the span at a ceiling in tenths of a dBFS. */
  public Clip clip(int stem, int ceilingTenthsDb) {
    return new Clip(stem, scene.firstOver, scene.lastOver + 1, ceilingTenthsDb);
  }

  /**
   * The smallest nudge within the limit that clears, later on a tie; if none, the partial one that
   * leaves the lowest peak. Empty if there is neither, for a sustained hit, and at a long moment.
   */
  public Optional<Attempt> leastNudge(int stem) {
    return leastNudgeAlone(stem).map(found -> found.withCombs(combs(stem)));
  }

  /**
   * As {@link #leastNudge}, with the stems that it combs against left out: they take most of the
   * time, and matter only for a nudge that is taken.
   */
  public Optional<Attempt> leastNudgeAlone(int stem) {
    if (isLong || hit(stem).sustained()) {
      return Optional.empty();
    }
    return nudges(stem).find();
  }

  /**
   * The smallest trim within the limit that clears; if none, the partial one that leaves the lowest
   * peak. Empty if there is neither, and at a long moment.
   */
  public Optional<Attempt> leastTrim(int stem) {
    if (isLong) {
      return Optional.empty();
    }
    return trims(stem).find();
  }

  /**
   * The highest ceiling that clears with lobes within the limit; if none, the partial one that
   * leaves the lowest peak. Empty if there is neither, and at a long moment.
   */
  public Optional<Attempt> leastClip(int stem) {
    return isLong ? Optional.empty() : LeastClip.find(trial(stem, List.of(stem)));
  }

  /** Whether a ceiling lies under the stem's largest sample in the span, by at most 24 dB. */
  public boolean triesCeiling(int stem, int ceilingTenthsDb) {
    return LeastClip.tries(trial(stem, List.of(stem)), ceilingTenthsDb);
  }

  /** The least fix of each kind. */
  public Proposals proposals(int stem) {
    return new Proposals(stem, hit(stem), leastNudge(stem), leastTrim(stem), leastClip(stem));
  }

  /**
   * What any fix does here; it need not be one of this moment's own.
   *
   * @throws IllegalArgumentException if the excerpt does not hold all that it reads and changes
   */
  public Judgement judge(Fix fix) {
    FixApplier.reads(fix, scene.sampleRateHz, scene.range).ifPresent(this::checkHeld);
    Trial here = trial(fix);
    Change change =
        FixApplier.apply(
            fix, scene.sampleRateHz, here.changed, scene.excerpt.firstFrame(), scene.range);
    int from = scene.index(change.fromFrame());
    int to = scene.index(change.toFrame());
    here.trying(fix);
    here.assess(from, to, true);
    Judgement judgement =
        new Judgement(
            fix,
            verdict(here, fix, change),
            here.left,
            change,
            here.louder ? scene.excerpt.firstFrame() + here.louderAt : -1,
            here.louderLevel,
            here.louder ? scene.bound[here.louderAt] : 0,
            hit(fix.stem()).sustained(),
            fix instanceof Nudge ? combs(fix) : List.of());
    here.restore(from, to);
    return judgement;
  }

  /** Levels are compared {@code reach} frames wider than it changes, and read as much wider. */
  private void checkHeld(TimeRange reads) {
    Excerpt excerpt = scene.excerpt;
    long wider = 2L * scene.reach;
    long from = Math.max(scene.range.firstFrame(), reads.firstFrame() - wider);
    long end = Math.min(scene.range.endFrame(), reads.endFrame() + wider);
    if (from < excerpt.firstFrame() || end > excerpt.endFrame()) {
      throw new IllegalArgumentException(
          "the excerpt must hold "
              + reads
              + ": firstFrame="
              + excerpt.firstFrame()
              + ", endFrame="
              + excerpt.endFrame());
    }
  }

  private Judgement.Verdict verdict(Trial here, Fix fix, Change change) {
    if (fix instanceof Nudge nudge) {
      int size = Math.abs(nudge.frames());
      if (!Edges.of(scene, here.members, nudge, size).allow(nudge.frames())) {
        return Judgement.Verdict.PUSHES_OUT;
      }
    }
    if (here.louder || change.lobeTooLong()) {
      return Judgement.Verdict.REFUSED;
    }
    if (here.clears()) {
      return Judgement.Verdict.CLEARED;
    }
    return here.lowers() ? Judgement.Verdict.PARTIAL : Judgement.Verdict.NO_USE;
  }

  /**
   * Whether {@link #judge} would say {@code CLEARED} and, for a clip, all lobes are within the
   * limit; faster, since most fixes fail at the first frame that is looked at.
   */
  public boolean clears(Fix fix) {
    int most = scene.limits.nudgeFrames(scene.sampleRateHz);
    if (fix instanceof Nudge nudge
        && Math.abs(nudge.frames()) <= most
        && nudge.equals(nudge(fix.stem(), nudge.frames()))) {
      return nudges(fix.stem()).clears(nudge.frames());
    }
    if (fix instanceof Trim trim && trim.equals(trim(fix.stem(), trim.tenthsDb()))) {
      return trims(fix.stem()).clears(trim.tenthsDb());
    }
    FixApplier.reads(fix, scene.sampleRateHz, scene.range).ifPresent(this::checkHeld);
    Trial here = trial(fix);
    Change change =
        FixApplier.apply(
            fix, scene.sampleRateHz, here.changed, scene.excerpt.firstFrame(), scene.range);
    int from = scene.index(change.fromFrame());
    int to = scene.index(change.toFrame());
    here.trying(fix);
    here.assess(from, to, false);
    here.restore(from, to);
    return verdict(here, fix, change) == Judgement.Verdict.CLEARED
        && change.longestLobeFrames() <= scene.limits.lobeFrames(scene.sampleRateHz);
  }

  /**
   * The other leading stems against which a nudge of the stem's hit combs, in stem order: those
   * that carry the same sound, as a whole or, where that is in doubt, in an octave band.
   */
  public List<Integer> combs(int stem) {
    if (combs.get(stem) == null) {
      combs.set(stem, sharing(stem, hit(stem), true));
    }
    return combs.get(stem);
  }

  /** The other leading stems that carry the same sound as the stem's hit, as a whole. */
  public List<Integer> sameSound(int stem) {
    return sharing(stem, hit(stem), false);
  }

  private Correlator.Signal signal(int stem) {
    if (signals[stem] == null) {
      signals[stem] = correlator.signal(scene.excerpt.plain(stem));
    }
    return signals[stem];
  }

  private List<Integer> combs(Fix fix) {
    Hit hit = hit(fix.stem());
    boolean own = hit.startFrame() == fix.startFrame() && hit.endFrame() == fix.endFrame();
    return own
        ? combs(fix.stem())
        : sharing(fix.stem(), new Hit(fix.startFrame(), fix.endFrame(), false), true);
  }

  private List<Integer> sharing(int stem, Hit hit, boolean orBands) {
    Sounding sounding = new Sounding(stem, hit);
    List<Integer> found = new ArrayList<>();
    for (int j = 0; j < shares.length; j++) {
      if (!sounding.stems.contains(j)
          && shares[j] >= Contribution.LEADS_FROM
          && (sounding.isSameAs(j) || (orBands && sounding.isSameInABand(j)))) {
        found.add(j);
      }
    }
    return List.copyOf(found);
  }

  /**
   * In which octave bands another stem is like the stem's hit, at the lag where it is most so.
   *
   * <p>Asked where the whole sounds are neither plainly the same nor plainly not: a drum and its
   * low layer share their lowest octave alone.
   *
   * @return empty where the whole sounds reach {@value #SAME_SOUND_FROM}, or stay under {@value
   *     #UNLIKE_UNDER}, as unrelated stems do
   */
  public List<BandCorrelation.Band> bandsAlike(int stem, int other) {
    return new Sounding(stem, hit(stem)).bandsAlike(other);
  }

  /** A stem, or those that move with it, over a hit, to be held against others. */
  private final class Sounding {
    final List<Integer> stems;
    private final double[][] sound;
    private final int from;
    private final int to;
    private final Correlator.Stretch stretch;

    Sounding(int stem, Hit hit) {
      stems = scene.session.yokes().groupOf(stem);
      sound = scene.excerpt.plain(stems);
      from = scene.index(hit.startFrame());
      to = Math.max(from, scene.index(hit.endFrame()));
      stretch = correlator.stretch(sound, from, to);
    }

    boolean isSameAs(int other) {
      return stretch.reaches(SAME_SOUND_FROM, signal(other));
    }

    boolean isSameInABand(int other) {
      return bandsAlike(other).stream().anyMatch(band -> band.isSame() && band.isSure());
    }

    List<BandCorrelation.Band> bandsAlike(int other) {
      return stretch.reaches(UNLIKE_UNDER, signal(other)) && !isSameAs(other)
          ? BandCorrelation.of(
              sound,
              scene.excerpt.plain(other),
              from,
              to,
              COMB_LAG_MILLIS * scene.sampleRateHz / 1000,
              scene.sampleRateHz)
          : List.of();
    }
  }

  /** What a fix costs in tone, in dB; definitions.md, 4. Worked out once for each. */
  public double toneCostDb(Fix fix) {
    if (tone == null) {
      tone = new ToneCost(scene);
    }
    return tone.db(fix);
  }

  private Trial trial(Fix fix) {
    return fix instanceof Clip
        ? trial(fix.stem(), List.of(fix.stem()))
        : trial(fix.stem(), scene.session.yokes().groupOf(fix.stem()));
  }

  private Trial trial(int stem, List<Integer> members) {
    if (trial == null || trial.stem != stem || !trial.members.equals(members)) {
      trial = new Trial(scene, stem, members);
      nudges = null;
      trims = null;
    }
    return trial;
  }

  private LeastNudge nudges(int stem) {
    Trial here = trial(stem, scene.session.yokes().groupOf(stem));
    if (nudges == null) {
      nudges = new LeastNudge(here, hit(stem), scene.limits.nudgeFrames(scene.sampleRateHz));
    }
    return nudges;
  }

  private LeastTrim trims(int stem) {
    Trial here = trial(stem, scene.session.yokes().groupOf(stem));
    if (trims == null) {
      trims = new LeastTrim(here, trim(stem, scene.limits.trimTenthsDb()));
    }
    return trims;
  }
}
