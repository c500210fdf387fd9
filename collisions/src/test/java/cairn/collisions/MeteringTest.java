package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.line.FirstPass;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.HopMeter;
import cairn.collisions.loudness.HopPlan;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.TruePeakMeter;
import java.io.IOException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.stream.LongStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What the first pass meters along, on seeded songs; each failure names its seed. */
class MeteringTest {

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
    return LongStream.rangeClosed(1, 12);
  }

  private static WindowGrid grid(RandomSong song) {
    long end = song.session.frames();
    TimeRange asked = song.settings.range().orElse(new TimeRange(0, end));
    TimeRange range = new TimeRange(asked.firstFrame(), Math.min(end, asked.endFrame()));
    return song.settings
        .beatWindows()
        .map(tempo -> WindowGrid.beats(range, song.session.sampleRateHz(), tempo))
        .orElseGet(() -> WindowGrid.halfSeconds(range, song.session.sampleRateHz()));
  }

  private static FirstPass.Measured run(RandomSong song, Metering metering, Crew crew, int frames)
      throws IOException {
    return FirstPass.run(
        song.session,
        song.stems,
        grid(song),
        frames,
        PeakMode.SAMPLE_PEAK,
        metering,
        crew,
        Progress.NONE);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void blockSizeAndCrewChangeNotABit(long seed) throws IOException {
    RandomSong song = new RandomSong(700 + seed);
    FirstPass.Measured plain = run(song, Metering.NONE, Crew.ALONE, Analysis.READ_FRAMES);
    assertTrue(plain.loudness().isEmpty());
    LoudnessSummary expected =
        run(song, Metering.STEMS, Crew.ALONE, Analysis.READ_FRAMES).loudness().orElseThrow();
    LoudnessSummary bus =
        run(song, Metering.BUS, Crew.ALONE, Analysis.READ_FRAMES).loudness().orElseThrow();
    assertEquals(0, bus.stems());
    assertEquals(song.session.stems().size(), expected.stems());
    assertArrayEquals(bus.bus().energies(), expected.bus().energies(), song.seed);
    for (int frames : new int[] {7, 480, 4_096, Integer.MAX_VALUE}) {
      for (int workers : new int[] {1, 2, 5}) {
        String which = song.seed + ", reading " + frames + ", workers " + workers;
        FirstPass.Measured measured = run(song, Metering.STEMS, new Crew(pool, workers), frames);
        LoudnessSummary actual = measured.loudness().orElseThrow();
        assertArrayEquals(expected.bus().energies(), actual.bus().energies(), which);
        assertEquals(expected.busTruePeak(), actual.busTruePeak(), which);
        assertEquals(expected.busEnergy(), actual.busEnergy(), which);
        for (int k = 0; k < expected.stems(); k++) {
          assertArrayEquals(expected.stem(k).energies(), actual.stem(k).energies(), which);
          assertEquals(expected.stemTruePeak(k), actual.stemTruePeak(k), which);
          assertEquals(expected.stemEnergy(k), actual.stemEnergy(k), which);
          assertArrayEquals(
              plain.summary().stemWindowPeaks(k), measured.summary().stemWindowPeaks(k), which);
        }
        assertArrayEquals(plain.summary().windowPeaks(), measured.summary().windowPeaks(), which);
        assertEquals(plain.summary().peakFrame(), measured.summary().peakFrame(), which);
      }
    }
  }

  /** One signal at once: filter from silence to the end, no segments, nothing passed over. */
  private static final class Whole {
    private final double[] hops;
    private final double truePeak;
    private final double energy;

    Whole(double[] hops, double truePeak, double energy) {
      this.hops = hops;
      this.truePeak = truePeak;
      this.energy = energy;
    }

    static Whole of(double[][] y, int rate, int perSecond) {
      HopMeter.Energies energies =
          new HopMeter.Energies(HopPlan.whole(rate, perSecond, y[0].length));
      HopMeter meter = new HopMeter(energies);
      meter.begin(0, 1);
      meter.feed(y[0], y[1], 0, y[0].length);
      meter.finish();
      TruePeakMeter peak = new TruePeakMeter();
      peak.begin();
      peak.feed(y[0], y[1], 0, y[0].length);
      peak.finish();
      return new Whole(energies.hops().energies(), peak.peak(), Block.energy(y, 0, y[0].length));
    }

    void assertSame(double[] otherHops, double otherTruePeak, double otherEnergy, String which) {
      // Filters that start anew, and factors taken before or after a square: roundings of a hop at
      // the signal's level, against hops that may be silent.
      double loudest = 0;
      for (double hop : hops) {
        loudest = Math.max(loudest, hop);
      }
      assertArrayEquals(hops, otherHops, 1e-11 * loudest + 1e-300, which);
      assertEquals(truePeak, otherTruePeak, 1e-14, which);
      assertEquals(energy, otherEnergy, 1e-11 * energy, which);
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void itReadsWhatOneMeterOnTheWholeSignalReads(long seed) throws IOException {
    RandomSong song = new RandomSong(800 + seed);
    int rate = song.session.sampleRateHz();
    TimeRange range = grid(song).range();
    int frames = (int) range.frames();
    LoudnessSummary metered =
        run(song, Metering.STEMS, new Crew(pool, 3), 4_096).loudness().orElseThrow();
    double[][] y = Block.stereo(frames);
    try (MixDown mixDown = new MixDown(song.session, song.stems.openReader())) {
      mixDown.sum(range.firstFrame(), frames, y);
      Whole.of(y, rate, HopPlan.FINE)
          .assertSame(
              metered.bus().energies(), metered.busTruePeak(), metered.busEnergy(), song.seed);
    }
    // Each stem as if nothing were muted or soloed.
    Session open =
        new Session(
            rate,
            song.session.monoGainDb(),
            song.session.stems(),
            song.session.faders().stream().map(f -> f.withMuted(false).withSoloed(false)).toList());
    try (MixDown mixDown = new MixDown(open, song.stems.openReader())) {
      for (int k = 0; k < metered.stems(); k++) {
        mixDown.stemOnBus(k, range.firstFrame(), frames, y);
        Whole.of(y, rate, HopPlan.COARSE)
            .assertSame(
                metered.stem(k).energies(),
                metered.stemTruePeak(k),
                metered.stemEnergy(k),
                song.seed + ", stem " + k);
      }
    }
  }
}
