package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Summed as whole numbers or as doubles: the same to the bit. */
class WholeSumTest {

  private static final int[] WIDTHS = {24, 16, 12, 24, 0};

  /** Stems, the bits of each, and their faders, all drawn from a seed. */
  private static final class Song {
    final ArrayStems stems = new ArrayStems(48_000);
    final int[] bits;
    final Session session;

    Song(long seed) {
      Random random = new Random(seed);
      int count = 1 + random.nextInt(7);
      bits = new int[count];
      List<Fader> faders = new ArrayList<>();
      for (int k = 0; k < count; k++) {
        bits[k] = WIDTHS[random.nextInt(k == 0 ? 4 : WIDTHS.length)];
        int frames = random.nextInt(3) == 0 ? 1 + random.nextInt(3_000) : 6_000;
        double[][] x = new double[1 + random.nextInt(2)][frames];
        for (double[] channel : x) {
          for (int n = 0; n < frames; n++) {
            channel[n] = sample(random, bits[k]);
          }
        }
        stems.stem("stem " + k, x);
        faders.add(fader(random));
      }
      Session unity = stems.session();
      double monoGainDb = random.nextInt(4) == 0 ? -3 : 0;
      session = new Session(48_000, monoGainDb, unity.stems(), faders);
    }

    private static double sample(Random random, int bits) {
      if (bits == 0) {
        return random.nextGaussian();
      }
      int scale = 1 << (bits - 1);
      // The least whole number has no opposite.
      return random.nextInt(20) == 0 ? -1 : (double) (random.nextInt(2 * scale) - scale) / scale;
    }

    private static Fader fader(Random random) {
      return switch (random.nextInt(8)) {
        case 0 -> Fader.UNITY.withMuted(true).withGainDb(-6);
        case 1 -> Fader.UNITY.withOffset(random.nextInt(3_000) - 1_500);
        case 2 -> random.nextInt(3) == 0 ? Fader.UNITY.withGainDb(1.5) : Fader.UNITY;
        case 3 -> random.nextInt(3) == 0 ? Fader.UNITY.withReversed(true) : Fader.UNITY;
        default -> Fader.UNITY;
      };
    }
  }

  private static final class Summed {
    final double[][] bus;
    final double[] peaks;

    Summed(double[][] bus, double[] peaks) {
      this.bus = bus;
      this.peaks = peaks;
    }

    static Summed of(Session session, StemSource source, long firstFrame, int frames)
        throws IOException {
      double[][] bus = Block.stereo(frames);
      Arrays.fill(bus[0], 99);
      double[] peaks = new double[session.stems().size()];
      peaks[0] = 0.25;
      try (MixDown mixDown = new MixDown(session, source.openReader())) {
        mixDown.sum(firstFrame, frames, bus, peaks);
      }
      return new Summed(bus, peaks);
    }
  }

  /** How many stems of a block are summed as whole numbers. */
  private static int whole(Session session, StemSource source, long firstFrame, int frames)
      throws IOException {
    try (StemReader reader = source.openReader()) {
      int stems = session.stems().size();
      boolean[] onBus = new boolean[stems];
      double[] openFactor = new double[stems];
      for (int k = 0; k < stems; k++) {
        onBus[k] = session.isOnBus(k);
        openFactor[k] = session.openFactor(k);
      }
      return new WholeSum(session, reader, onBus, openFactor)
          .sum(firstFrame, frames, Block.stereo(frames), new double[stems]);
    }
  }

  @Test
  void busAndPeaksAreThoseOfDoubles() throws IOException {
    int all = 0;
    int some = 0;
    int none = 0;
    for (int seed = 0; seed < 200; seed++) {
      Song song = new Song(seed);
      StemSource source = song.stems.asWholeNumbers(song.bits);
      Random random = new Random(seed);
      for (int i = 0; i < 5; i++) {
        long first = random.nextInt(7_000) - 500L;
        int frames = 1 + random.nextInt(i == 0 ? 3 : 3_000);
        Summed expected = Summed.of(song.session, song.stems, first, frames);
        Summed got = Summed.of(song.session, source, first, frames);
        String where = "seed " + seed + ", " + frames + " from " + first;
        assertArrayEquals(expected.bus[0], got.bus[0], where);
        assertArrayEquals(expected.bus[1], got.bus[1], where);
        assertArrayEquals(expected.peaks, got.peaks, where);
        int whole = whole(song.session, source, first, frames);
        all += whole == song.bits.length ? 1 : 0;
        some += whole > 0 && whole < song.bits.length ? 1 : 0;
        none += whole == 0 ? 1 : 0;
      }
    }
    assertTrue(all > 100 && some > 100 && none > 100, all + ", " + some + ", " + none);
  }

  @Test
  void asManyAsCannotPassAnIntAreTaken() throws IOException {
    int count = 300;
    ArrayStems stems = new ArrayStems(48_000);
    int[] bits = new int[count];
    for (int k = 0; k < count; k++) {
      stems.mono("surdo " + k, -1, 0.5, 1 - 0x1p-23);
      bits[k] = 24;
    }
    Session session = stems.session();
    StemSource source = stems.asWholeNumbers(bits);
    assertEquals(255, whole(session, source, 0, 3));
    Summed summed = Summed.of(session, source, 0, 3);
    assertArrayEquals(new double[] {-300, 150, 300 - 300 * 0x1p-23}, summed.bus[0]);
    assertEquals(1, summed.peaks[299]);
  }
}
