package cairn.collisions.moment;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.line.Line;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.ForkJoinPool;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AlikeTest {

  private static final int RATE = 8_000;
  private static final Settings AT_HALF = Settings.DEFAULT.withLine(new Line.Level(-6));

  /** Four decaying tones at these frames, each with its gain, Hz and delay in frames. */
  private static double[] hits(double[] gains, double[] hz, int[] delays) {
    double[] x = new double[4 * RATE];
    for (int i = 0; i < gains.length; i++) {
      int at = RATE / 2 + i * 7_000 + delays[i];
      for (int n = 0; n < 400; n++) {
        x[at + n] = gains[i] * Math.exp(-n / 60.0) * Math.cos(2 * Math.PI * hz[i] * n / RATE);
      }
    }
    return x;
  }

  private static List<Moment> moments(double[] surdo, double[] kick) {
    return new ArrayStems(RATE).mono("surdo", surdo).mono("kick", kick).analyse(AT_HALF).moments();
  }

  private static List<Integer> heads(List<Moment> moments) {
    return moments.stream().map(Moment::alikeTo).toList();
  }

  @Test
  void theHighestOfOneRepeatedHitStandsForAllOfThem() {
    double[] gains = {0.40, 0.45, 0.42, 0.41};
    double[] hz = {80, 80, 80, 80};
    int[] delays = {0, 0, 0, 0};

    List<Moment> moments = moments(hits(gains, hz, delays), hits(gains, hz, delays));

    assertEquals(List.of(1, 1, 1, 1), heads(moments));
    assertTrue(moments.stream().allMatch(moment -> moment.alike() == 4));
    assertTrue(moments.get(0).isHead());
    assertEquals(RATE / 2 + 7_000, moments.get(0).peakFrame());
  }

  @Test
  void anotherShapeOfOneStemMakesAnotherHead() {
    double[] gains = {0.45, 0.44, 0.43, 0.42};
    int[] delays = {0, 0, 0, 0};

    List<Moment> moments =
        moments(
            hits(gains, new double[] {80, 80, 80, 80}, delays),
            hits(gains, new double[] {80, 800, 80, 800}, delays));

    assertEquals(List.of(1, 2, 1, 2), heads(moments));
  }

  @Test
  void aShareThatDiffersByMoreThanATenthMakesAnotherHead() {
    // Shares of the surdo: 0.5, 0.5, 0.41 and 0.39.
    double[] hz = {80, 80, 80, 80};
    int[] delays = {0, 0, 0, 0};

    List<Moment> moments =
        moments(
            hits(new double[] {0.45, 0.44, 0.41 * 0.80, 0.39 * 0.79}, hz, delays),
            hits(new double[] {0.45, 0.44, 0.59 * 0.80, 0.61 * 0.79}, hz, delays));

    assertEquals(List.of(1, 1, 1, 4), heads(moments));
  }

  @Test
  void aLagOfOneMillisecondEitherWayIsAllowedAndAFrameMoreIsNot() {
    // The peak is where the kick's impulse meets 0.3 of the surdo; the noise about it lies earlier
    // or later by so many frames of 1/8 ms.
    Random random = new Random(1);
    double[] noise = random.doubles(240, -0.2, 0.2).toArray();
    int[] late = {0, 8, -8, 9};
    double[] surdo = new double[4 * RATE];
    double[] kick = new double[4 * RATE];
    for (int i = 0; i < late.length; i++) {
      int at = RATE / 2 + i * 7_000;
      System.arraycopy(noise, 0, surdo, at - 120 + late[i], noise.length);
      surdo[at] = 0.3;
      kick[at] = 0.45 - 0.01 * i;
    }

    List<Moment> moments = moments(surdo, kick);

    assertEquals(List.of(1, 1, 1, 4), heads(moments));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 5, 6, 7})
  void groupsAreThoseOfThePlainestReading(int seed) throws IOException {
    Random random = new Random(seed);
    int frames = 6 * RATE;
    ArrayStems stems = new ArrayStems(RATE);
    double[][] patterns = new double[4][300];
    for (double[] pattern : patterns) {
      double step = 0.02 + random.nextDouble();
      for (int n = 0; n < pattern.length; n++) {
        pattern[n] = Math.exp(-n / 50.0) * (Math.cos(step * n) + 0.2 * random.nextGaussian());
      }
    }
    for (int k = 0; k < 3; k++) {
      double[][] x = new double[2][frames];
      for (int at = 40; at < frames; at += 1_200) {
        double[] pattern = patterns[random.nextInt(4)];
        int late = random.nextInt(14);
        double gain = 0.35 + 0.1 * random.nextDouble();
        for (int n = 0; n < pattern.length && at + late + n < frames; n++) {
          x[0][at + late + n] += gain * pattern[n];
          x[1][at + late + n] += 0.9 * gain * pattern[n] + 0.02 * random.nextGaussian();
        }
      }
      stems.stem("stem " + k, x);
    }
    Session unity = stems.session();
    Session session =
        new Session(
            RATE, 0, unity.stems(), List.of(Fader.UNITY, Fader.UNITY.withOffset(-3), Fader.UNITY));

    List<Moment> moments = stems.analyse(session, AT_HALF).moments();

    List<Integer> expected = new ArrayList<>();
    List<Moment> plainHeads = new ArrayList<>();
    for (Moment moment : moments) {
      Optional<Moment> head =
          plainHeads.stream().filter(h -> areAlike(session, stems, h, moment)).findFirst();
      if (head.isEmpty()) {
        plainHeads.add(moment);
      }
      expected.add(head.orElse(moment).rank());
    }
    assertEquals(expected, heads(moments), "seed " + seed);
    assertTrue(new HashSet<>(heads(moments)).size() < moments.size(), "seed " + seed);
    for (Moment moment : moments) {
      long sameHead = moments.stream().filter(m -> m.alikeTo() == moment.alikeTo()).count();
      assertEquals(sameHead, moment.alike());
    }
    Crew three = new Crew(ForkJoinPool.commonPool(), 3);
    assertEquals(
        moments,
        Alike.group(session, stems, stems.analyse(session, AT_HALF).range(), three, moments));
  }

  private static boolean areAlike(Session session, ArrayStems stems, Moment head, Moment moment) {
    if (!stemsOf(head).equals(stemsOf(moment))) {
      return false;
    }
    for (int k : stemsOf(head)) {
      if (Math.abs(share(head, k) - share(moment, k)) > 0.10) {
        return false;
      }
      boolean same = false;
      for (int lag = -8; lag <= 8; lag++) {
        double product = 0;
        double a2 = 0;
        double b2 = 0;
        for (int n = -80; n <= 80; n++) {
          double a = sample(session, stems, k, head.channel(), head.peakFrame() + n);
          double b = sample(session, stems, k, head.channel(), moment.peakFrame() + n + lag);
          product += a * b;
          a2 += a * a;
          b2 += b * b;
        }
        same |= a2 * b2 > 0 && Math.abs(product) / Math.sqrt(a2 * b2) >= 0.9;
      }
      if (!same) {
        return false;
      }
    }
    return true;
  }

  private static Set<Integer> stemsOf(Moment moment) {
    Set<Integer> stems = new HashSet<>();
    moment.makingUp().forEach(contribution -> stems.add(contribution.stem()));
    return stems;
  }

  private static double share(Moment moment, int stem) {
    return moment.contributions().stream()
        .filter(contribution -> contribution.stem() == stem)
        .findFirst()
        .orElseThrow()
        .share();
  }

  private static double sample(Session session, ArrayStems stems, int k, int c, long frame) {
    long at = frame - session.faders().get(k).offset();
    double[] channel = stems.samples(k)[c];
    return frame < 0 || at < 0 || at >= channel.length ? 0 : channel[(int) at];
  }
}
