package cairn.tui.update;

import cairn.collisions.Analysis;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.fix.FixFinder;
import cairn.collisions.fix.FixLimits;
import cairn.collisions.fix.FixesHere;
import cairn.collisions.fix.Hit;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.Advisor;
import cairn.collisions.plan.EarlierMoment;
import cairn.collisions.plan.EarlierPass;
import cairn.collisions.plan.GoneMoments;
import cairn.collisions.plan.Mark;
import cairn.collisions.plan.Marks;
import cairn.collisions.plan.PassComparison;
import cairn.collisions.plan.PlanOptions;
import cairn.collisions.plan.Planner;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.plan.WholeStems;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.tui.effect.StemBands;
import cairn.tui.effect.StepPeaks;
import cairn.tui.model.BusNow;
import cairn.tui.model.Earlier;
import cairn.tui.model.Effect;
import cairn.tui.model.Event;
import cairn.tui.model.Kept;
import cairn.tui.model.KeyPress;
import cairn.tui.model.Look;
import cairn.tui.model.Model;
import cairn.tui.model.MomentNow;
import cairn.tui.model.Next;
import cairn.tui.model.Row;
import cairn.tui.model.Samples;
import cairn.tui.model.Size;
import cairn.tui.model.StemLoudness;
import cairn.tui.model.StemSettings;
import java.io.IOException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Plays keys on {@link Update} alone. Effects are answered from the stems of an {@link ArraySong}
 * by the rules themselves; {@link #hold} keeps the answers back, so that keys have to wait.
 */
final class WalkScript {

  /** The line lies at −6.5 dBFS, 0.473, unless another is asked for. */
  static final Settings SETTINGS =
      Settings.DEFAULT.withLine(new Line.Level(-6.5)).withMetering(Metering.BUS);

  private final ArraySong stems = new ArraySong();
  private final Deque<Effect> asked = new ArrayDeque<>();

  /** All effects so far. */
  final List<Effect> effects = new ArrayList<>();

  private Pass pass;
  private WhatIf whatIf;
  private boolean holds;
  private Optional<Earlier> earlier = Optional.empty();
  Model model = Model.start(new Size(80, 24), new Look(true, Look.Colours.NONE), "parade");

  private WalkScript() {}

  /** The walk as it stands once the stems are read and the first moment was looked into. */
  static WalkScript open() {
    return open(Optional.empty());
  }

  /** The same with what an earlier opening kept. */
  static WalkScript open(Optional<Kept> kept) {
    WalkScript script = new WalkScript();
    script.read(script.stems.session(), SETTINGS, kept);
    script.answer();
    return script;
  }

  /**
   * A second pass over the stems: its highest moment was twice as high, its third is as it was, one
   * in the silence of the last second is gone, all others are new.
   */
  static WalkScript openSecond() {
    WalkScript script = new WalkScript();
    Pass pass = script.stems.analyse(script.stems.session(), SETTINGS);
    List<Moment> moments = pass.moments();
    List<EarlierMoment> before =
        List.of(
            earlier(moments.get(0), 2, OptionalDouble.of(moments.get(0).peak() / 2)),
            earlier(moments.get(2), 1, OptionalDouble.empty()),
            new EarlierMoment(38_000, 38_000, 38_000, 0.8, OptionalDouble.of(0.4)));
    EarlierPass plain = EarlierPass.of(pass);
    EarlierPass then =
        new EarlierPass(
            plain.sampleRateHz(),
            plain.grid(),
            plain.lineLevel(),
            plain.averagePeak(),
            before,
            plain.stems(),
            plain.blockPeaks());
    try (WhatIf bus = WhatIf.of(pass, script.stems)) {
      PassComparison compared = PassComparison.of(then, 0, pass, script.stems, Crew.ALONE);
      Earlier.Made made =
          new Earlier.Made(
              "claps",
              new Mark.OfFix(38_000, new Trim(0, 37_900, 38_100, 60), Optional.empty()),
              true);
      script.earlier =
          Optional.of(
              Earlier.of(
                  compared, moments, GoneMoments.of(compared, bus, moments.size()), List.of(made)));
    } catch (IOException e) {
      throw new AssertionError(e);
    }
    script.read(script.stems.session(), SETTINGS, Optional.empty());
    script.answer();
    return script;
  }

  private static EarlierMoment earlier(Moment moment, double times, OptionalDouble told) {
    return new EarlierMoment(
        moment.peakFrame(), moment.firstOver(), moment.lastOver(), times * moment.peak(), told);
  }

  private void read(Session session, Settings settings, Optional<Kept> kept) {
    try {
      pass = stems.analyse(session, settings);
      whatIf = WhatIf.of(pass, stems);
    } catch (IOException e) {
      throw new AssertionError(e);
    }
    tell(new Event.SongRead(ArraySong.song(pass, earlier), kept, Optional.empty()));
  }

  /** Hands an event over; its effects wait to be answered. */
  void tell(Event event) {
    Next next = Update.update(model, event);
    model = next.model();
    effects.addAll(next.effects());
    asked.addAll(next.effects());
  }

  /** From now on nothing is answered until {@link #answer} is called. */
  WalkScript hold() {
    holds = true;
    return this;
  }

  /** Answers all that was asked for, and what comes of it. */
  WalkScript answer() {
    while (!asked.isEmpty()) {
      try {
        answer(asked.remove());
      } catch (IOException | Unanalysable e) {
        throw new AssertionError(e);
      }
    }
    return this;
  }

  /**
   * Presses keys, one a word: a character, or the name of a key such as {@code Enter}, {@code
   * Space}, {@code Down}.
   */
  WalkScript press(String keys) {
    for (String key : keys.strip().split(" +", -1)) {
      press(
          key.codePointCount(0, key.length()) == 1
              ? KeyPress.text(key.codePointAt(0))
              : KeyPress.of(KeyPress.Name.valueOf(key.toUpperCase(Locale.ROOT).replace('-', '_'))));
    }
    return this;
  }

  WalkScript press(KeyPress key) {
    tell(new Event.Pressed(key));
    return holds ? this : answer();
  }

  /** Types text character by character. */
  WalkScript type(String text) {
    text.codePoints()
        .forEach(c -> press(c == ' ' ? KeyPress.of(KeyPress.Name.SPACE) : KeyPress.text(c)));
    return this;
  }

  List<Mark> marks() {
    return model.deeds().marks().list();
  }

  String said() {
    return model.message().orElse("");
  }

  /** States of all rows, one letter each, in their order. */
  String states() {
    StringBuilder states = new StringBuilder();
    model.rows().forEach(row -> states.append(row.state().letter()));
    return states.toString();
  }

  Row row() {
    return model.row().orElseThrow();
  }

  private void answer(Effect effect) throws IOException, Unanalysable {
    if (effect instanceof Effect.ReckonBus bus) {
      tell(new Event.BusReckoned(bus(bus.marks())));
    } else if (effect instanceof Effect.ReckonMoment moment) {
      moment(moment).ifPresent(m -> tell(new Event.MomentReckoned(m)));
    } else if (effect instanceof Effect.MakePlan plan) {
      tell(
          new Event.Planned(
              plan.taken(),
              new Planner(pass, stems, Crew.ALONE, Progress.NONE)
                  .plan(plan.taken(), plan.options())));
    } else if (effect instanceof Effect.SumPlan sum) {
      FixFinder finder = new FixFinder(pass.session(), pass.line(), FixLimits.DEFAULT);
      StepPeaks.of(whatIf, finder, sum.steps(), () -> false)
          .ifPresent(steps -> tell(new Event.PlanSummed(steps)));
    } else if (effect instanceof Effect.Count count) {
      int moments =
          new Analysis(pass.session(), stems, Crew.ALONE, Progress.NONE).count(pass, count.line());
      tell(new Event.Counted(count.line(), moments));
    } else if (effect instanceof Effect.Analyse analyse) {
      Session plain = stems.session();
      read(
          new Session(plain.sampleRateHz(), plain.monoGainDb(), plain.stems(), analyse.faders()),
          analyse.settings().orElse(SETTINGS),
          Optional.empty());
    } else if (effect instanceof Effect.Save save) {
      tell(new Event.Saved(save.change(), Optional.empty()));
    } else if (effect instanceof Effect.ReckonBands bands) {
      tell(
          new Event.BandsReckoned(
              StemBands.of(whatIf.to(bands.marks()), pass, bands.peakFrame(), bands.stems())));
    } else if (effect instanceof Effect.MeterStems) {
      tell(new Event.StemsMetered(pass, new StemLoudness(true, Optional.empty())));
    } else if (effect instanceof Effect.TrySettings asked) {
      tell(
          new Event.SettingsTried(
              pass,
              new StemSettings(
                  asked.leftAlone(),
                  true,
                  new WholeStems(pass, stems, Crew.ALONE, Progress.NONE).best(asked.leftAlone()),
                  SharedSound.strong(pass, stems, Crew.ALONE),
                  "")));
    } else if (effect instanceof Effect.AwaitRest rest) {
      tell(new Event.Rested(rest.keys()));
    }
  }

  private BusNow bus(Marks marks) throws IOException {
    whatIf = whatIf.to(marks);
    WhatIf now = whatIf;
    return new BusNow(
        marks,
        now.peak(),
        now.runs(),
        now.runs().stream().filter(run -> now.listed(run).isEmpty()).toList(),
        now.ladder(pass.moments()),
        now::blockPeak);
  }

  private Optional<OverRun> highest(WhatIf bus, long frame) {
    Optional<OverRun> listed = bus.listedAt(frame);
    if (listed.isEmpty()) {
      return bus.runs().stream().filter(run -> run.peakFrame() == frame).findFirst();
    }
    TimeRange place = bus.neighbourhood(listed.get());
    return bus.runs().stream()
        .filter(run -> place.contains(run.peakFrame()))
        .max(Comparator.comparingDouble(OverRun::peak));
  }

  /** A moment as it is with all marks; its places and fixes as they are without those on it. */
  private Optional<MomentNow> moment(Effect.ReckonMoment asked) throws IOException {
    WhatIf now = whatIf.to(asked.marks());
    long frame = asked.momentFrames().get(0);
    List<Mark> elsewhere =
        asked.marks().list().stream()
            .filter(mark -> !asked.momentFrames().contains(mark.momentFrame()))
            .toList();
    Optional<OverRun> over = highest(now, frame);
    WhatIf plain = now.to(new Marks(elsewhere));
    Optional<OverRun> run = over.isPresent() ? over : highest(plain, frame);
    if (run.isEmpty()) {
      return Optional.empty();
    }
    FixFinder finder = new FixFinder(pass.session(), pass.line(), PlanOptions.DEFAULT.limits());
    FixFinder byHand = new FixFinder(pass.session(), pass.line(), FixLimits.DEFAULT);
    WhatIf base = over.isPresent() ? now : plain;
    Moment explained = base.explain(run.get());
    FixesHere here = base.fixes(byHand, run.get());
    Map<Integer, MomentNow.Fixes> fixes = new HashMap<>();
    Map<Integer, Hit> hits = new HashMap<>();
    for (Contribution c : explained.leading()) {
      hits.put(c.stem(), here.hit(c.stem()));
      fixes.put(
          c.stem(),
          new MomentNow.Fixes(
              here.leastNudge(c.stem()), here.leastTrim(c.stem()), here.leastClip(c.stem())));
    }
    List<MomentNow.Place> places = new ArrayList<>();
    places.add(new MomentNow.Place(frame, run.get().firstOver(), run.get().lastOver(), hits));
    for (long other : asked.momentFrames().subList(1, asked.momentFrames().size())) {
      Optional<OverRun> there = highest(plain, other);
      if (there.isPresent()) {
        FixesHere fixesThere = plain.fixes(finder, there.get());
        Map<Integer, Hit> hitsThere = new HashMap<>();
        hits.keySet().forEach(k -> hitsThere.put(k, fixesThere.hit(k)));
        places.add(
            new MomentNow.Place(other, there.get().firstOver(), there.get().lastOver(), hitsThere));
      }
    }
    Excerpt at = now.excerpt(new TimeRange(run.get().peakFrame(), run.get().peakFrame() + 1));
    double level = Math.abs(at.bus()[run.get().channel()][0]);
    Samples none = new Samples(new float[0]);
    return Optional.of(
        new MomentNow(
            asked.marks(),
            frame,
            asked.allAlike(),
            new MomentNow.Pile(
                over.isPresent(),
                explained.isLong(),
                run.get().peakFrame(),
                run.get().channel(),
                over.isPresent() ? run.get().peak() : level,
                over.isPresent() ? run.get().longestRun() : 0,
                over.isPresent() ? explained.depth() : 0,
                explained.contributions()),
            places,
            fixes,
            new Advisor(
                    finder,
                    PlanOptions.DEFAULT.withLeftAlone(asked.leftAlone()),
                    pass.session().sampleRateHz())
                .advise(now, asked.allAlike() ? asked.momentFrames() : List.of(frame), () -> false),
            "nothing gentle lowers it",
            new MomentNow.Wave(frame, frame, none, Map.of(), Map.of(), Map.of())));
  }
}
