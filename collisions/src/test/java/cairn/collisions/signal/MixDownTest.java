package cairn.collisions.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Fader;
import cairn.collisions.Session;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

/** All stems are powers of two or sums of them, so that every sum is exact. */
class MixDownTest {

  private static final double[] HORN = {0.5, 0.25, -0.125};
  private final ArrayStems stems =
      new ArrayStems(48_000)
          .mono("horn", HORN)
          .stem("drums", new double[][] {{1, 2, 4}, {8, 16, 32}});

  private double[][] bus(Session session, long firstFrame, int frames) throws IOException {
    double[][] bus = {new double[frames], new double[frames]};
    bus[0][0] = 99;
    try (MixDown mixDown = new MixDown(session, stems.openReader())) {
      mixDown.sum(firstFrame, frames, bus);
    }
    return bus;
  }

  private Session with(Fader horn, Fader drums) {
    Session unity = stems.session();
    return new Session(unity.sampleRateHz(), 0, unity.stems(), List.of(horn, drums));
  }

  private void assertBus(double[] left, double[] right, double[][] bus) {
    assertArrayEquals(left, bus[0], "left");
    assertArrayEquals(right, bus[1], "right");
  }

  @Test
  void aMonoStemFeedsBothChannels() throws IOException {
    assertBus(
        new double[] {1.5, 2.25, 3.875},
        new double[] {8.5, 16.25, 31.875},
        bus(stems.session(), 0, 3));
  }

  @Test
  void outsideItsFileAStemIsSilence() throws IOException {
    assertBus(new double[] {0, 0, 1.5}, new double[] {0, 0, 8.5}, bus(stems.session(), -2, 3));
    assertBus(new double[] {3.875, 0}, new double[] {31.875, 0}, bus(stems.session(), 2, 2));
    assertBus(new double[] {0, 0}, new double[] {0, 0}, bus(stems.session(), 1_000, 2));
  }

  @Test
  void anOffsetShiftsLaterAndANegativeOneLeavesOutWhatFallsBeforeTheStart() throws IOException {
    Session late = with(Fader.UNITY.withOffset(2), Fader.UNITY.withMuted(true));
    assertEquals(5, late.frames());
    assertArrayEquals(new double[] {0, 0, 0.5, 0.25, -0.125}, bus(late, 0, 5)[0]);

    Session early = with(Fader.UNITY.withOffset(-2), Fader.UNITY.withMuted(true));
    assertEquals(3, early.frames());
    assertArrayEquals(new double[] {-0.125, 0, 0}, bus(early, 0, 3)[0]);

    Session gone = with(Fader.UNITY.withOffset(-3), Fader.UNITY.withMuted(true));
    assertArrayEquals(new double[3], bus(gone, 0, 3)[0]);
  }

  @Test
  void gainPolarityAndMonoGainMultiply() throws IOException {
    Session unity = stems.session();
    Fader horn = Fader.UNITY.withGainDb(6).withReversed(true);
    Session session =
        new Session(48_000, -3, unity.stems(), List.of(horn, Fader.UNITY.withGainDb(-20)));
    // 6 dB − 3 dB on the mono stem alone; −20 dB is a tenth. Tolerance: three roundings.
    double factor = -Math.pow(10, 3 / 20.0);
    double[][] bus = bus(session, 0, 3);
    assertEquals(0.5 * factor + 0.1, bus[0][0], 1e-15);
    assertEquals(0.5 * factor + 0.8, bus[1][0], 1e-15);
  }

  @Test
  void soloLeavesOutAllOthersAndMuteWinsOverIt() {
    Fader soloed = Fader.UNITY.withSoloed(true);
    assertEquals(0, with(soloed, Fader.UNITY).factor(1));
    assertEquals(1, with(soloed, Fader.UNITY).factor(0));
    Session mutedSolo = with(soloed.withMuted(true), Fader.UNITY);
    assertEquals(0, mutedSolo.factor(0));
    assertEquals(0, mutedSolo.factor(1), "a muted solo still silences the others");
    assertEquals(-1, with(soloed.withMuted(true).withReversed(true), soloed).openFactor(0));
  }

  @Test
  void lengthIsThatOfAllStemsWhateverIsMuted() {
    Fader off = Fader.UNITY.withMuted(true).withOffset(10);
    assertEquals(13, with(off, Fader.UNITY.withSoloed(true)).frames());
    assertEquals(3, with(Fader.UNITY.withOffset(-1), Fader.UNITY.withOffset(-2)).frames());
  }

  @Test
  void stemPeaksAreThoseOfMutedStemsToo() throws IOException {
    Session session = with(Fader.UNITY.withMuted(true).withGainDb(-20), Fader.UNITY);
    double[] peaks = {0, 3};
    try (MixDown mixDown = new MixDown(session, stems.openReader())) {
      mixDown.sum(0, 2, Block.stereo(3), peaks);
    }
    assertEquals(0.5 * Decibels.toFactor(-20), peaks[0]);
    assertEquals(16, peaks[1], "raised, by the right channel");
  }

  @Test
  void aStemOnTheBusIsScaledOnBothChannelsAndSilentIfMuted() throws IOException {
    Session session = with(Fader.UNITY.withReversed(true).withOffset(1), Fader.UNITY);
    double[][] y = {{9, 9, 9}, {9, 9, 9}};
    try (MixDown mixDown = new MixDown(session, stems.openReader())) {
      mixDown.stemOnBus(0, 0, 3, y);
      assertBus(new double[] {0, -0.5, -0.25}, new double[] {0, -0.5, -0.25}, y);
    }
    try (MixDown mixDown =
        new MixDown(with(Fader.UNITY.withMuted(true), Fader.UNITY), stems.openReader())) {
      mixDown.stemOnBus(0, 0, 3, y);
      assertBus(new double[3], new double[3], y);
    }
  }

  @Test
  void stemsAreAddedInOrder() throws IOException {
    // 1 is lost next to 2^53 and found again only in another order.
    ArrayStems order =
        new ArrayStems(48_000).mono("a", 0x1p53).mono("b", 1.0).mono("c", -0x1p53).mono("d", 1.0);
    double[][] bus = Block.stereo(1);
    try (MixDown mixDown = new MixDown(order.session(), order.openReader())) {
      mixDown.sum(0, 1, bus);
    }
    assertEquals(1.0, bus[0][0]);
  }

  @Test
  void blocksMeasureMagnitudesAndFindTheFirst() {
    double[][] block = {{0.25, -2, 1, 2}, {-0.5, 1, -1, 0}};
    double[] p = new double[4];
    Block.levels(p, block, 0, 4);
    assertArrayEquals(new double[] {0.5, 2, 1, 2}, p);
    assertEquals(1, Block.firstAt(p, 2, 0, 4));
    assertEquals(3, Block.firstAt(p, 2, 2, 4));
    assertEquals(-1, Block.firstAt(p, 3, 0, 4));
    assertEquals(1, Block.peak(block[1], 1, 4));
    assertEquals(0, Block.peak(block[1], 2, 2));
    assertEquals(3, Block.peakOfDifference(block[0], block[1], 0, 3));
    // 1/16 + 4 + 1 + 4 on the left, 1/4 + 1 + 1 on the right.
    assertEquals(11.3125, Block.energy(block, 0, 4));
  }
}
