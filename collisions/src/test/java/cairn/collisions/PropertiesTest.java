package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import java.util.stream.LongStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What holds for every song, tried on seeded ones; each failure names its seed. */
class PropertiesTest {

  private static final Map<String, Predicate<Moment>> KINDS =
      Map.of(
          "lone", Moment::isLone,
          "of two", m -> m.depth() == 2,
          "of three and more", m -> m.depth() >= 3,
          "long", Moment::isLong,
          "short", m -> !m.isLong(),
          "on the right", m -> m.channel() == 1,
          "in several runs", m -> m.overFrames() > m.longestRun(),
          "eased", m -> m.contributions().stream().anyMatch(Contribution::eases));

  private static ExecutorService pool;

  @BeforeAll
  static void openPool() {
    pool = Executors.newFixedThreadPool(4);
  }

  @AfterAll
  static void closePool() {
    pool.shutdownNow();
  }

  static LongStream seeds() {
    return LongStream.rangeClosed(1, 30);
  }

  static LongStream fewSeeds() {
    return LongStream.rangeClosed(1, 8);
  }

  private static Pass pass(RandomSong song, Crew crew, int readFrames)
      throws IOException, Unanalysable {
    return new Analysis(song.session, song.stems, crew, Progress.NONE, readFrames)
        .run(song.settings);
  }

  private static Pass pass(RandomSong song) throws IOException, Unanalysable {
    return pass(song, Crew.ALONE, Analysis.READ_FRAMES);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void bruteForceFindsTheSameMoments(long seed) throws IOException, Unanalysable {
    RandomSong song = new RandomSong(seed);
    BruteForce bruteForce = song.bruteForce();
    if (bruteForce.averagePeak.isEmpty()) {
      assertThrows(Unanalysable.Silent.class, () -> pass(song), song.seed);
      return;
    }
    Pass pass = pass(song);
    assertArrayEquals(bruteForce.windowPeak, pass.summary().windowPeaks(), song.seed);
    int[] loud = bruteForce.loudPart();
    assertEquals(
        new TimeRange(bruteForce.edges.get(loud[0]), bruteForce.edges.get(loud[1])),
        pass.line().loudPart(),
        song.seed);
    BruteForce.assertSame(bruteForce.moments(), pass.moments(), song.seed);
  }

  @Test
  void theSeedsMakeWorthwhileSongs() throws IOException, Unanalysable {
    // What the other properties are tried on: both kinds of moments, long and short ones, every
    // baseline and range; hardly any song is silent.
    List<Moment> moments = new ArrayList<>();
    List<Baseline> baselines = new ArrayList<>();
    int ranges = 0;
    int beats = 0;
    for (long seed : seeds().toArray()) {
      RandomSong song = new RandomSong(seed);
      if (song.bruteForce().averagePeak.isPresent()) {
        moments.addAll(pass(song).moments());
        baselines.add(song.settings.baseline());
        ranges += song.settings.range().isPresent() ? 1 : 0;
        beats += song.settings.beatWindows().isPresent() ? 1 : 0;
      }
    }
    assertTrue(baselines.size() >= 20, "songs: " + baselines.size());
    assertTrue(baselines.containsAll(RandomSong.BASELINES));
    assertTrue(ranges >= 5 && beats >= 5, "ranges: " + ranges + ", beats: " + beats);
    assertEquals(
        List.of(),
        KINDS.entrySet().stream()
            .filter(kind -> moments.stream().filter(kind.getValue()).count() < 10)
            .map(Map.Entry::getKey)
            .toList(),
        "kinds with fewer than ten moments");
  }

  @ParameterizedTest
  @MethodSource("fewSeeds")
  void blockSizeAndCrewChangeNotABit(long seed) throws IOException, Unanalysable {
    RandomSong song = new RandomSong(100 + seed);
    Pass expected = pass(song);
    for (int readFrames : new int[] {1, 7, 480, 4_096, Integer.MAX_VALUE}) {
      for (int workers : new int[] {1, 2, 5}) {
        Pass actual = pass(song, new Crew(pool, workers), readFrames);
        String which = song.seed + ", reading " + readFrames + ", workers " + workers;
        // Records compare doubles by their bits.
        assertEquals(expected.moments(), actual.moments(), which);
        assertEquals(expected.stems(), actual.stems(), which);
        assertEquals(expected.peak(), actual.peak(), which);
        assertEquals(expected.summary().peakFrame(), actual.summary().peakFrame(), which);
        assertEquals(expected.line().loudPart(), actual.line().loudPart(), which);
        for (int j = 0; j < expected.line().grid().windows(); j++) {
          assertEquals(expected.line().averagePeak().at(j), actual.line().averagePeak().at(j));
        }
        for (int i = 0; i < expected.summary().blocks(); i++) {
          assertEquals(expected.summary().blockPeak(i), actual.summary().blockPeak(i), which);
        }
        for (int k = 0; k < song.session.stems().size(); k++) {
          assertArrayEquals(
              expected.summary().stemWindowPeaks(k), actual.summary().stemWindowPeaks(k), which);
        }
      }
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void contributionsAddUpToThePeakAndNoFrameOutsideTheMomentsIsOver(long seed)
      throws IOException, Unanalysable {
    RandomSong song = new RandomSong(200 + seed);
    BruteForce bruteForce = song.bruteForce();
    if (bruteForce.averagePeak.isEmpty()) {
      return;
    }
    Pass pass = pass(song);
    double[] p = bruteForce.p.clone();
    for (Moment moment : pass.moments()) {
      double sum = moment.contributions().stream().mapToDouble(Contribution::amplitude).sum();
      double shares = moment.contributions().stream().mapToDouble(Contribution::share).sum();
      // At most six numbers below 4: a few units in the last place.
      assertEquals(moment.peak(), sum, 1e-14, song.seed);
      assertEquals(1, shares, 1e-13, song.seed);
      for (long n = moment.firstOver(); n <= moment.lastOver(); n++) {
        p[(int) n] = 0;
      }
    }
    for (int n = bruteForce.from; n < bruteForce.to; n++) {
      double line = pass.line().levelAt(n);
      int frame = n;
      assertTrue(p[n] <= line, () -> "frame " + frame + " is over, " + song.seed);
    }
  }

  @ParameterizedTest
  @MethodSource("fewSeeds")
  void doublingEveryStemAddsSixDecibelsAndKeepsDepthAndRank(long seed)
      throws IOException, Unanalysable {
    RandomSong song =
        new RandomSong(300 + seed)
            .plain(RandomSong.BASELINES.get((int) seed % 3), new Line.Margin(1.5));
    Pass once = pass(song);
    Pass twice = pass(song.with(changed(song, x -> scaled(x, 2))));
    assertTrue(!once.moments().isEmpty(), song.seed);
    double sixDb = 20 * Math.log10(2);
    assertEquals(
        Decibels.ofAmplitude(once.line().averagePeak().overall()) + sixDb,
        Decibels.ofAmplitude(twice.line().averagePeak().overall()),
        1e-12,
        song.seed);
    assertEquals(once.moments().size(), twice.moments().size(), song.seed);
    for (int i = 0; i < once.moments().size(); i++) {
      Moment a = once.moments().get(i);
      Moment b = twice.moments().get(i);
      assertEquals(a.rank(), b.rank(), song.seed);
      assertEquals(a.peakFrame(), b.peakFrame(), song.seed);
      assertEquals(a.depth(), b.depth(), song.seed);
      assertEquals(a.overFrames(), b.overFrames(), song.seed);
      assertEquals(2 * a.peak(), b.peak(), song.seed);
      assertEquals(a.excessDb(), b.excessDb(), 1e-12, song.seed);
    }
  }

  @ParameterizedTest
  @MethodSource("fewSeeds")
  void reversingEveryPolarityChangesNothing(long seed) throws IOException, Unanalysable {
    RandomSong song = new RandomSong(400 + seed);
    if (song.bruteForce().averagePeak.isEmpty()) {
      return;
    }
    List<Fader> reversed =
        song.session.faders().stream().map(f -> f.withReversed(!f.reversed())).toList();
    Pass pass = pass(song);
    Pass other = pass(song.with(reversed));
    assertEquals(pass.moments(), other.moments(), song.seed);
    assertEquals(pass.stems(), other.stems(), song.seed);
  }

  @ParameterizedTest
  @MethodSource("fewSeeds")
  void leadingSilenceOfWholeWindowsMovesMomentsByAsMuch(long seed)
      throws IOException, Unanalysable {
    RandomSong song = new RandomSong(500 + seed).plain(Baseline.SONG, new Line.Margin(1.5));
    int silence = 3 * ((song.session.sampleRateHz() + 1) / 2);
    Pass pass = pass(song);
    Pass late = pass(song.with(changed(song, x -> delayed(x, silence))));
    assertTrue(!pass.moments().isEmpty(), song.seed);
    assertEquals(
        pass.moments().stream().map(m -> moved(m, silence)).toList(), late.moments(), song.seed);
  }

  @ParameterizedTest
  @MethodSource("fewSeeds")
  void aRangeStandsForTheSessionCutToIt(long seed) throws IOException, Unanalysable {
    RandomSong song =
        new RandomSong(600 + seed)
            .plain(RandomSong.BASELINES.get((int) seed % 3), new Line.Margin(1));
    int length = (int) song.session.frames();
    int from = length / 5;
    int to = length * 3 / 4;
    ArrayStems cut = changed(song, x -> cut(x, from, to));
    RandomSong cutSong = song.with(cut);
    if (cutSong.bruteForce().averagePeak.isEmpty()) {
      return;
    }
    Pass range =
        new Analysis(song.session, song.stems, Crew.ALONE, Progress.NONE)
            .run(song.settings.withRange(new TimeRange(from, to)));
    assertEquals(
        pass(cutSong).moments().stream().map(m -> moved(m, from)).toList(),
        range.moments(),
        song.seed);
  }

  private static ArrayStems changed(RandomSong song, UnaryOperator<double[]> change) {
    ArrayStems stems = new ArrayStems(song.session.sampleRateHz());
    for (int k = 0; k < song.session.stems().size(); k++) {
      double[][] x = song.stems.samples(k);
      double[][] y = new double[x.length][];
      for (int c = 0; c < x.length; c++) {
        y[c] = change.apply(x[c]);
      }
      stems.stem("stem " + k, y);
    }
    return stems;
  }

  private static double[] scaled(double[] x, double factor) {
    double[] y = new double[x.length];
    for (int n = 0; n < x.length; n++) {
      y[n] = factor * x[n];
    }
    return y;
  }

  /** What lies past the stem's end is silence. */
  private static double[] cut(double[] x, int from, int to) {
    return Arrays.copyOfRange(Arrays.copyOf(x, Math.max(x.length, to)), from, to);
  }

  private static double[] delayed(double[] x, int frames) {
    double[] y = new double[x.length + frames];
    System.arraycopy(x, 0, y, frames, x.length);
    return y;
  }

  private static Moment moved(Moment m, long frames) {
    return new Moment(
        m.rank(),
        m.peakFrame() + frames,
        m.channel(),
        m.peak(),
        m.averagePeak(),
        m.line(),
        m.firstOver() + frames,
        m.lastOver() + frames,
        m.overFrames(),
        m.longestRun(),
        m.depth(),
        m.isLong(),
        m.contributions(),
        m.alikeTo(),
        m.alike());
  }
}
