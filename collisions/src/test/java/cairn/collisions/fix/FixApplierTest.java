package cairn.collisions.fix;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Decibels;
import cairn.collisions.TimeRange;
import cairn.collisions.signal.Block;
import java.util.Arrays;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FixApplierTest {

  private static final int RATE = 48_000;
  private static final TimeRange ONE_SECOND = new TimeRange(0, RATE);

  private static double[][] sine(double hz, double amplitude) {
    double[][] y = Block.stereo(RATE);
    for (int n = 0; n < RATE; n++) {
      y[0][n] = amplitude * Math.sin(2 * Math.PI * hz * n / RATE);
      y[1][n] = y[0][n];
    }
    return y;
  }

  /** Peak of both together, well inside a hit from 0.2 s to 0.8 s. */
  private static double peakTogether(double[][] a, double[][] b) {
    double peak = 0;
    for (int n = RATE / 4; n < 3 * RATE / 4; n++) {
      peak = Math.max(peak, Math.abs(a[0][n] + b[0][n]));
    }
    return peak;
  }

  @ParameterizedTest
  @CsvSource({"12, 1.993834667", "24, 1.975376681", "48, 1.902113033", "120, 1.414213562"})
  void oneOfTwoEqualSinesNudgedLeavesTwiceTheCosine(int frames, double timesOne) {
    // Peak 2a·|cos(π·f·τ)|, 100 Hz: summing vectors, nudge-two-equal-sines. The crest may lie half
    // a frame off the grid: cos(π·100/48000) = 1 − 2.2e−5.
    for (int d : new int[] {frames, -frames}) {
      double[][] moved = sine(100, 0.3);
      FixApplier.apply(new Nudge(0, 9_600, 38_400, d), RATE, moved, 0, ONE_SECOND);
      assertEquals(timesOne * 0.3, peakTogether(sine(100, 0.3), moved), 2.2e-5 * 0.6);
    }
  }

  @ParameterizedTest
  @CsvSource({"2, 1, -0.485617", "2, 6, -2.491903", "3, 3, -0.889626", "4, 3, -0.658532"})
  void oneOfEqualStemsTrimmedLowersThePeakByTheClosedForm(int stems, int db, double changeDb) {
    // 20·log10(((N−1) + 10^(−d/20))/N): summing vectors, trim-one-of-n-equal-coherent.
    double[][] trimmed = sine(100, 0.2);
    FixApplier.apply(new Trim(0, 9_600, 38_400, 10 * db), RATE, trimmed, 0, ONE_SECOND);
    double peak = peakTogether(sine(100, 0.2 * (stems - 1)), trimmed);
    assertEquals(changeDb, Decibels.ofAmplitude(peak / (0.2 * stems)), 1e-6);
  }

  @Test
  void theRampsAreTwoMillisecondsOfRaisedCosineCentredOnTheEdges() {
    double[][] y = Block.stereo(1_000);
    Arrays.fill(y[0], 1);
    Change change =
        FixApplier.apply(new Trim(0, 300, 600, 200), RATE, y, 0, new TimeRange(0, 1_000));
    assertEquals(new Change(252, 648, 0, 0, false), change);
    assertEquals(1, y[0][251]);
    // u = (252 + ½ − 300)/96 + ½ = 1/192, and w = ½ − ½·cos(π/192), of which 20 dB leave a tenth.
    assertEquals(1 - 0.9 * (0.5 - 0.5 * Math.cos(Math.PI / 192)), y[0][252], 1e-15);
    assertEquals(1 - 0.9 * 0.5, (y[0][299] + y[0][300]) / 2, 1e-12);
    assertEquals(0.1, y[0][348], 1e-15);
    assertEquals(0.1, y[0][551], 1e-15);
    assertEquals(y[0][252], y[0][647], 1e-15);
    assertEquals(1, y[0][648]);
  }

  @Test
  void aHitShorterThanItsRampsDoesNotReachFullWeight() {
    double[][] y = Block.stereo(400);
    Arrays.fill(y[0], 1);
    FixApplier.apply(new Trim(0, 200, 248, 240), RATE, y, 0, new TimeRange(0, 400));
    // Largest u at 223 and 224: 23.5/96 + ½.
    double u = 23.5 / 96 + 0.5;
    double w = 0.5 - 0.5 * Math.cos(Math.PI * u);
    assertEquals(1 - w * (1 - Math.pow(10, -1.2)), y[0][223], 1e-15);
    assertEquals(y[0][223], y[0][224], 1e-15);
  }

  @Test
  void anImpulseInsideTheHitMovesWholeEitherWay() {
    for (int d : new int[] {7, -7}) {
      double[][] y = Block.stereo(1_000);
      y[0][500] = 0.5;
      y[1][500] = -0.25;
      FixApplier.apply(new Nudge(0, 300, 700, d), RATE, y, 0, new TimeRange(0, 1_000));
      assertEquals(0, y[0][500]);
      assertEquals(0.5, y[0][500 + d]);
      assertEquals(-0.25, y[1][500 + d]);
      assertEquals(0.5, Block.peak(y[0], 0, 1_000));
    }
  }

  @Test
  void aNudgeReadsSilenceFromOutsideTheSessionAndWritesNothingThere() {
    double[][] y = Block.stereo(300);
    Arrays.fill(y[0], 1);
    TimeRange session = new TimeRange(100, 200);
    Change change = FixApplier.apply(new Nudge(0, -50, 150, 5), RATE, y, 0, session);
    assertEquals(new Change(100, 198, 0, 0, false), change);
    assertEquals(1, y[0][99]);
    // Well inside the hit the first five frames come from before the session.
    assertEquals(0, y[0][101]);
    assertEquals(1, y[0][105], 1e-15);
  }

  @Test
  void aBufferThatHoldsAPartGivesThatPartOfTheWhole() {
    Random random = new Random(3);
    double[][] whole = Block.stereo(3_000);
    for (int n = 0; n < 3_000; n++) {
      whole[0][n] = random.nextGaussian();
      whole[1][n] = random.nextGaussian();
    }
    TimeRange session = new TimeRange(0, 3_000);
    for (Fix fix : new Fix[] {new Nudge(0, 400, 2_500, -9), new Trim(0, 400, 2_500, 33)}) {
      double[][] done = {whole[0].clone(), whole[1].clone()};
      FixApplier.apply(fix, RATE, done, 0, session);
      double[][] part = {
        Arrays.copyOfRange(whole[0], 2_000, 2_900), Arrays.copyOfRange(whole[1], 2_000, 2_900)
      };
      FixApplier.apply(fix, RATE, part, 2_000, session);
      assertArrayEquals(Arrays.copyOfRange(done[0], 2_000, 2_890), Arrays.copyOf(part[0], 890));
    }
  }

  @Test
  void aClipCutsOffWholeLobesAndReportsThem() {
    // Over ±0.5 from 2 to 5 on the left (before the span), at 8 below, and at 4, 5 on the right;
    // the one at 12 has no frame in the span [5, 10).
    double[][] y = {
      {0, 0.4, 0.6, 0.8, 0.9, 0.7, 0.3, 0, -0.6, 0.5, 0, 0, 0.9, 0},
      {0, 0, 0, 0, -0.7, -0.8, -0.5, 0, 0, 0, 0, 0, 0, 0},
    };
    double c = Decibels.toFactor(-6);
    Change change = FixApplier.apply(new Clip(0, 5, 10, -60), RATE, y, 0, new TimeRange(0, 14));
    assertArrayEquals(
        new double[] {0, 0.4, c, c, c, c, 0.3, 0, -c, 0.5, 0, 0, 0.9, 0}, y[0], 1e-15);
    assertArrayEquals(new double[] {0, 0, 0, 0, -c, -c, -0.5, 0, 0, 0, 0, 0, 0, 0}, y[1], 1e-15);
    // R is [2, 10); frames 2, 3, 4, 5 and 8 were clipped on either channel.
    assertEquals(new Change(2, 10, 5, 4, false), change);
  }

  @Test
  void aLobeWithoutAnEndIsCutAtTwoHundredMillisecondsAndSaidToBeTooLong() {
    double[][] y = Block.stereo(RATE);
    Arrays.fill(y[0], 0.9);
    Change change = FixApplier.apply(new Clip(0, 24_000, 24_010, -60), RATE, y, 0, ONE_SECOND);
    assertTrue(change.lobeTooLong());
    assertEquals(24_000 - 9_600, change.fromFrame());
    assertEquals(24_010 + 9_600, change.toFrame());
    assertEquals(0.9, y[0][24_000 - 9_601]);
    // Where the session ends, the lobe does.
    TimeRange brief = new TimeRange(20_000, 28_000);
    assertFalse(
        FixApplier.apply(new Clip(0, 24_000, 24_010, -80), RATE, y, 0, brief).lobeTooLong());
  }

  @Test
  void whatIsReadIsCutToTheSession() {
    assertEquals(
        Optional.of(new TimeRange(0, 651)),
        FixApplier.reads(new Nudge(0, 40, 600, -3), RATE, ONE_SECOND));
    assertEquals(
        Optional.of(new TimeRange(949, 2_048)),
        FixApplier.reads(new Nudge(0, 1_000, 2_000, 3), RATE, ONE_SECOND));
    assertEquals(Optional.empty(), FixApplier.reads(new Trim(0, -900, -48, 3), RATE, ONE_SECOND));
  }
}
