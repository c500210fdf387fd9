package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.signal.Sound;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AlignmentTest {

  private static final int PROBE = 1024;
  private static final int FRAMES = 40_000;
  private static final List<Long> PROBES = List.of(3_000L, 15_000L, 26_000L);

  private static double[] shifted(double[] x, int lag, double gain, int frames) {
    return Sounds.channel(
        frames, n -> n - lag >= 0 && n - lag < x.length ? gain * x[n - lag] : 0.0);
  }

  private static Optional<Alignment> find(Sound reference, Sound other) throws IOException {
    return Alignment.find(reference, other, PROBES, PROBE);
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, -1, 37, -2_900, 4_096, 31_000, -25_000})
  void theOffsetIsFoundToTheFrame(int lag) throws IOException {
    double[] left = Sounds.white(1, FRAMES);
    double[] right = Sounds.white(2, FRAMES);
    int frames = FRAMES + 31_000;
    Alignment found =
        find(
                Sounds.of(left, right),
                Sounds.of(shifted(left, lag, -0.3, frames), shifted(right, lag, -0.3, frames)))
            .orElseThrow();
    assertEquals(lag, found.lagFrames());
    // A probe that hangs over an end is compared with silence there.
    assertTrue(found.correlation() < -0.99, found.toString());
    assertEquals(-1, found.polarity());
  }

  @Test
  void channelsOfOppositePolarityDoNotCancelEachOther() throws IOException {
    double[] left = Sounds.white(1, FRAMES);
    double[] right = Sounds.channel(FRAMES, n -> -left[n]);
    Alignment found =
        find(
                Sounds.of(left, right),
                Sounds.of(shifted(left, 500, 1, FRAMES), shifted(right, 500, 1, FRAMES)))
            .orElseThrow();
    assertEquals(500, found.lagFrames());
    assertEquals(1, found.correlation(), 1e-9);
  }

  @Test
  void aPartOfTheSongIsPlacedAsWell() throws IOException {
    double[] x = Sounds.white(1, FRAMES);
    double[] part = Arrays.copyOfRange(x, 14_000, 20_000);
    Alignment found = find(Sounds.of(x, x), Sounds.of(part, part)).orElseThrow();
    assertEquals(-14_000, found.lagFrames());
    assertEquals(1, found.correlation(), 1e-9);
  }

  /** A loop of 5000 frames fits at every turn; the one place that differs tells which. */
  @Test
  void musicThatRepeatsIsToldApartByWhatDoesNot() throws IOException {
    double[] loop = Sounds.white(1, 5_000);
    double[] voice = Sounds.white(2, 1_500);
    double[] x =
        Sounds.channel(
            FRAMES, n -> loop[n % 5_000] + (n >= 15_000 && n < 16_500 ? 2 * voice[n - 15_000] : 0));
    double[] later = shifted(x, 7_300, 1, FRAMES + 10_000);
    Alignment found = find(Sounds.of(x, x), Sounds.of(later, later)).orElseThrow();
    assertEquals(7_300, found.lagFrames());
  }

  @Test
  void anotherSongIsNotTaken() throws IOException {
    double[] x = Sounds.white(1, FRAMES);
    double[] y = Sounds.white(9, FRAMES);
    Alignment found = find(Sounds.of(x, x), Sounds.of(y, y)).orElseThrow();
    assertFalse(found.isSameSong(), found.toString());
  }

  @Test
  void silenceHasNoPlace() throws IOException {
    double[] x = Sounds.white(1, FRAMES);
    double[] silence = new double[FRAMES];
    assertTrue(find(Sounds.of(x, x), Sounds.of(silence, silence)).isEmpty());
    assertTrue(find(Sounds.of(silence, silence), Sounds.of(x, x)).isEmpty());
  }

  @Test
  void probesStandWhereEachPartIsLoudest() {
    double[] powers = new double[80];
    Arrays.fill(powers, 1);
    List<Long> expected = new ArrayList<>();
    for (int part = 0; part < 8; part++) {
      powers[10 * part + part] = 10 + part;
      expected.add(0, (10L * part + part) * 100);
    }
    assertEquals(expected, Alignment.probes(powers, 100, 100, 8));
    assertEquals(List.of(), Alignment.probes(new double[80], 100, 100, 8));
    assertEquals(List.of(0L), Alignment.probes(new double[] {1}, 100, 1_024, 8));
  }
}
