package cairn.collisions.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.spectrum.Alignment;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Stems of noise, in bursts; the mixes are worked out from them sample by sample. */
class PrintComparisonTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 10 * RATE;
  private static final int STEMS = 5;

  private final ArrayStems stems = new ArrayStems(RATE);

  /** y[stem][frame]; all stems are mono. */
  private final double[][] y = new double[STEMS][FRAMES];

  PrintComparisonTest() {
    Random random = new Random(11);
    for (int k = 0; k < STEMS; k++) {
      double level = 0.05 / (k + 1);
      for (int n = 0; n < FRAMES; n++) {
        double burst = Math.exp(-((n + 700 * k) % 4_000) / 1_200.0);
        y[k][n] = level * burst * random.nextGaussian();
      }
      stems.mono("stem " + k, y[k]);
    }
  }

  private double[] mix(double... gains) {
    double[] mix = new double[FRAMES];
    for (int n = 0; n < FRAMES; n++) {
      for (int k = 0; k < STEMS; k++) {
        mix[n] += gains[k] * y[k][n];
      }
    }
    return mix;
  }

  private PrintComparison compare(double[] mix) throws IOException {
    ArrayStems print = new ArrayStems(RATE).mono("mix", mix);
    double[] powers = new double[100];
    StemAudit.ofAll(stems.session(), stems, new double[STEMS], Crew.ALONE, Progress.NONE)
        .forEach(outcome -> outcome.audit().orElseThrow().addPowersTo(powers));
    Alignment alignment =
        PrintComparison.align(stems.session(), stems, powers, 800, print.session(), print)
            .orElseThrow();
    return PrintComparison.of(
            stems.session(),
            stems,
            new PlacedPrint(print.session(), print, alignment.lagFrames()),
            alignment,
            Crew.ALONE,
            Progress.NONE)
        .orElseThrow();
  }

  @Test
  void theSumItselfLeavesNothing() throws IOException {
    PrintComparison found = compare(mix(1, 1, 1, 1, 1));
    assertEquals(0, found.alignment().lagFrames());
    assertEquals(0, found.gainDb(), 1e-9);
    assertTrue(found.restDb() < -140, found.toString());
    assertTrue(found.differing().isEmpty());
    assertEquals(List.of(), PrintFindings.of(stems.session(), "mix", FRAMES, found));
  }

  @Test
  void offsetGainAndPolarityAreToldApart() throws IOException {
    double[] plain = mix(-0.5, -0.5, -0.5, -0.5, -0.5);
    double[] later = new double[FRAMES + 123];
    System.arraycopy(plain, 0, later, 123, FRAMES);
    PrintComparison found = compare(later);
    assertEquals(123, found.alignment().lagFrames());
    assertTrue(found.reversed());
    assertEquals(20 * Math.log10(0.5), found.gainDb(), 1e-6);
    assertTrue(found.restDb() < -140, found.toString());
  }

  @Test
  void aFewSecondsOfTheSongArePlacedWhereverTheyAre() throws IOException {
    double[] mix = mix(1, 1, 1, 1, 1);
    for (int from : new int[] {0, 17_003, 70_000}) {
      PrintComparison found = compare(Arrays.copyOfRange(mix, from, from + 10_000));
      assertEquals(-from, found.alignment().lagFrames());
      assertTrue(found.restDb() < -140, found.toString());
    }
  }

  @Test
  void theStemThatIsMissingInTheMixIsNamed() throws IOException {
    PrintComparison found = compare(mix(1, 1, 1, 0, 1));
    assertEquals(1, found.differing().size());
    assertEquals(3, found.differing().get(0).stem());
    assertTrue(found.differing().get(0).isMissing());
    assertEquals(0, found.gainDb(), 1e-6);
    assertTrue(found.restDb() < -140, found.toString());
    // What is left before is that stem; its power against the mix's, both from the samples.
    double stem = Arrays.stream(y[3]).map(v -> v * v).sum();
    double mix = Arrays.stream(mix(1, 1, 1, 0, 1)).map(v -> v * v).sum();
    assertEquals(10 * Math.log10(stem / mix), found.residualDb(), 0.3);
  }

  @Test
  void stemsAtOtherLevelsAreNamedWithThem() throws IOException {
    PrintComparison found = compare(mix(0.8, 1.6, 0.8, 0.8, 0.2));
    assertEquals(20 * Math.log10(0.8), found.gainDb(), 1e-6);
    assertEquals(2, found.differing().size(), found.toString());
    assertEquals(1, found.differing().get(0).stem());
    assertEquals(2, found.differing().get(0).factor(), 1e-6);
    assertEquals(4, found.differing().get(1).stem());
    assertEquals(0.25, found.differing().get(1).factor(), 1e-6);
    assertFalse(found.differing().get(1).isMissing());
  }

  @Test
  void whatNoStemHoldsIsFoundWhereItSounds() throws IOException {
    double[] mix = mix(1, 1, 1, 1, 1);
    Random random = new Random(12);
    for (int n = 5 * RATE; n < 6 * RATE; n++) {
      mix[n] += 0.05 * random.nextGaussian();
    }
    PrintComparison found = compare(mix);
    assertTrue(found.differing().isEmpty(), found.toString());
    assertTrue(found.dynamics().isEmpty(), found.toString());
    assertTrue(found.restDb() > -20);
    assertEquals(5.25 * RATE, (double) found.restAt(), 0.5 * RATE);
    String said = PrintFindings.of(stems.session(), "mix", FRAMES, found).toString();
    assertTrue(said.contains("holds something that no stem does"), said);
  }

  /** The loudest tenths of a second are turned down in proportion: 2:1 above a level. */
  @Test
  void aGainThatFollowsTheLevelIsBusDynamics() throws IOException {
    double[] mix = mix(1, 1, 1, 1, 1);
    for (int at = 0; at < FRAMES; at += 80) {
      double power = 0;
      for (int n = at; n < at + 80; n++) {
        power += mix[n] * mix[n] / 80;
      }
      double gain = Math.min(1, Math.sqrt(0.02 / Math.max(1e-9, Math.sqrt(power))));
      for (int n = at; n < at + 80; n++) {
        mix[n] *= gain;
      }
    }
    PrintComparison found = compare(mix);
    assertTrue(found.dynamics().isPresent(), found.toString());
    assertTrue(found.dynamics().get().downDb() > 1, found.toString());
  }

  @Test
  void silenceCannotBeCompared() throws IOException {
    ArrayStems print = new ArrayStems(RATE).mono("mix", new double[FRAMES]);
    double[] powers = new double[100];
    Arrays.fill(powers, 1);
    assertEquals(
        Optional.empty(),
        PrintComparison.align(stems.session(), stems, powers, 800, print.session(), print));
  }

  @Test
  void twinsAreFoundWithTheirGainAndPolarity() throws IOException {
    double[] double1 = Arrays.stream(y[1]).map(v -> v / 2).toArray();
    double[] double2 = Arrays.stream(y[2]).map(v -> -v).toArray();
    stems.mono("again", double1).mono("down", double2);
    Likeness found = Likeness.of(stems.session(), stems, Crew.ALONE, Progress.NONE);
    assertEquals(2, found.twins().size());
    assertEquals(1, found.twins().get(0).first());
    assertEquals(5, found.twins().get(0).second());
    assertEquals(20 * Math.log10(0.5), found.twins().get(0).gainDb(), 1e-9);
    assertFalse(found.twins().get(0).inverted());
    assertEquals(2, found.twins().get(1).first());
    assertTrue(found.twins().get(1).inverted());
    assertTrue(found.fullMixes().isEmpty());
  }

  @Test
  void aMixAmongTheStemsIsFoundAlsoWithAStemMissingAndPeaksCut() throws IOException {
    double[] mix = mix(0.7, 0.7, 0.7, 0, 0.7);
    double[] cut = Arrays.stream(mix).map(v -> Math.max(-0.08, Math.min(0.08, v))).toArray();
    stems.mono("rough", cut);
    Likeness found = Likeness.of(stems.session(), stems, Crew.ALONE, Progress.NONE);
    assertEquals(1, found.fullMixes().size(), found.toString());
    assertEquals(5, found.fullMixes().get(0).stem());
    assertEquals(20 * Math.log10(0.7), found.fullMixes().get(0).gainDb(), 0.5);
    assertTrue(found.twins().isEmpty());
  }

  @Test
  void aLoudStemBesideQuietOnesIsNoMix() throws IOException {
    double[] near = new double[FRAMES];
    Random random = new Random(13);
    for (int n = 0; n < FRAMES; n++) {
      near[n] = 20 * y[0][n] + 0.05 * random.nextGaussian();
    }
    stems.mono("near", near);
    Likeness found = Likeness.of(stems.session(), stems, Crew.ALONE, Progress.NONE);
    assertTrue(found.fullMixes().isEmpty(), found.toString());
  }
}
