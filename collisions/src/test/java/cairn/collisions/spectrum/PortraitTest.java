package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.signal.Sound;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

class PortraitTest {

  private static Sound tone(int rate, double hz, double amplitude, int frames) {
    double[] x = Sounds.channel(frames, n -> amplitude * Math.sin(2 * Math.PI * hz * n / rate));
    return Sounds.of(x, x);
  }

  /** ITU-R BS.1770-5: 997 Hz at 0 dBFS in one channel reads -3.01 LKFS; in both, 0.00. */
  @Test
  void aToneHasThePeakLoudnessAndBandThatItIsMadeOf() throws IOException {
    Portrait portrait = Portrait.of(tone(48_000, 997, 0.1, 4 * 48_000), 48_000);
    assertEquals(-20, portrait.peakDb(), 0.001);
    assertEquals(-20, portrait.integratedLufs().orElseThrow(), 0.02);
    assertEquals(0, portrait.peakToLoudnessDb().orElseThrow(), 0.02);
    assertEquals(-23.01, portrait.bandDb(16), 0.01);
  }

  @Test
  void shortAndSilentSoundsHaveNoLoudness() throws IOException {
    assertTrue(Portrait.of(tone(48_000, 997, 0.1, 9_600), 48_000).integratedLufs().isEmpty());
    Portrait silent = Portrait.of(tone(48_000, 997, 0, 96_000), 48_000);
    assertTrue(silent.integratedLufs().isEmpty());
    assertEquals(Double.NEGATIVE_INFINITY, silent.peakDb());
    // 4 kHz is below all rates that loudness is defined for here.
    assertTrue(Portrait.of(tone(4_000, 997, 0.1, 40_000), 4_000).integratedLufs().isEmpty());
  }

  /** The end, after the last whole window, counts for peak and loudness. */
  @Test
  void thePeakAtTheVeryEndIsSeen() throws IOException {
    double[] x = Sounds.channel(100_000, n -> 0.1 * Math.sin(n * 0.1));
    x[99_999] = 0.9;
    assertEquals(20 * Math.log10(0.9), Portrait.of(Sounds.of(x, x), 48_000).peakDb(), 1e-12);
  }

  @Test
  void soundsOfTwoRatesCanBeComparedAtEqualLoudness() throws IOException {
    Portrait here = Portrait.of(tone(48_000, 1_000, 0.2, 4 * 48_000), 48_000);
    Portrait there = Portrait.of(tone(44_100, 1_000, 0.5, 4 * 44_100), 44_100);
    double gainDb = there.gainToLoudnessOf(here).orElseThrow();
    assertEquals(20 * Math.log10(0.2 / 0.5), gainDb, 0.02);
    Difference difference = Difference.of(here, there, gainDb);
    assertEquals(30, difference.bands().size());
    assertEquals(0, difference.bands().get(16).db(), 0.02);
    assertEquals(List.of(), difference.named());
  }

  /** White noise against the same with one band's tone added: that band alone is off. */
  @Test
  void theBandThatIsOffIsNamed() throws IOException {
    int frames = 1 << 19;
    double[] noise = Sounds.white(3, frames);
    double[] more =
        Sounds.channel(frames, n -> noise[n] + 0.1 * Math.sin(2 * Math.PI * 1_995.26 * n / 48_000));
    Portrait here = Portrait.of(Sounds.of(more, more), 48_000);
    Portrait there = Portrait.of(Sounds.of(noise, noise), 48_000);
    Difference difference = Difference.of(here, there, 0);
    // Band 19: 0.01 · 460.44/24000 of noise and 0.005 of the tone.
    double expected = 10 * Math.log10(1 + 0.005 / (0.01 * 460.44 / 24_000));
    assertEquals(1, difference.named().size());
    assertEquals(19, difference.named().get(0).band());
    assertEquals(expected, difference.named().get(0).db(), 0.3);
  }
}
