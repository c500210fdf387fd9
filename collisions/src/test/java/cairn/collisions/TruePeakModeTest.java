package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.stream.LongStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The whole analysis in true peaks, on seeded songs; each failure names its seed. */
class TruePeakModeTest {

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
    return LongStream.rangeClosed(1, 16);
  }

  private static Settings settings(RandomSong song) {
    return song.settings.withMode(PeakMode.TRUE_PEAK);
  }

  private static Pass pass(RandomSong song, Settings settings, Crew crew, int readFrames)
      throws IOException, Unanalysable {
    return new Analysis(song.session, song.stems, crew, Progress.NONE, readFrames).run(settings);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void bruteForceFindsTheSameMoments(long seed) throws IOException, Unanalysable {
    RandomSong song = new RandomSong(900 + seed);
    BruteForce bruteForce = new BruteForce(song.stems, song.session, settings(song));
    if (bruteForce.averagePeak.isEmpty()) {
      assertThrows(Unanalysable.Silent.class, () -> pass(song, settings(song), Crew.ALONE, 4_096));
      return;
    }
    Pass pass = pass(song, settings(song), Crew.ALONE, Analysis.READ_FRAMES);
    // The reference takes its coefficients from the published table, in the order of the taps.
    assertArrayEquals(bruteForce.windowPeak, pass.summary().windowPeaks(), song.seed);
    BruteForce.assertSame(bruteForce.moments(), pass.moments(), song.seed);
    for (Moment moment : pass.moments()) {
      double sum = moment.contributions().stream().mapToDouble(Contribution::amplitude).sum();
      // At most six numbers below 4, and the roundings of twelve taps each.
      assertEquals(moment.peak(), sum, 1e-13, song.seed);
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void blockSizeCrewAndMeteringChangeNotABit(long seed) throws IOException, Unanalysable {
    RandomSong song = new RandomSong(900 + seed);
    if (new BruteForce(song.stems, song.session, settings(song)).averagePeak.isEmpty()) {
      return;
    }
    Settings metered = settings(song).withMetering(Metering.STEMS);
    Pass expected = pass(song, metered, Crew.ALONE, Analysis.READ_FRAMES);
    Pass inSamples =
        pass(song, song.settings.withMetering(Metering.STEMS), Crew.ALONE, Analysis.READ_FRAMES);
    for (int frames : new int[] {7, 4_096, Integer.MAX_VALUE}) {
      for (int workers : new int[] {1, 5}) {
        String which = song.seed + ", reading " + frames + ", workers " + workers;
        Pass actual = pass(song, metered, new Crew(pool, workers), frames);
        assertEquals(expected.moments(), actual.moments(), which);
        assertEquals(expected.stems(), actual.stems(), which);
        assertEquals(expected.summary().peakFrame(), actual.summary().peakFrame(), which);
        assertArrayEquals(
            inSamples.loudness().orElseThrow().bus().energies(),
            actual.loudness().orElseThrow().bus().energies(),
            which + ": loudness does not depend on the mode");
        for (int k = 0; k < song.session.stems().size(); k++) {
          assertArrayEquals(
              inSamples.loudness().orElseThrow().stem(k).energies(),
              actual.loudness().orElseThrow().stem(k).energies(),
              which);
          // The largest level of all windows is the true peak of the range; but for roundings,
          // since a meter runs on past the end and takes the fader last.
          assertTrue(
              actual.stems().get(k).peak()
                  <= actual.loudness().orElseThrow().stemTruePeak(k) + 1e-14,
              which);
        }
        assertTrue(actual.peak() <= actual.loudness().orElseThrow().busTruePeak(), which);
        assertTrue(actual.peak() >= inSamples.peak(), which);
      }
    }
  }

  @Test
  void theSeedsMakeWorthwhileMoments() throws IOException, Unanalysable {
    List<Moment> moments = new ArrayList<>();
    Set<Double> instants = new HashSet<>();
    for (long seed : seeds().toArray()) {
      RandomSong song = new RandomSong(900 + seed);
      if (new BruteForce(song.stems, song.session, settings(song)).averagePeak.isPresent()) {
        moments.addAll(pass(song, settings(song), Crew.ALONE, 4_096).moments());
      }
    }
    moments.forEach(m -> instants.add(m.instant()));
    assertTrue(moments.size() > 50, "moments: " + moments.size());
    assertTrue(instants.size() == 5, "all instants occur: " + instants);
  }

  /** The summing example "intersample-coincidence": samples at -3.01 dBFS, the wave at 0 dBTP. */
  @Test
  void twoStemsThatMeetBetweenSamplesAreFoundThere() {
    // A quarter of the rate at 45 degrees, two stems of 0.5: every sample is 0.707. One burst of
    // 1 s in a bed that is 6 dB lower.
    int rate = 8_000;
    ArrayStems stems = new ArrayStems(rate);
    for (String name : new String[] {"horn", "agogo"}) {
      stems.mono(
          name,
          5 * rate,
          n -> (n >= 16_000 && n < 16_200 ? 0.5 : 0.25) * Math.sin(Math.PI / 2 * n + Math.PI / 4));
    }
    Pass inSamples = stems.analyse(Settings.DEFAULT);
    Pass inInstants = stems.analyse(Settings.DEFAULT.withMode(PeakMode.TRUE_PEAK));
    assertEquals(0.7071, inSamples.peak(), 1e-4);
    Moment moment = inInstants.moments().get(0);
    // The filter reads a quarter of the rate by 0.2 dB too low or too high, and the edge of the
    // burst rings: ITU-R BS.1770-5's coefficients.
    assertEquals(0, Decibels.ofAmplitude(moment.peak()), 0.5);
    assertTrue(moment.instant() != 0, "between samples: " + moment.instant());
    assertEquals((moment.peakFrame() + moment.instant()) / rate, moment.seconds(rate));
    assertEquals(0.5, moment.contributions().get(0).share(), 1e-12);
  }
}
