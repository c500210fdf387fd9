package cairn.tui.effect;

import cairn.collisions.TimeRange;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Hit;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Advice;
import cairn.collisions.plan.Advisor;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Levels;
import cairn.tui.model.Effect;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Samples;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.BooleanSupplier;
import java.util.function.Predicate;

/** Looks into one moment: who makes it up, what could be done, what it looks like. */
final class Lookout {

  /** The close-up's largest width is 200 ms. */
  private static final double WAVE_SECONDS = 0.101;

  private final Opened opened;
  private final Effect.ReckonMoment asked;
  private final BooleanSupplier cancelled;
  private final int rate;

  Lookout(Opened opened, Effect.ReckonMoment asked, BooleanSupplier cancelled) {
    this.opened = opened;
    this.asked = asked;
    this.cancelled = cancelled;
    rate = opened.pass.session().sampleRateHz();
  }

  /** What is to be seen; empty if it was cancelled or there is no such moment. */
  Optional<MomentNow> look() throws IOException {
    WhatIf now = opened.with(asked.marks());
    long frame = asked.momentFrames().get(0);
    Optional<Moment> gone = opened.goneAt(frame);
    if (gone.isPresent()) {
      WhatIf without = now.to(without(now, asked.momentFrames()));
      return Optional.of(seen(now, without, gone.get(), "gone since the pass before"));
    }
    Optional<OverRun> over = highest(now, frame);
    WhatIf plain = now.to(without(now, asked.momentFrames()));
    Optional<OverRun> listed = over.isPresent() ? over : highest(plain, frame);
    if (cancelled.getAsBoolean()) {
      return Optional.empty();
    }
    if (listed.isEmpty()) {
      return clearedElsewhere(now, plain, frame);
    }
    WhatIf base = over.isPresent() ? now : plain;
    OverRun run = listed.get();
    Moment explained = base.explain(run);
    MomentNow.Pile pile = over.isPresent() ? MomentNow.Pile.of(explained) : eased(now, explained);
    List<Long> places = asked.allAlike() ? asked.momentFrames() : List.of(frame);
    Advisor advisor =
        new Advisor(opened.finder, PlanOptions.DEFAULT.withLeftAlone(asked.leftAlone()), rate);
    List<Advice> advice = advisor.advise(now, places, cancelled);
    if (cancelled.getAsBoolean()) {
      return Optional.empty();
    }
    Excerpt excerpt = base.excerpt(opened.finder.excerptRange(run));
    FixesHere here = opened.byHand.at(excerpt, run);
    Map<Integer, MomentNow.Fixes> fixes = new HashMap<>();
    for (int k : touchable(explained, base, places)) {
      if (cancelled.getAsBoolean()) {
        return Optional.empty();
      }
      fixes(base, here, frame, places, k).ifPresent(each -> fixes.put(k, each));
    }
    List<MomentNow.Place> found = new ArrayList<>();
    found.add(place(frame, run, here, explained));
    String why = why(explained, here, fixes);
    for (long other : asked.momentFrames().subList(1, asked.momentFrames().size())) {
      if (cancelled.getAsBoolean()) {
        return Optional.empty();
      }
      Optional<OverRun> there = highest(plain, other);
      if (there.isPresent()) {
        // The moment itself is done with, and so is each place before the next.
        plain.letGo();
        FixesHere fixesThere = plain.fixes(opened.finder, there.get());
        found.add(place(other, there.get(), fixesThere, explained));
      }
    }
    return Optional.of(
        new MomentNow(
            asked.marks(),
            frame,
            asked.allAlike(),
            pile,
            found,
            fixes,
            advice,
            why,
            wave(now, plain, pile, explained, advice)));
  }

  /** The stems that lead at a moment, and those with a fix there, but for those left alone. */
  private Set<Integer> touchable(Moment explained, WhatIf base, List<Long> places) {
    Set<Integer> stems = new TreeSet<>();
    explained.leading().forEach(c -> stems.add(c.stem()));
    for (Mark.OfFix mark : base.marks().fixes()) {
      if (isAt(base, mark, places)) {
        stems.add(mark.fix().stem());
      }
    }
    stems.removeAll(asked.leftAlone());
    return stems;
  }

  /**
   * The least fixes of a stem, which replace the one that it has here: they are looked for without
   * it. Empty where nothing is over without it, or the stem does not lead then.
   */
  private Optional<MomentNow.Fixes> fixes(
      WhatIf base, FixesHere here, long frame, List<Long> places, int k) throws IOException {
    Marks rest =
        without(base, places, mark -> mark instanceof Mark.OfFix fix && fix.fix().stem() == k);
    FixesHere looked = here;
    if (!rest.equals(base.marks())) {
      WhatIf own = base.to(rest);
      Optional<OverRun> run = highest(own, frame);
      if (run.isEmpty()) {
        return Optional.empty();
      }
      looked = opened.byHand.at(own.excerpt(opened.finder.excerptRange(run.get())), run.get());
      if (looked.share(k) < Contribution.LEADS_FROM) {
        return Optional.empty();
      }
    }
    return Optional.of(
        new MomentNow.Fixes(looked.leastNudgeAlone(k), looked.leastTrim(k), looked.leastClip(k)));
  }

  /**
   * A moment that is not over even without its own marks: it can be seen, nothing is to be done.
   */
  private Optional<MomentNow> clearedElsewhere(WhatIf now, WhatIf plain, long frame)
      throws IOException {
    Optional<Moment> listed =
        opened.pass.moments().stream().filter(m -> m.peakFrame() == frame).findFirst();
    return listed.isEmpty()
        ? Optional.empty()
        : Optional.of(seen(now, plain, listed.get(), "marks elsewhere clear it"));
  }

  private MomentNow seen(WhatIf now, WhatIf plain, Moment was, String why) throws IOException {
    long frame = was.peakFrame();
    MomentNow.Pile pile = eased(now, was);
    MomentNow.Place place = new MomentNow.Place(frame, was.firstOver(), was.lastOver(), Map.of());
    return new MomentNow(
        asked.marks(),
        frame,
        asked.allAlike(),
        pile,
        List.of(place),
        Map.of(),
        List.of(),
        why,
        wave(now, plain, pile, was, List.of()));
  }

  /** The moment as its marks leave it: contributions at the same instant, with the marks. */
  private MomentNow.Pile eased(WhatIf now, Moment was) throws IOException {
    long frame = was.peakFrame();
    TimeRange all = opened.pass.range();
    Levels reading = Levels.of(opened.pass.line().mode());
    long from = frame - reading.reach();
    Excerpt at =
        now.excerpt(
            new TimeRange(
                Math.max(all.firstFrame(), from),
                Math.min(all.endFrame(), frame + reading.reach() + 1)));
    int skipped = (int) (at.firstFrame() - from);
    int eighths = (int) (8 * was.instant());
    int c = was.channel();
    double bus = valueAt(reading, at.bus()[c], skipped, eighths);
    double sign = bus < 0 ? -1 : 1;
    double level = Math.abs(bus);
    List<Contribution> contributions = new ArrayList<>();
    for (Contribution before : was.contributions()) {
      double y = valueAt(reading, at.marked(before.stem())[c], skipped, eighths);
      double amplitude = sign * y;
      contributions.add(
          new Contribution(
              before.stem(),
              amplitude,
              level > 0 ? amplitude / level : 0,
              before.levelNear(),
              Math.abs(bus - y)));
    }
    contributions.sort(Comparator.comparingDouble(Contribution::amplitude).reversed());
    return new MomentNow.Pile(false, false, frame, c, level, 0, 0, contributions);
  }

  /**
   * The value at an instant of the middle frame.
   *
   * @param x the frames that levels reach for, without {@code skipped} ones of silence before them
   *     and with none after them
   */
  private static double valueAt(Levels reading, double[] x, int skipped, int eighths) {
    double[] wide = new double[2 * reading.reach() + 1];
    System.arraycopy(x, 0, wide, skipped, x.length);
    return reading.at(wide, reading.reach(), eighths);
  }

  /** The marks without those at some moments. */
  private static Marks without(WhatIf now, List<Long> frames) {
    return without(now, frames, mark -> true);
  }

  private static Marks without(WhatIf now, List<Long> frames, Predicate<Mark> goes) {
    return new Marks(
        now.marks().list().stream()
            .filter(mark -> !(isAt(now, mark, frames) && goes.test(mark)))
            .toList());
  }

  private static boolean isAt(WhatIf now, Mark mark, List<Long> frames) {
    return now.listedAt(mark.momentFrame())
        .map(listed -> frames.contains(listed.peakFrame()))
        .orElse(frames.contains(mark.momentFrame()));
  }

  /**
   * The highest that is over in the neighbourhood of a moment; one that marks raised counts too.
   */
  private static Optional<OverRun> highest(WhatIf whatIf, long frame) {
    return whatIf.listedAt(frame).isPresent()
        ? whatIf.highestAt(frame)
        : whatIf.runs().stream()
            .filter(run -> frame >= run.firstOver() && frame <= run.lastOver())
            .findFirst();
  }

  private static MomentNow.Place place(long frame, OverRun run, FixesHere here, Moment explained) {
    Map<Integer, Hit> hits = new HashMap<>();
    for (Contribution c : explained.leading()) {
      hits.put(c.stem(), here.hit(c.stem()));
    }
    return new MomentNow.Place(frame, run.firstOver(), run.lastOver(), hits);
  }

  private String why(Moment moment, FixesHere here, Map<Integer, MomentNow.Fixes> fixes) {
    List<Contribution> leading = moment.leading();
    if (moment.isLong()) {
      return "level, not a spike; ride it at the desk";
    }
    if (leading.isEmpty()) {
      return "no stem adds a tenth of it, it is the sum of many";
    }
    if (fixes.isEmpty()) {
      return "every stem that leads here is left alone";
    }
    if (leading.stream().allMatch(c -> here.hit(c.stem()).sustained())) {
      return "every hit here is sustained";
    }
    return "nothing gentle lowers it by 0.1 dB";
  }

  private MomentNow.Wave wave(
      WhatIf now, WhatIf plain, MomentNow.Pile pile, Moment moment, List<Advice> advice)
      throws IOException {
    TimeRange all = opened.pass.range();
    long half = (long) (WAVE_SECONDS * rate);
    long from = Math.max(all.firstFrame(), pile.peakFrame() - half);
    long end = Math.min(all.endFrame(), pile.peakFrame() + half + 1);
    TimeRange range = new TimeRange(from, end);
    int c = pile.channel();
    double[] bus = now.bus(range)[c];
    double sign = bus[(int) (pile.peakFrame() - from)] < 0 ? -1 : 1;
    double[][] y = Block.stereo(bus.length);
    Map<Integer, Samples> stems = new HashMap<>();
    Map<Integer, Samples> after = new HashMap<>();
    Map<Integer, Samples> proposed = new HashMap<>();
    for (Contribution contribution : moment.leading()) {
      int k = contribution.stem();
      plain.stemOnBus(k, from, bus.length, y);
      stems.put(k, samples(y[c], sign));
      now.stemOnBus(k, from, bus.length, y);
      after.put(k, samples(y[c], sign));
    }
    for (Advice each : advice) {
      if (!proposed.containsKey(each.stem()) && stems.containsKey(each.stem())) {
        proposed.put(each.stem(), proposed(plain, each.marks().get(0).fix(), range, c, sign));
      }
    }
    return new MomentNow.Wave(from, pile.peakFrame(), samples(bus, sign), stems, after, proposed);
  }

  /** The stem as it would be after a fix. */
  private Samples proposed(WhatIf plain, Fix fix, TimeRange range, int channel, double sign)
      throws IOException {
    TimeRange all = opened.pass.range();
    TimeRange reads = FixApplier.reads(fix, rate, all).orElse(range);
    long from = Math.min(range.firstFrame(), reads.firstFrame());
    long end = Math.max(range.endFrame(), reads.endFrame());
    int frames = Math.toIntExact(end - from);
    double[][] y = new double[2][frames];
    plain.stemOnBus(fix.stem(), from, frames, y);
    FixApplier.apply(fix, rate, y, from, all);
    float[] shown = new float[Math.toIntExact(range.frames())];
    for (int i = 0; i < shown.length; i++) {
      shown[i] = (float) (sign * y[channel][(int) (range.firstFrame() - from) + i]);
    }
    return new Samples(shown);
  }

  private static Samples samples(double[] y, double sign) {
    float[] values = new float[y.length];
    for (int i = 0; i < values.length; i++) {
      values[i] = (float) (sign * y[i]);
    }
    return new Samples(values);
  }
}
