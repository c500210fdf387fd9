package cairn.collisions.fix;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.signal.Levels;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Every search against the plainest reading of definitions.md, 4, on seeded random material. */
class FixSearchTest {

  private static final int RATE = 2_000;

  @ParameterizedTest
  @EnumSource
  void everySearchFindsWhatTryingEverythingFinds(PeakMode mode) {
    Map<String, Integer> found = new TreeMap<>();
    // Trying everything takes long where every level is filtered.
    int last = mode == PeakMode.SAMPLE_PEAK ? 20 : 10;
    for (int seed = 1; seed <= last; seed++) {
      compare(mode, seed, found);
    }
    // Cleared and partial of every kind, none, and sustained hits must all have come up often.
    assertEquals(9, found.size(), found.toString());
    assertTrue(found.values().stream().allMatch(times -> times >= 5), found.toString());
  }

  private static void compare(PeakMode mode, int seed, Map<String, Integer> found) {
    Random random = new Random(seed);
    ArrayStems stems = stems(random);
    Session session = faders(random, stems.session());
    Pass pass =
        seed % 3 == 0
            ? stems.analyse(
                session,
                Settings.DEFAULT
                    .withMode(mode)
                    .withBaseline(Baseline.LOCAL)
                    .withLine(new Line.Margin(seed % 2)))
            : underThePeak(mode, stems, session, 0.5 + seed % 4);
    double[][][] y = onBus(session, stems);
    FixFinder finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    List<Moment> some = pass.moments().subList(0, Math.min(3, pass.moments().size()));
    for (Moment moment : some) {
      SlowFixes slow = new SlowFixes(session, y, pass.line(), moment);
      FixesHere here =
          finder.at(Excerpts.cut(Levels.of(mode), y, y, finder.excerptRange(moment)), moment);
      for (int k = 0; k < y.length; k++) {
        String where = mode + ", seed " + seed + ", moment " + moment.rank() + ", stem " + k;
        assertEquals(slow.hit(k), here.hit(k), where);
        if (!moment.isLong()) {
          assertSame(where, slow.nudge(k, 6), here.leastNudge(k));
          assertSame(where, slow.trim(k), here.leastTrim(k));
          assertSame(where, slow.clip(k), here.leastClip(k));
          judgesAlike(where, here, here.leastNudge(k));
          judgesAlike(where, here, here.leastTrim(k));
          judgesAlike(where, here, here.leastClip(k));
          count(found, here.proposals(k));
        }
      }
    }
  }

  private static void count(Map<String, Integer> found, Proposals proposals) {
    if (proposals.hit().sustained()) {
      found.merge("sustained", 1, Integer::sum);
    }
    List<Attempt> all =
        Stream.of(proposals.nudge(), proposals.trim(), proposals.clip())
            .flatMap(Optional::stream)
            .toList();
    for (Attempt attempt : all) {
      String outcome = attempt.cleared() ? " clears" : " lowers";
      found.merge(attempt.fix().kind() + outcome, 1, Integer::sum);
    }
    if (all.isEmpty()) {
      found.merge("none", 1, Integer::sum);
    }
    if (proposals.clip().isPresent()
        && proposals.clip().get().change().clippedFrames() > 0
        && proposals.clip().get().change().frames()
            > proposals.clip().get().fix().endFrame() - proposals.clip().get().fix().startFrame()) {
      found.merge("lobe past the span", 1, Integer::sum);
    }
  }

  /** Analysed with a line so many dB under the highest peak. */
  private static Pass underThePeak(PeakMode mode, ArrayStems stems, Session session, double db) {
    Settings settings = Settings.DEFAULT.withMode(mode);
    double peak = stems.analyse(session, settings).peak();
    return stems.analyse(
        session, settings.withLine(new Line.Level(Decibels.ofAmplitude(peak) - db)));
  }

  private static void judgesAlike(String where, FixesHere here, Optional<Attempt> attempt) {
    if (attempt.isPresent()) {
      Fix fix = attempt.get().fix();
      assertEquals(attempt, here.judge(fix).attempt(), where);
      assertEquals(attempt.get().cleared(), here.clears(fix), where);
    }
  }

  private static void assertSame(
      String where, Optional<SlowFixes.Found> expected, Optional<Attempt> found) {
    assertEquals(
        expected, found.map(FixSearchTest::asFound), where + ", " + found.map(Attempt::fix));
  }

  private static SlowFixes.Found asFound(Attempt attempt) {
    int amount = 0;
    if (attempt.fix() instanceof Nudge nudge) {
      amount = nudge.frames();
    } else if (attempt.fix() instanceof Trim trim) {
      amount = trim.tenthsDb();
    } else if (attempt.fix() instanceof Clip clip) {
      amount = clip.ceilingTenthsDb();
    }
    Change change = attempt.change();
    return new SlowFixes.Found(
        amount,
        attempt.cleared(),
        attempt.leftLevel(),
        (int) change.fromFrame(),
        (int) change.toFrame(),
        (int) change.longestLobeFrames());
  }

  /** Bursts that often meet, tones, a bed; some stems short, some silent at their ends. */
  private static ArrayStems stems(Random random) {
    ArrayStems stems = new ArrayStems(RATE);
    int frames = 3_000 + random.nextInt(1_000);
    int[] meetings = new int[6];
    for (int i = 0; i < meetings.length; i++) {
      meetings[i] = random.nextInt(frames);
    }
    meetings[0] = random.nextInt(60);
    int count = 3 + random.nextInt(4);
    for (int k = 0; k < count; k++) {
      int length = random.nextInt(3) == 0 ? frames - random.nextInt(400) : frames;
      double[][] x = new double[1 + random.nextInt(2)][length];
      double floor = random.nextInt(3) == 0 ? 0.02 * random.nextDouble() : 0;
      for (double[] channel : x) {
        for (int i = 0; i < length; i++) {
          channel[i] = floor * random.nextGaussian();
        }
      }
      for (int meeting : meetings) {
        if (random.nextInt(4) > 0) {
          burst(random, x, meeting + random.nextInt(5) - 2);
        }
      }
      stems.stem("stem " + k, x);
    }
    return stems;
  }

  private static void burst(Random random, double[][] x, int at) {
    double amplitude = 0.1 + 0.4 * random.nextDouble();
    double decay = 20 + random.nextInt(300);
    double step = 0.05 + random.nextDouble();
    double phase = 2 * Math.PI * random.nextDouble();
    boolean square = random.nextInt(5) == 0;
    for (double[] channel : x) {
      double pan = 0.5 + 0.5 * random.nextDouble();
      for (int i = Math.max(0, at); i < Math.min(channel.length, at + 5 * decay); i++) {
        double tone = Math.sin(phase + step * (i - at));
        double shape = square ? 0.5 * Math.signum(tone) : tone;
        channel[i] += pan * amplitude * Math.exp(-(i - at) / decay) * shape;
      }
    }
  }

  private static Session faders(Random random, Session session) {
    List<Fader> faders = new ArrayList<>();
    for (int k = 0; k < session.stems().size(); k++) {
      Fader fader =
          Fader.UNITY
              .withGainDb(random.nextInt(7) - 3)
              .withReversed(random.nextBoolean())
              .withMuted(random.nextInt(8) == 0);
      faders.add(random.nextInt(4) == 0 ? fader.withOffset(random.nextInt(21) - 10) : fader);
    }
    return new Session(session.sampleRateHz(), -3, session.stems(), faders);
  }

  /** {@code y[k][c][n]} for the whole session. */
  static double[][][] onBus(Session session, ArrayStems stems) {
    int frames = (int) session.frames();
    double[][][] y = new double[session.stems().size()][2][frames];
    for (int k = 0; k < y.length; k++) {
      double[][] x = stems.samples(k);
      for (int c = 0; c < 2; c++) {
        double[] channel = x[x.length == 1 ? 0 : c];
        for (int n = 0; n < frames; n++) {
          long at = n - session.faders().get(k).offset();
          y[k][c][n] = at >= 0 && at < channel.length ? session.factor(k) * channel[(int) at] : 0;
        }
      }
    }
    return y;
  }

  @ParameterizedTest
  @ValueSource(ints = {21, 22, 23, 24})
  void noProposedFixMakesAFrameLouderThanTheLineAndAllNearIt(int seed) {
    Random random = new Random(seed);
    ArrayStems stems = stems(random);
    Session session = faders(random, stems.session());
    PeakMode mode = seed % 2 == 0 ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK;
    boolean truePeak = mode == PeakMode.TRUE_PEAK;
    Pass pass = underThePeak(mode, stems, session, 3);
    double[][][] y = onBus(session, stems);
    double[] before = Excerpts.levels(y, truePeak);
    FixFinder finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    int tried = 0;
    for (Moment moment : pass.moments()) {
      FixesHere here =
          finder.at(Excerpts.cut(Levels.of(mode), y, y, finder.excerptRange(moment)), moment);
      for (int k = 0; k < y.length; k++) {
        Proposals proposals = here.proposals(k);
        for (Optional<Attempt> attempt :
            List.of(proposals.nudge(), proposals.trim(), proposals.clip())) {
          if (attempt.isPresent()) {
            tried++;
            double[][][] changed = y.clone();
            changed[k] = new double[][] {y[k][0].clone(), y[k][1].clone()};
            FixApplier.apply(attempt.get().fix(), RATE, changed[k], 0, pass.range());
            double[] after = Excerpts.levels(changed, truePeak);
            for (int n = 0; n < after.length; n++) {
              double highest = pass.line().levelAt(n);
              for (int m = Math.max(0, n - 70); m <= Math.min(after.length - 1, n + 70); m++) {
                highest = Math.max(highest, before[m]);
              }
              assertTrue(
                  after[n] <= highest,
                  "seed "
                      + seed
                      + ", "
                      + attempt.get().fix()
                      + " at "
                      + n
                      + ": "
                      + Decibels.ofAmplitude(after[n] / highest)
                      + " dB");
            }
          }
        }
      }
    }
    assertTrue(tried > 5, "seed " + seed + ": " + tried);
  }
}
