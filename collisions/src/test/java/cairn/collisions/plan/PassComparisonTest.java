package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.OverRun;
import cairn.collisions.plan.PassComparison.Fate;
import cairn.collisions.plan.PassComparison.Fresh;
import cairn.collisions.plan.PassComparison.State;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Worked examples, and songs from a seed held against a slow comparison of whole buses. */
class PassComparisonTest {

  private static final int RATE = 8_000;

  /** {@code G = round(0.035·8000)}. */
  private static final int GAP = 280;

  private static final Settings AT_HALF = Settings.DEFAULT.withLine(new Line.Held(0.5));

  /** Six seconds of a cosine that is 0.25 at every frame that 80 divides. */
  private static double bed(long n) {
    return 0.25 * Math.cos(2 * Math.PI * n / 80);
  }

  private static ArrayStems song(Map<Integer, Double> hits) {
    double[] kick = new double[6 * RATE];
    hits.forEach((frame, size) -> kick[frame] = size);
    return new ArrayStems(RATE).mono("bed", 6 * RATE, PassComparisonTest::bed).mono("kick", kick);
  }

  private static PassComparison compare(EarlierPass earlier, long shift, ArrayStems now)
      throws IOException {
    return PassComparison.of(earlier, shift, now.analyse(Settings.DEFAULT), now, Crew.ALONE);
  }

  private static final Map<Integer, Double> FOUR_HITS =
      Map.of(4_000, 0.4, 12_000, 0.4, 20_000, 0.4, 28_000, 0.4);

  private static EarlierPass fourHits() {
    return EarlierPass.of(song(FOUR_HITS).analyse(AT_HALF));
  }

  private static List<Fate> inTime(PassComparison comparison) {
    List<Fate> fates = new ArrayList<>(comparison.fates());
    fates.sort((a, b) -> Long.compare(a.moment().peakFrame(), b.moment().peakFrame()));
    return fates;
  }

  @Test
  void momentsAreGoneLowerStillThereAndNew() throws IOException {
    // Bed and hit make 0.65 four times, over a line at 0.5. Then: 0.45; 0.55; 0.645, which is 0.067
    // dB lower; 0.65; and 0.6 where nothing was over.
    PassComparison comparison =
        compare(
            fourHits(),
            0,
            song(Map.of(4_000, 0.2, 12_000, 0.3, 20_000, 0.395, 28_000, 0.4, 36_000, 0.35)));
    List<Fate> fates = inTime(comparison);
    assertEquals(
        List.of(State.GONE, State.LOWER, State.STILL, State.STILL),
        fates.stream().map(Fate::state).toList());
    double[] now = {0.45, 0.55, 0.645, 0.65};
    for (int i = 0; i < 4; i++) {
      // An ulp or two of cosine and sum.
      assertEquals(now[i], fates.get(i).peakNow(), 1e-15);
      assertEquals(20 * Math.log10(0.65 / now[i]), fates.get(i).gotDb(), 1e-12);
      assertTrue(fates.get(i).toldDb().isEmpty());
      assertFalse(fates.get(i).pointsToProcessing());
    }
    assertEquals(1, comparison.fresh().size());
    assertEquals(36_000, comparison.fresh().get(0).peakFrame());
    assertEquals(0.6, comparison.fresh().get(0).peak(), 1e-15);
    assertEquals(
        List.of(1, 1, 2, 1),
        List.of(
            comparison.count(State.GONE),
            comparison.count(State.LOWER),
            comparison.count(State.STILL),
            comparison.count(State.NEW)));
  }

  @Test
  void atTheLineItIsGoneAndATenthOfADecibelIsLower() throws IOException {
    // 0.25 is the level of the bed at its crests: a line there is not passed by it.
    double tenth = 0.65 * Math.pow(10, -0.1 / 20);
    EarlierPass all = fourHits();
    EarlierPass atBed =
        new EarlierPass(
            RATE,
            all.grid(),
            0.25,
            all.averagePeak(),
            all.moments(),
            all.stems(),
            all.blockPeaks());
    PassComparison comparison =
        compare(
            atBed,
            0,
            song(Map.of(12_000, tenth - 0.25 - 1e-9, 20_000, tenth - 0.25 + 1e-9, 28_000, 0.5)));
    assertEquals(
        List.of(State.GONE, State.LOWER, State.STILL, State.STILL),
        inTime(comparison).stream().map(Fate::state).toList());
    // The last one rose from 0.65 to 0.75.
    assertEquals(-20 * Math.log10(0.75 / 0.65), inTime(comparison).get(3).gotDb(), 1e-12);
  }

  @Test
  void theNeighbourhoodReaches35MillisecondsBeyondTheSpanOnEitherSide() throws IOException {
    // Crests of the bed lie 40 frames apart; 280 frames on, at the neighbourhood's last frame, it
    // is -0.25: a hit of -0.4 makes 0.65 there. One frame on it is outside.
    PassComparison inside = compare(fourHits(), 0, song(Map.of(4_000 + GAP, -0.4)));
    assertEquals(State.STILL, inTime(inside).get(0).state());
    assertEquals(0, inside.count(State.NEW));
    PassComparison outside = compare(fourHits(), 0, song(Map.of(4_000 + GAP + 1, -0.4)));
    assertEquals(State.GONE, inTime(outside).get(0).state());
    assertEquals(List.of(4_000L + GAP + 1), frames(outside.fresh()));
    PassComparison before = compare(fourHits(), 0, song(Map.of(4_000 - GAP, -0.4)));
    assertEquals(State.STILL, inTime(before).get(0).state());
    PassComparison earlier = compare(fourHits(), 0, song(Map.of(4_000 - GAP - 1, -0.4)));
    assertEquals(State.GONE, inTime(earlier).get(0).state());
  }

  private static List<Long> frames(List<Fresh> fresh) {
    return fresh.stream().map(Fresh::peakFrame).toList();
  }

  @Test
  void averagePeaksStandBesideEachOtherAndTheLineIsHeld() throws IOException {
    // Twelve windows: four of 0.65 and eight of 0.25, all within 10 dB of their mean; then all
    // 0.25.
    PassComparison comparison = compare(fourHits(), 0, song(Map.of()));
    assertEquals((4 * 0.65 + 8 * 0.25) / 12, comparison.earlier().averagePeak(), 1e-15);
    assertEquals(0.25, comparison.averagePeakNow(), 1e-15);
    assertEquals(0.5, comparison.earlier().lineLevel(), 0);
    assertEquals(4, comparison.count(State.GONE));
  }

  @Test
  void toldAndGotPartWhereSomethingAfterTheStemsActs() throws IOException {
    ArrayStems stems = song(FOUR_HITS);
    Pass pass = stems.analyse(AT_HALF);
    try (WhatIf plain = WhatIf.of(pass, stems)) {
      // Told: 3.0 dB off the hit of 0.4, so 0.25 + 0.2832 = 0.5332.
      WhatIf whatIf = plain.with(Mark.of(4_000, new Trim(1, 3_900, 4_100, 30)));
      EarlierPass earlier = EarlierPass.of(pass, whatIf);
      double told = 0.25 + 0.4 * Math.pow(10, -3.0 / 20);
      // Got: 0.29 dB less than told, and 0.31 dB less.
      for (double shortDb : new double[] {0.29, 0.31}) {
        double got = told * Math.pow(10, shortDb / 20);
        PassComparison comparison =
            compare(
                earlier, 0, song(Map.of(4_000, got - 0.25, 12_000, 0.4, 20_000, 0.4, 28_000, 0.4)));
        Fate marked = inTime(comparison).get(0);
        assertEquals(20 * Math.log10(0.65 / told), marked.toldDb().orElseThrow(), 1e-12);
        assertEquals(20 * Math.log10(0.65 / got), marked.gotDb(), 1e-12);
        assertEquals(shortDb > 0.3, marked.pointsToProcessing());
        // Where nothing is marked nothing is told to fall.
        assertEquals(0, inTime(comparison).get(1).toldDb().orElseThrow(), 0);
        // What was marked does not make the stem a changed one.
        assertTrue(comparison.stems().none(), comparison.stems().toString());
      }
    }
  }

  @Test
  void stemsThatChangedWereRenamedAddedOrRemovedAreNamed() throws IOException {
    int frames = 6 * RATE;
    double[] clap = new double[frames];
    clap[9_000] = 0.3;
    ArrayStems before =
        new ArrayStems(RATE)
            .mono("bass", frames, n -> 0.1 * Math.sin(n / 9.0))
            .mono("bed", frames, PassComparisonTest::bed)
            .mono("clap", clap)
            .mono("silence", frames, n -> 0)
            .mono("whistle", frames, n -> 0.05 * Math.sin(n / 3.0));
    double[] softer = clap.clone();
    softer[9_000] = 0.3 * Math.pow(10, -0.11 / 20);
    ArrayStems after =
        new ArrayStems(RATE)
            .mono("agogo", frames, n -> 0.07 * Math.sin(n / 4.0))
            .mono("bed", frames, n -> bed(n) * Math.pow(10, 0.09 / 20))
            .mono("clap", softer)
            .mono("low", frames, n -> 0.1 * Math.sin(n / 9.0))
            .mono("quiet", frames, n -> 0);
    EarlierPass earlier = EarlierPass.of(before.analyse(Settings.DEFAULT));
    StemChanges changes = compare(earlier, 0, after).stems();
    assertEquals(List.of("clap"), changes.changed());
    assertEquals(List.of(new StemChanges.Renamed("bass", "low")), changes.renamed());
    // Silence has no figures to be known by.
    assertEquals(List.of("agogo", "quiet"), changes.added());
    assertEquals(List.of("silence", "whistle"), changes.removed());
    assertTrue(compare(earlier, 0, before).stems().none());
  }

  @Test
  void ofStemsThatAreNotKnownNothingIsSaid() throws IOException {
    EarlierPass all = fourHits();
    EarlierPass figures =
        new EarlierPass(
            RATE,
            all.grid(),
            all.lineLevel(),
            all.averagePeak(),
            all.moments(),
            List.of(),
            all.blockPeaks());
    PassComparison comparison = compare(figures, 0, song(Map.of(4_000, 0.4)));
    assertTrue(comparison.stems().none());
    assertEquals(3, comparison.count(State.GONE));
  }

  @Test
  void aLocalLineIsNoneToHold() {
    Pass local = song(FOUR_HITS).analyse(Settings.DEFAULT.withBaseline(Baseline.LOCAL));
    assertThrows(IllegalArgumentException.class, () -> EarlierPass.of(local));
  }

  /** Pulses of some stems over a bed, here and there on top of each other. */
  private static ArrayStems random(Random random) {
    int frames = 5 * RATE + random.nextInt(RATE);
    ArrayStems stems = new ArrayStems(RATE);
    double phase = random.nextDouble();
    stems.mono("bed", frames, n -> 0.1 * Math.sin(2 * Math.PI * (n / 73.0 + phase)));
    for (int k = 0; k < 4; k++) {
      double[][] x = new double[k == 1 ? 1 : 2][frames];
      int period = 1_500 + 250 * random.nextInt(4);
      for (int hit = random.nextInt(800); hit < frames; hit += period + random.nextInt(60)) {
        double size = 0.1 + 0.2 * random.nextDouble();
        double wave = 20 + random.nextInt(30);
        for (int i = 0; i < 500 && hit + i < frames; i++) {
          double value = size * Math.exp(-i / 120.0) * Math.sin(2 * Math.PI * (i + 4) / wave);
          x[0][hit + i] += value;
          x[x.length - 1][hit + i] += x.length == 2 ? 0.7 * value : 0;
        }
      }
      stems.stem("pulse " + k, x);
    }
    return stems;
  }

  private static List<Mark> marks(Random random, WhatIf plain, int count) {
    List<Mark> marks = new ArrayList<>();
    while (marks.size() < count) {
      OverRun run = plain.runs().get(random.nextInt(plain.runs().size()));
      int stem = 1 + random.nextInt(4);
      long from = Math.max(0, run.peakFrame() - 50 - random.nextInt(200));
      long end = run.peakFrame() + 50 + random.nextInt(400);
      Fix fix =
          random.nextBoolean()
              ? new Nudge(stem, from, end, 1 + random.nextInt(24))
              : new Trim(stem, from, end, 1 + random.nextInt(60));
      Mark mark = Mark.of(run.peakFrame(), fix);
      if (!marks.contains(mark)) {
        marks.add(mark);
      }
    }
    return marks;
  }

  /** The stems of a what-if, written out, all later by some frames or earlier. */
  private static ArrayStems exported(ArrayStems stems, WhatIf whatIf, int shift)
      throws IOException {
    ArrayStems after = new ArrayStems(RATE);
    int frames = (int) stems.session().frames();
    for (int k = 0; k < stems.session().stems().size(); k++) {
      double[][] y = new double[2][frames];
      whatIf.stemOnBus(k, 0, frames, y);
      int channels = stems.session().stems().get(k).channels();
      double[][] x = new double[channels][frames + shift];
      for (int c = 0; c < channels; c++) {
        System.arraycopy(
            y[c], Math.max(0, -shift), x[c], Math.max(0, shift), frames - Math.max(0, -shift));
      }
      after.stem(stems.session().stems().get(k).name(), x);
    }
    return after;
  }

  @Test
  void whatTheWhatIfToldIsGotWhenItsStemsAreExportedAtAnyShift() throws IOException {
    int lower = 0;
    int gone = 0;
    int fresh = 0;
    for (int seed = 0; seed < 12; seed++) {
      String what = "seed " + seed;
      Random random = new Random(seed);
      ArrayStems stems = random(random);
      Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Margin(random.nextInt(3) - 1)));
      assertFalse(pass.moments().isEmpty(), what);
      try (WhatIf plain = WhatIf.of(pass, stems)) {
        WhatIf whatIf = plain.withAll(marks(random, plain, 1 + random.nextInt(8)));
        EarlierPass earlier = EarlierPass.of(pass, whatIf);
        int shift = seed % 3 == 0 ? 0 : random.nextInt(2 * RATE + 1) - RATE;
        // What an earlier start cuts off is lost; nothing is over there.
        boolean cutsNone = pass.moments().stream().allMatch(m -> m.firstOver() - GAP + shift >= 0);
        if (!cutsNone) {
          continue;
        }
        ArrayStems after = exported(stems, whatIf, shift);
        assertEquals(
            shift,
            ((Shift.Found) ShiftFinder.find(pass, stems, after.session(), after)).frames(),
            what);
        PassComparison comparison = compare(earlier, shift, after);
        for (Fate fate : comparison.fates()) {
          assertEquals(fate.moment().told().orElseThrow(), fate.peakNow(), 0, what + fate);
          assertFalse(fate.pointsToProcessing(), what + fate);
        }
        assertTrue(comparison.stems().none(), what + comparison.stems());
        slow(stems, after, shift, pass.line().level(0), comparison, what);
        // The same with some hits more, anywhere.
        for (int i = 0; i < 3; i++) {
          double[] x = after.samples(1 + random.nextInt(4))[0];
          x[random.nextInt(x.length)] += 0.5;
        }
        comparison = compare(earlier, shift, after);
        slow(stems, after, shift, pass.line().level(0), comparison, what);
        lower += comparison.count(State.LOWER);
        gone += comparison.count(State.GONE);
        fresh += comparison.count(State.NEW);
      }
    }
    assertTrue(
        lower > 3 && gone > 3 && fresh > 0, "lower " + lower + ", gone " + gone + ", new " + fresh);
  }

  /** Levels of the whole bus. */
  private static double[] levels(ArrayStems stems) {
    int frames = (int) stems.session().frames();
    double[][] bus = new double[2][frames];
    for (int k = 0; k < stems.session().stems().size(); k++) {
      double[][] x = stems.samples(k);
      for (int n = 0; n < x[0].length; n++) {
        bus[0][n] += x[0][n];
        bus[1][n] += x[x.length - 1][n];
      }
    }
    double[] p = new double[frames];
    for (int n = 0; n < frames; n++) {
      p[n] = Math.max(Math.abs(bus[0][n]), Math.abs(bus[1][n]));
    }
    return p;
  }

  /** Spans of the moments over a level, and the first largest frame of each. */
  private static List<int[]> spans(double[] p, double level) {
    List<int[]> spans = new ArrayList<>();
    for (int n = 0; n < p.length; n++) {
      if (p[n] > level) {
        int[] last = spans.isEmpty() ? null : spans.get(spans.size() - 1);
        if (last == null || n - last[1] > GAP) {
          spans.add(new int[] {n, n, n});
        } else {
          last[1] = n;
          last[2] = p[n] > p[last[2]] ? n : last[2];
        }
      }
    }
    return spans;
  }

  /** Section 5 on whole arrays, frame by frame. */
  private static void slow(
      ArrayStems before,
      ArrayStems after,
      int shift,
      double level,
      PassComparison comparison,
      String what) {
    double[] p = levels(before);
    double[] q = levels(after);
    Map<Long, State> states = new TreeMap<>();
    TreeSet<Integer> covered = new TreeSet<>();
    for (int[] span : spans(p, level)) {
      double largest = 0;
      for (int n = span[0] - GAP; n <= span[1] + GAP; n++) {
        covered.add(n + shift);
        if (n >= 0 && n < p.length && n + shift >= 0 && n + shift < q.length) {
          largest = Math.max(largest, q[n + shift]);
        }
      }
      double fellDb = 20 * Math.log10(p[span[2]] / largest);
      states.put(
          (long) span[2],
          largest <= level ? State.GONE : fellDb >= 0.1 ? State.LOWER : State.STILL);
    }
    Map<Long, State> found = new TreeMap<>();
    comparison.fates().forEach(fate -> found.put(fate.moment().peakFrame(), fate.state()));
    assertEquals(states, found, what);
    TreeSet<Long> fresh = new TreeSet<>();
    for (int[] span : spans(q, level)) {
      if (!covered.contains(span[2])) {
        fresh.add((long) span[2]);
      }
    }
    assertEquals(fresh, new TreeSet<>(frames(comparison.fresh())), what);
  }

  @Test
  void aStemThatIsTurnedDownEverywhereIsChangedAtAnyShift() throws IOException {
    for (int shift : new int[] {0, 4_000, 37, -1_234}) {
      ArrayStems stems = random(new Random(5));
      Pass pass = stems.analyse(Settings.DEFAULT);
      try (WhatIf plain = WhatIf.of(pass, stems)) {
        // A trim over the whole stem that is no mark of the earlier pass.
        WhatIf turned = plain.with(Mark.of(0, new Trim(3, 0, stems.session().frames(), 40)));
        ArrayStems after = exported(stems, turned, shift);
        assertEquals(
            List.of("pulse 2"), compare(EarlierPass.of(pass), shift, after).stems().changed());
      }
    }
  }

  @Test
  void aRangeIsComparedWhereBothLooked() throws IOException {
    ArrayStems stems = song(FOUR_HITS);
    Pass part = stems.analyse(AT_HALF.withRange(new TimeRange(8_000, 24_000)));
    PassComparison comparison =
        PassComparison.of(
            EarlierPass.of(part),
            0,
            stems.analyse(Settings.DEFAULT.withRange(new TimeRange(8_000, 24_000))),
            stems,
            Crew.ALONE);
    assertEquals(2, comparison.count(State.STILL));
    assertEquals(0, comparison.count(State.NEW));
    assertTrue(comparison.stems().none());
  }
}
