package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Known shifts must be found to the frame, whatever else was done to a part of the sound. */
class ShiftFinderTest {

  private static final int RATE = 8_000;

  /** Struck low sounds in a steady beat, each a little different, over a low tone. */
  private static ArrayStems band(long seed, int seconds) {
    Random random = new Random(seed);
    int frames = seconds * RATE;
    ArrayStems stems = new ArrayStems(RATE);
    stems.mono("bass", frames, n -> 0.2 * Math.sin(2 * Math.PI * n / (140.0 + seed % 9)));
    for (int k = 0; k < 4; k++) {
      double[][] x = new double[1 + k % 2][frames];
      for (int hit = 100 * k; hit < frames; hit += 2_000) {
        double size = 0.1 + 0.1 * random.nextDouble();
        double wave = 12 + 9 * k;
        for (int i = 0; i < 900 && hit + i < frames; i++) {
          double noise = 0.2 * random.nextGaussian();
          double value = size * Math.exp(-i / 200.0) * (Math.sin(2 * Math.PI * i / wave) + noise);
          for (double[] channel : x) {
            channel[hit + i] += value;
          }
        }
      }
      stems.stem("stem " + k, x);
    }
    return stems;
  }

  private static Session with(ArrayStems stems, int k, Fader fader, int allLater) {
    List<Fader> faders = new ArrayList<>();
    for (int i = 0; i < stems.session().stems().size(); i++) {
      Fader own = i == k ? fader : Fader.UNITY;
      faders.add(own.withOffset(own.offset() + allLater));
    }
    return new Session(RATE, 0, stems.session().stems(), faders);
  }

  private static Shift find(ArrayStems before, Session now, ArrayStems after) throws IOException {
    return ShiftFinder.find(before.analyse(Settings.DEFAULT), before, now, after);
  }

  @Test
  void identicalStemsAreNotShiftedAndWhollyAlike() throws IOException {
    ArrayStems stems = band(1, 20);
    Shift.Found found = (Shift.Found) find(stems, stems.session(), stems);
    assertEquals(0, found.frames());
    assertEquals(1, found.likeness(), 1e-9);
  }

  @Test
  void aShiftOfAnyNumberOfFramesUpToASecondIsFoundExactly() throws IOException {
    ArrayStems stems = band(2, 12);
    Pass pass = stems.analyse(Settings.DEFAULT);
    Random random = new Random(3);
    List<Integer> shifts = new ArrayList<>(List.of(1, -1, RATE, -RATE, 2_000, -4_000));
    for (int i = 0; i < 20; i++) {
      shifts.add(random.nextInt(2 * RATE + 1) - RATE);
    }
    for (int shift : shifts) {
      Shift found = ShiftFinder.find(pass, stems, with(stems, -1, Fader.UNITY, shift), stems);
      assertEquals(shift, assertInstanceOf(Shift.Found.class, found).frames());
    }
  }

  @Test
  void aStemThatMovedWasTurnedOrMutedDoesNotPullTheOthersAway() throws IOException {
    for (int seed = 0; seed < 8; seed++) {
      ArrayStems stems = band(seed, 10);
      Pass pass = stems.analyse(Settings.DEFAULT);
      Random random = new Random(seed);
      int shift = random.nextInt(2 * RATE + 1) - RATE;
      for (int k = 0; k < 5; k++) {
        List<Fader> changes =
            List.of(
                Fader.UNITY.withOffset(1 + random.nextInt(40)),
                Fader.UNITY.withGainDb(-3),
                Fader.UNITY.withReversed(true),
                Fader.UNITY.withMuted(true));
        for (Fader fader : changes) {
          Shift found = ShiftFinder.find(pass, stems, with(stems, k, fader, shift), stems);
          String what = "seed " + seed + ", stem " + k + ", " + fader;
          // Stem 1 has more than half of the energy of the differences: without it what is left may
          // be called unlike, but no wrong shift is made up.
          if (k != 1 || found instanceof Shift.Found) {
            assertEquals(shift, assertInstanceOf(Shift.Found.class, found, what).frames(), what);
          }
        }
      }
    }
  }

  @Test
  void aReversedBusIsTheSameSong() throws IOException {
    ArrayStems stems = band(4, 8);
    List<Fader> faders =
        stems.session().stems().stream()
            .map(s -> Fader.UNITY.withReversed(true).withOffset(17))
            .toList();
    Session reversed = new Session(RATE, 0, stems.session().stems(), faders);
    assertEquals(17, ((Shift.Found) find(stems, reversed, stems)).frames());
  }

  @Test
  void anotherSongIsSaidToBeOne() throws IOException {
    ArrayStems stems = band(5, 15);
    for (int seed = 6; seed < 12; seed++) {
      ArrayStems other = band(seed, 15);
      Shift.Unlike unlike =
          assertInstanceOf(Shift.Unlike.class, find(stems, other.session(), other));
      assertTrue(unlike.likeness() < 0.5, unlike.toString());
    }
    ArrayStems silence = new ArrayStems(RATE).mono("none", 15 * RATE, n -> 0);
    assertEquals(new Shift.Unlike(0), find(stems, silence.session(), silence));
  }

  @Test
  void aSongOfAFewFramesIsFoundToo() throws IOException {
    ArrayStems stems = new ArrayStems(RATE).mono("click", 0.1, 0.5, -0.3, 0.2);
    assertEquals(0, ((Shift.Found) find(stems, stems.session(), stems)).frames());
    assertEquals(5, ((Shift.Found) find(stems, with(stems, -1, Fader.UNITY, 5), stems)).frames());
  }

  @Test
  void blockPeaksThatWereKeptAreEnoughToFindTheFrame() throws IOException {
    for (int seed = 20; seed < 26; seed++) {
      Random random = new Random(seed);
      ArrayStems stems = band(seed, 9);
      EarlierPass earlier = EarlierPass.of(stems.analyse(Settings.DEFAULT));
      int shift = seed == 20 ? 0 : random.nextInt(2 * RATE + 1) - RATE;
      // One stem is silent for two seconds as well.
      for (double[] channel : stems.samples(3)) {
        Arrays.fill(channel, 2 * RATE, 4 * RATE, 0);
      }
      Session now = with(stems, -1, Fader.UNITY, shift);
      Shift found = ShiftFinder.find(earlier, now, stems);
      assertEquals(shift, assertInstanceOf(Shift.Found.class, found, "seed " + seed).frames());
    }
  }

  @Test
  void theHighestHitsMovedTheSameWayDoNotPullTheRestAlong() throws IOException {
    for (int seed = 40; seed < 46; seed++) {
      Random random = new Random(seed);
      double[] bed = random.doubles(9 * RATE, -0.1, 0.1).toArray();
      int[] hits = {RATE, 3 * RATE, 5 * RATE, 7 * RATE};
      int later = 2 + random.nextInt(6);
      EarlierPass earlier = EarlierPass.of(hits(bed, hits, 0).analyse(Settings.DEFAULT));
      ArrayStems moved = hits(bed, hits, later);
      Shift found = ShiftFinder.find(earlier, moved.session(), moved);
      assertEquals(0, assertInstanceOf(Shift.Found.class, found, "seed " + seed).frames());
    }
  }

  /** A bed of noise with some loud hits, one in each part of the song that is compared. */
  private static ArrayStems hits(double[] bed, int[] frames, int later) {
    double[] hits = new double[bed.length];
    for (int frame : frames) {
      for (int i = 0; i < 100; i++) {
        hits[frame + later + i] = 0.45 - 0.45 * Math.cos(2 * Math.PI * i / 100);
      }
    }
    return new ArrayStems(RATE).mono("bed", bed).mono("hits", hits);
  }

  @Test
  void blockPeaksOfAnotherSongAreUnlike() throws IOException {
    EarlierPass earlier = EarlierPass.of(band(30, 9).analyse(Settings.DEFAULT));
    for (int seed = 31; seed < 35; seed++) {
      ArrayStems other = band(seed, 9);
      assertInstanceOf(
          Shift.Unlike.class, ShiftFinder.find(earlier, other.session(), other), "seed " + seed);
    }
  }

  @Test
  void withoutBlockPeaksNoShiftIsMadeUp() throws IOException {
    ArrayStems stems = band(30, 5);
    Pass pass = stems.analyse(Settings.DEFAULT);
    EarlierPass all = EarlierPass.of(pass);
    EarlierPass figures =
        new EarlierPass(
            RATE,
            all.grid(),
            all.lineLevel(),
            all.averagePeak(),
            all.moments(),
            List.of(),
            Optional.empty());
    assertEquals(new Shift.Assumed(), ShiftFinder.find(figures, stems.session(), stems));
  }
}
