package cairn.collisions.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Settings;
import cairn.collisions.Yokes;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.moment.OverFrames;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** The oracle sums the whole song for every setting there is. */
class WholeStemsTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 24_000;

  private static double[][] band(Random random) {
    double[][] x = new double[3][FRAMES];
    for (int k = 0; k < x.length; k++) {
      for (int n = 50; n < FRAMES; n++) {
        x[k][n] = 0.01 * random.nextGaussian();
      }
      for (int hit = 1_000; hit < FRAMES - 1_500; hit += 1_500) {
        double size = 0.1 + 0.25 * random.nextDouble();
        double wave = 20 + random.nextInt(60);
        int at = hit + random.nextInt(12);
        for (int i = 0; i < 600; i++) {
          x[k][at + i] += size * Math.exp(-i / 60.0) * Math.sin(2 * Math.PI * (i + 1) / wave);
        }
      }
    }
    return x;
  }

  private static ArrayStems stems(double[][] x) {
    return new ArrayStems(RATE).mono("surdo", x[0]).mono("caixa", x[1]).mono("agogo", x[2]);
  }

  private static WholeStems whole(Pass pass, ArrayStems stems) {
    return new WholeStems(pass, stems, Crew.ALONE, Progress.NONE);
  }

  private static double[] moved(double[] y, StemSetting.Kind kind, int amount) {
    double[] after = new double[y.length];
    for (int n = 0; n < y.length; n++) {
      after[n] =
          switch (kind) {
            case OFFSET -> n - amount >= 0 && n - amount < y.length ? y[n - amount] : 0;
            case POLARITY -> -y[n];
            case CEILING ->
                Math.signum(y[n]) * Math.min(Math.abs(y[n]), Math.pow(10, amount / 200.0));
            case FADER -> y[n] * Math.pow(10, -amount / 200.0);
          };
    }
    return after;
  }

  /** {@code {left, peak}} of the whole song. */
  private static double[] outcome(double[][] x, Pass pass, StemSetting setting) {
    double[] after = moved(x[setting.stem()], setting.kind(), setting.amount());
    double line = pass.line().level(0);
    int moments = 0;
    double peak = 0;
    long lastOver = Long.MIN_VALUE / 2;
    for (int n = 0; n < FRAMES; n++) {
      double b = after[n];
      for (int k = 0; k < x.length; k++) {
        b += k == setting.stem() ? 0 : x[k][n];
      }
      peak = Math.max(peak, Math.abs(b));
      if (Math.abs(b) > line) {
        moments += n - lastOver > OverFrames.gapFrames(RATE) ? 1 : 0;
        lastOver = n;
      }
    }
    return new double[] {moments, peak};
  }

  @Test
  void theBestOfEachKindIsTheBestOfAllThatThereAre() throws IOException {
    int helping = 0;
    for (long seed = 0; seed < 4; seed++) {
      double[][] x = band(new Random(seed));
      ArrayStems stems = stems(x);
      Pass pass = stems.analyse(Settings.DEFAULT);
      List<StemMove> best = whole(pass, stems).best(Set.of());
      assertEquals(12, best.size());
      for (StemMove move : best) {
        StemSetting told = move.setting();
        String what = "seed " + seed + ": " + move;
        double[] oracle = outcome(x, pass, told);
        assertEquals(oracle[0], move.left(), what);
        assertEquals(oracle[1], move.peakAfter(), 1e-12, what);
        List<Integer> amounts = new ArrayList<>();
        switch (told.kind()) {
          case OFFSET -> {
            for (int d = -40; d <= 40; d++) {
              amounts.add(d);
            }
          }
          case POLARITY -> amounts.add(0);
          case CEILING -> {
            double own = pass.stems().get(told.stem()).averagePeak().orElseThrow();
            for (int c = 0; Math.pow(10, c / 200.0) >= own; c--) {
              amounts.add(c);
            }
          }
          case FADER -> {
            for (int g = 1; g <= 30; g++) {
              amounts.add(g);
            }
          }
        }
        for (int amount : amounts) {
          boolean same = told.kind() == StemSetting.Kind.OFFSET && amount == 0;
          double left = outcome(x, pass, new StemSetting(told.stem(), told.kind(), amount))[0];
          assertTrue(same || left >= move.left(), what + ", but " + amount + " leaves " + left);
        }
        helping += move.helps(pass.moments().size()) ? 1 : 0;
      }
    }
    assertTrue(helping > 4, "only " + helping + " settings help");
  }

  @Test
  void aStemIsNotSentEarlierThanItsFirstSound() throws IOException {
    double[][] x = band(new Random(9));
    for (int k = 0; k < 3; k++) {
      x[k][3] = 0.05;
    }
    ArrayStems stems = stems(x);
    Pass pass = stems.analyse(Settings.DEFAULT);
    for (StemMove move : whole(pass, stems).best(Set.of())) {
      if (move.setting().kind() == StemSetting.Kind.OFFSET) {
        assertTrue(move.setting().amount() >= -3, move.toString());
      }
    }
  }

  @Test
  void aCeilingTellsWhatItCutsOff() throws IOException {
    // A sine of 100 Hz and amplitude 0.5 for a second: beyond ±0.25 a third of each half-wave lies
    // on either side, |sin| > ½ for 2/3 of the time. 80 frames a period: from 7 to 33 of 40.
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("bed", FRAMES, n -> 0.1 * Math.sin((double) n))
            .mono(
                "reed", FRAMES, n -> n < RATE ? 0.5 * Math.sin(2 * Math.PI * (double) n / 80) : 0);
    Pass pass = stems.analyse(Settings.DEFAULT);
    int tenths = -120;
    double ceiling = Math.pow(10, tenths / 200.0);
    int beyond = 0;
    for (int n = 0; n < 40; n++) {
      beyond += 0.5 * Math.sin(2 * Math.PI * n / 80) > ceiling ? 1 : 0;
    }
    StemMove move =
        whole(pass, stems)
            .check(List.of(new StemSetting(1, StemSetting.Kind.CEILING, tenths)))
            .get(0);
    assertEquals(200L * beyond, move.clippedFrames());
    assertEquals(beyond, move.longestLobeFrames());
  }

  @Test
  void aCopyTurnedRoundCancelsAndStemsLeftAloneArePassedOver() throws IOException {
    double[] x = band(new Random(3))[0];
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("bed", FRAMES, n -> 0.2 * Math.sin(n / 3.0))
            .mono("surdo", x)
            .mono("its copy", x);
    Pass pass = stems.analyse(Settings.DEFAULT);
    assertTrue(pass.moments().size() > 0);
    List<StemMove> best = whole(pass, stems).best(Set.of(0, 1));
    assertTrue(best.stream().allMatch(move -> move.setting().stem() == 2));
    StemMove turned =
        best.stream()
            .filter(move -> move.setting().kind() == StemSetting.Kind.POLARITY)
            .findFirst()
            .orElseThrow();
    assertEquals(0, turned.left());
    assertEquals(pass.moments().size(), turned.cleared());
    assertEquals(0.2, turned.peakAfter(), 1e-4);
  }

  @Test
  void yokedStemsAreSetAsOneButForACeiling() throws IOException {
    double[][] x = band(new Random(7));
    double[][] asOne = {x[0].clone(), x[2]};
    for (int n = 0; n < FRAMES; n++) {
      asOne[0][n] += x[1][n];
    }
    ArrayStems two = new ArrayStems(RATE).mono("surdo and caixa", asOne[0]).mono("agogo", asOne[1]);
    ArrayStems three = stems(x);
    Pass plain = three.analyse(Settings.DEFAULT);
    Pass yoked =
        new Pass(
            plain.session().withYokes(Yokes.of(List.of(List.of(0, 1)))),
            plain.settings(),
            plain.summary(),
            plain.line(),
            plain.moments(),
            plain.stems(),
            plain.loudness(),
            plain.limiter());
    List<StemMove> moves = whole(yoked, three).best(Set.of());
    List<StemMove> wanted = whole(two.analyse(Settings.DEFAULT), two).best(Set.of());
    for (StemMove move : moves) {
      StemSetting.Kind kind = move.setting().kind();
      assertTrue(kind == StemSetting.Kind.CEILING || move.setting().stem() != 1, move.toString());
      if (move.setting().stem() == 0 && kind != StemSetting.Kind.CEILING) {
        StemMove one =
            wanted.stream()
                .filter(w -> w.setting().stem() == 0 && w.setting().kind() == kind)
                .findFirst()
                .orElseThrow();
        assertEquals(one.setting().amount(), move.setting().amount());
        assertEquals(one.left(), move.left());
        // The sums are added in another order.
        assertEquals(one.peakAfter(), move.peakAfter(), 1e-12);
      }
    }
    // Four kinds of two, and the ceiling of the stem that moves with the first.
    assertEquals(9, moves.size());
  }

  @Test
  void soundsAreComparedThroughoutTheSongAndNotAtItsHighestMomentsAlone() throws IOException {
    double[][] x = band(new Random(5));
    for (int n = FRAMES / 2; n < FRAMES; n++) {
      x[0][n] *= 0.5;
    }
    ArrayStems stems = stems(x);
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(-20)));
    List<Moment> all = pass.moments();
    List<Moment> some = SharedSound.throughout(all, 4);
    assertEquals(4, some.size());
    assertTrue(some.get(0).peakFrame() < FRAMES / 3 && some.get(3).peakFrame() > 2 * FRAMES / 3);
    assertEquals(all.size(), SharedSound.throughout(all, 100).size());
  }

  @Test
  void aDrumAndItsLowLayerShareOneOctaveAtOneLag() throws IOException {
    // Both swing at 130 Hz; the drum is a stroke of noise besides, drawn anew for each hit, about
    // as
    // strong: the whole sounds correlate by a half, their octave of 125 Hz by nearly one.
    Random random = new Random(11);
    double[] drum = new double[FRAMES];
    double[] layer = new double[FRAMES];
    double[] other = new double[FRAMES];
    for (int hit = 1_000; hit < FRAMES - 2_500; hit += 2_500) {
      for (int i = 0; i < 1_200; i++) {
        double swing = Math.exp(-i / 300.0) * Math.sin(2 * Math.PI * 130 * i / RATE);
        drum[hit + i] += 0.3 * swing + 0.35 * Math.exp(-i / 300.0) * high(random, i);
        layer[hit + i] += 0.3 * swing;
        other[hit + i] +=
            0.3 * Math.exp(-i / 300.0) * Math.sin(2 * Math.PI * (300 + hit / 40.0) * i / RATE);
      }
    }
    ArrayStems stems =
        new ArrayStems(RATE).mono("drum", drum).mono("layer", layer).mono("agogo", other);
    SharedSound strong = onlyStrong(stems);
    assertEquals(0, strong.first());
    assertEquals(1, strong.second());
    assertEquals(125, strong.bandHz());
  }

  /** The only pair; at half of the highest peak, so that the stems lead many moments. */
  private static SharedSound onlyStrong(ArrayStems stems) throws IOException {
    double half = Decibels.ofAmplitude(stems.analyse(Settings.DEFAULT).peak() / 2);
    Pass pass = stems.analyse(Settings.DEFAULT.withLine(new Line.Level(half)));
    List<SharedSound> strong = SharedSound.strong(pass, stems, Crew.ALONE);
    assertEquals(1, strong.size(), strong.toString());
    return strong.get(0);
  }

  /** Noise whose sign turns with every sample: none of it is low. */
  private static double high(Random random, int i) {
    return (i % 2 == 0 ? 1 : -1) * (0.5 + random.nextDouble());
  }

  @Test
  void copiesShareTheirSoundAndOthersDoNot() throws IOException {
    double[][] x = band(new Random(5));
    ArrayStems stems =
        new ArrayStems(RATE).mono("surdo", x[0]).mono("copy", x[0]).mono("caixa", x[1]);
    SharedSound strong = onlyStrong(stems);
    assertEquals(0, strong.first());
    assertEquals(1, strong.second());
    assertEquals(strong.together(), strong.shared());
  }
}
