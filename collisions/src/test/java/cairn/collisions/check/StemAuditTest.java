package cairn.collisions.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;

class StemAuditTest {

  private static final int RATE = 48_000;
  private static final double QUANTUM_16 = 0x1p-15;

  private static StemAudit audit(double quantum, double[]... channels) throws IOException {
    ArrayStems stems = new ArrayStems(RATE).stem("caixa", channels);
    return StemAudit.ofAll(
            stems.session(), stems, new double[] {quantum}, Crew.ALONE, Progress.NONE)
        .get(0)
        .audit()
        .orElseThrow();
  }

  private static double[] wave(int frames, IntToDoubleFunction x) {
    double[] channel = new double[frames];
    for (int n = 0; n < frames; n++) {
      channel[n] = x.applyAsDouble(n);
    }
    return channel;
  }

  private static double sine(double hz, double n) {
    return Math.sin(2 * Math.PI * hz * n / RATE);
  }

  private static double rounded(double v) {
    return Math.max(-1, Math.min(1 - QUANTUM_16, Math.rint(v / QUANTUM_16) * QUANTUM_16));
  }

  /** 100 Hz, 480 samples a turn: the crests above 0.5 of 1.0 are a third of each half turn. */
  @Test
  void crestsThatAreCutOffAreCounted() throws IOException {
    StemAudit audit = audit(0, wave(RATE, n -> Math.max(-0.5, Math.min(0.5, sine(100, n + 0.25)))));
    assertEquals(200, audit.flatTops().runs());
    // |sin| > ½ from 30° to 150°: a third of 480 samples.
    assertEquals(160, (double) audit.flatTops().longest(), 1);
    // 30° is sample 40.
    assertEquals(40, (double) audit.flatTops().firstFrame(), 1);
    assertEquals(0.5, audit.flatTops().level());
  }

  @Test
  void aRunGoesOnAcrossBlocksAndEndsWithTheFile() throws IOException {
    double[] x = new double[16_400];
    Arrays.fill(x, 16_380, 16_400, 0.7);
    StemAudit audit = audit(0, x);
    assertEquals(new StemAudit.FlatTops(1, 20, 16_380, 0.7), audit.flatTops());
  }

  /** A 40 Hz sine at full scale moves by less than a step of 16 bits over 30 samples. */
  @Test
  void theCrestOfASlowWaveIsNotTakenForAFlatTop() throws IOException {
    StemAudit audit = audit(QUANTUM_16, wave(RATE, n -> rounded(0.9 * sine(40, n))));
    assertEquals(0, audit.flatTops().runs());
    assertEquals(0, audit(0, wave(RATE, n -> rounded(0.9 * sine(40, n)))).flatTops().runs());
  }

  @Test
  void atFullScaleThreeEqualSamplesAreEnough() throws IOException {
    double[] x = wave(1_000, n -> 0.9 * sine(300, n));
    x[500] = 1 - QUANTUM_16;
    x[501] = 1 - QUANTUM_16;
    assertEquals(0, audit(QUANTUM_16, x.clone()).flatTops().runs());
    x[502] = 1 - QUANTUM_16;
    assertEquals(
        new StemAudit.FlatTops(1, 3, 500, 1 - QUANTUM_16), audit(QUANTUM_16, x).flatTops());
  }

  @Test
  void flatPlacesBelowAHigherCrestAreNoFlatTops() throws IOException {
    double[] x = wave(1_000, n -> Math.max(-0.5, Math.min(0.5, sine(480, n))));
    x[990] = 0.8;
    x[991] = -0.8;
    assertEquals(0, audit(0, x).flatTops().runs());
  }

  @Test
  void theOffsetIsTheMeanOfTheWorseChannel() throws IOException {
    double[] left = wave(RATE, n -> 0.3 * sine(100, n) + 0.002);
    double[] right = wave(RATE, n -> 0.3 * sine(100, n) - 0.01);
    assertEquals(-0.01, audit(0, left, right).offset(), 1e-12);
    assertEquals(0.302, audit(0, left).peak(), 1e-4);
  }

  @Test
  void powersAreThoseOfBothChannelsOfTheBus() throws IOException {
    double[] x = wave(10_000, n -> n < 4_800 ? 0.5 : 0.1);
    double[] sums = new double[3];
    audit(0, x).addPowersTo(sums);
    // A mono stem feeds both: twice 4800 · 0.25; the last stretch has 400 samples.
    assertEquals(2_400, sums[0], 1e-9);
    assertEquals(96, sums[1], 1e-9);
    assertEquals(8, sums[2], 1e-9);
  }

  @Test
  void aStemThatCannotBeReadDoesNotStopTheOthers() throws IOException {
    ArrayStems stems = new ArrayStems(RATE).mono("surdo", 0.5).mono("broken", 0.5);
    List<StemAudit.Outcome> outcomes =
        StemAudit.ofAll(
            stems.session(),
            () ->
                new cairn.collisions.port.StemReader() {
                  @Override
                  public void read(int stem, long first, int frames, double[][] into, int at)
                      throws IOException {
                    if (stem == 1) {
                      throw new IOException("'broken' is damaged");
                    }
                    into[0][at] = 0.5;
                  }

                  @Override
                  public void close() {}
                },
            new double[2],
            Crew.ALONE,
            Progress.NONE);
    assertEquals(0.5, outcomes.get(0).audit().orElseThrow().peak());
    assertTrue(outcomes.get(1).audit().isEmpty());
    assertEquals("'broken' is damaged", outcomes.get(1).failure().orElseThrow().getMessage());
  }
}
