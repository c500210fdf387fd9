package cairn.collisions.fix;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.spectrum.OctavePowers;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;

class ToneCostTest {

  private static final int RATE = 48_000;

  private static double[][] both(int frames, IntToDoubleFunction x) {
    double[][] y = new double[2][frames];
    for (int n = 0; n < frames; n++) {
      y[0][n] = x.applyAsDouble(n);
      y[1][n] = y[0][n];
    }
    return y;
  }

  @Test
  void twoEqualTonesMovedApartLoseWhatTheCombSays() {
    // sin(2πft) + sin(2πf(t − d)) = 2·cos(πfd)·sin(2πf(t − d/2)): 20·log10|cos(πfd)|.
    int frames = 12_000;
    OctavePowers meter = new OctavePowers(frames, RATE);
    for (double hz : new double[] {125, 440, 1000, 2500}) {
      for (int d : new int[] {1, 3, 10, 30}) {
        double turn = 2 * Math.PI * hz / RATE;
        double[] before = meter.powers(both(frames, n -> 0.4 * Math.sin(turn * n)));
        double[] after =
            meter.powers(
                both(frames, n -> 0.2 * Math.sin(turn * n) + 0.2 * Math.sin(turn * (n - d))));
        double comb = 20 * Math.log10(Math.abs(Math.cos(Math.PI * hz * d / RATE)));
        assertEquals(-comb, ToneCost.db(before, after), 0.001, hz + " Hz by " + d);
      }
    }
  }

  @Test
  void bandsFarUnderTheStrongestDoNotCount() {
    assertEquals(
        1, ToneCost.db(new double[] {1, 0.01}, new double[] {Math.pow(10, 0.1), 0.01}), 1e-9);
    assertEquals(0, ToneCost.db(new double[] {1, 0.000_999}, new double[] {1, 5}), 1e-12);
    assertEquals(
        10 * Math.log10(5), ToneCost.db(new double[] {1, 0.001}, new double[] {1, 0.005}), 1e-9);
    assertEquals(3.0103, ToneCost.db(new double[] {1, 1}, new double[] {1, 0.5}), 1e-4);
    assertEquals(Double.POSITIVE_INFINITY, ToneCost.db(new double[] {1}, new double[] {0}), 0);
    assertEquals(0, ToneCost.db(new double[] {0, 0}, new double[] {0, 1}), 0);
  }

  /** A burst of 1 kHz on a bed of 100 Hz, which is quiet but within 30 dB. */
  private static FixesHere burst(double bed) {
    ArrayStems stems = new ArrayStems(RATE);
    stems.mono("bed", RATE, n -> bed * Math.sin(2 * Math.PI * 100 * n / RATE));
    for (String name : new String[] {"siren", "its copy"}) {
      stems.mono(
          name,
          RATE,
          n ->
              n >= 24_000 && n < 26_400
                  ? 0.3
                      * Math.sin(2 * Math.PI * 1000 * n / RATE)
                      * Math.pow(Math.sin(Math.PI * (n - 24_000) / 2_400.0), 2)
                  : 0);
    }
    Session session = stems.session();
    Pass pass =
        stems.analyse(Settings.DEFAULT.withLine(new Line.Level(Decibels.ofAmplitude(0.55))));
    double[][][] y = FixSearchTest.onBus(session, stems);
    FixFinder finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    Moment moment = pass.moments().get(0);
    return finder.at(Excerpts.cut(y, y, finder.excerptRange(moment)), moment);
  }

  @Test
  void aTrimOfOneOfTwoCopiesCostsWhatTheSumLoses() {
    // The hit holds all of the burst: (1 + 10^(−g/20))/2 on the whole 1 kHz octave.
    FixesHere here = burst(0.01);
    for (int tenths : new int[] {5, 20, 60}) {
      double loss = 20 * Math.log10((1 + Math.pow(10, -tenths / 200.0)) / 2);
      assertEquals(-loss, here.toneCostDb(here.trim(1, tenths)), 0.01, tenths + " tenths");
    }
  }

  @Test
  void aNudgeOfOneOfTwoCopiesCostsTheCombOfItsTone() {
    FixesHere here = burst(0.01);
    for (int d : new int[] {1, -4, 12}) {
      double comb = 20 * Math.log10(Math.cos(Math.PI * 1000 * Math.abs(d) / RATE));
      // The burst is 50 ms long: its tone is a band some 40 Hz wide.
      assertEquals(-comb, here.toneCostDb(here.nudge(1, d)), 0.02, d + " frames");
    }
  }

  @Test
  void aClipCostsMoreTheDeeperItCuts() {
    FixesHere here = burst(0.01);
    double before = 0;
    for (int ceiling = -110; ceiling >= -200; ceiling -= 30) {
      double cost = here.toneCostDb(here.clip(1, ceiling));
      assertTrue(cost > before, ceiling + " tenths: " + cost + " after " + before);
      before = cost;
    }
  }

  @Test
  void askedTwiceOrAmidOthersItSaysTheSame() {
    FixesHere here = burst(0.01);
    Fix nudge = here.nudge(1, 7);
    double alone = here.toneCostDb(nudge);
    here.leastTrim(2);
    here.toneCostDb(here.nudge(2, -30));
    assertEquals(alone, here.toneCostDb(nudge), 0);
    assertEquals(alone, burst(0.01).toneCostDb(nudge), 0);
  }
}
