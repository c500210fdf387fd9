package cairn.collisions.time;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.ArrayStems;
import cairn.collisions.Fader;
import cairn.collisions.Session;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Click tracks whose tempo is known: no standard says how a tempo is estimated. */
class TempoEstimateTest {

  private static final int RATE = 8_000;
  private static final int SECONDS = 40;

  /** A click of some 30 ms on every beat, each as loud as chance has it. */
  private static double[] clicks(double bpm, double firstSeconds, Random random) {
    double[] x = new double[SECONDS * RATE];
    for (int beat = 0; ; beat++) {
      int at = (int) Math.round((firstSeconds + beat * 60 / bpm) * RATE);
      if (at >= x.length) {
        return x;
      }
      double size = 0.4 + 0.4 * random.nextDouble();
      for (int i = 0; i < 400 && at + i < x.length; i++) {
        x[at + i] += size * Math.exp(-i / 80.0) * Math.sin(0.9 * i + 1);
      }
    }
  }

  private static double[] noise(double size, Random random) {
    double[] x = new double[SECONDS * RATE];
    for (int n = 0; n < x.length; n++) {
      x[n] = size * random.nextGaussian();
    }
    return x;
  }

  private static Optional<TempoEstimate> of(ArrayStems stems) throws IOException {
    return TempoEstimate.of(stems.session(), stems);
  }

  @ParameterizedTest
  @ValueSource(
      doubles = {
        60, 60.3, 66, 73.5, 84, 90, 96, 99.97, 104, 112, 120, 126.4, 133.3, 147, 160, 174, 180
      })
  void aClickOnEveryBeatTellsTheTempoToATenth(double bpm) throws IOException {
    Random random = new Random(5);
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("agogo", clicks(bpm, 0.21, random))
            .mono("rain", noise(0.02, random));
    assertEquals(bpm, of(stems).orElseThrow().quartersPerMinute(), 0.1);
  }

  @Test
  void weakerClicksInBetweenAreNotTakenForTheBeat() throws IOException {
    Random random = new Random(6);
    double[] between = clicks(96, 0.3125, random);
    for (int n = 0; n < between.length; n++) {
      between[n] *= 0.3;
    }
    ArrayStems stems =
        new ArrayStems(RATE).mono("agogo", clicks(96, 0, random)).mono("shaker", between);
    assertEquals(96, of(stems).orElseThrow().quartersPerMinute(), 0.1);
  }

  @Test
  void noBeatIsNoTempo() throws IOException {
    assertTrue(of(new ArrayStems(RATE).mono("rain", noise(0.3, new Random(1)))).isEmpty());
    assertTrue(of(new ArrayStems(RATE).mono("rest", new double[SECONDS * RATE])).isEmpty());
    assertTrue(of(new ArrayStems(RATE).mono("one", 0.5)).isEmpty());
  }

  @Test
  void aHandfulOfClicksIsNoTempo() throws IOException {
    double[] few = new double[5 * RATE];
    System.arraycopy(clicks(120, 0, new Random(2)), 0, few, 0, few.length);
    assertTrue(of(new ArrayStems(RATE).mono("agogo", few)).isEmpty());
  }

  @Test
  void onlyWhatIsOnTheBusIsHeard() throws IOException {
    Random random = new Random(3);
    ArrayStems stems =
        new ArrayStems(RATE)
            .mono("agogo", clicks(90, 0, random))
            .mono("count-in", clicks(140, 0, random));
    Session plain = stems.session();
    Session muted =
        new Session(
            RATE,
            0,
            plain.stems(),
            List.of(Fader.UNITY.withOffset(-777), Fader.UNITY.withMuted(true)));
    assertEquals(90, TempoEstimate.of(muted, stems).orElseThrow().quartersPerMinute(), 0.1);
  }

  @Test
  void aMapKnowsThatItIsAGuess() {
    TempoMap map = new TempoMap(96, 3, 4, 0.5);
    assertFalse(map.isEstimate());
    assertTrue(map.asEstimate().isEstimate());
    assertEquals(map.barsBeats(12_345, RATE), map.asEstimate().barsBeats(12_345, RATE));
    assertEquals("about 96.0 BPM, an estimate", TempoEstimate.words(map.asEstimate()));
  }
}
