package cairn.collisions.spectrum;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.params.provider.Arguments.arguments;

import java.util.Arrays;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

class MomentBandsTest {

  static Stream<Arguments> tones() {
    return Stream.of(
        arguments(48_000, 200.0, "200 Hz"),
        arguments(48_000, 1_000.0, "1 kHz"),
        arguments(44_100, 3_150.0, "3.15 kHz"),
        arguments(8_000, 1_600.0, "1.6 kHz"),
        arguments(192_000, 10_000.0, "10 kHz"));
  }

  /** Mid-band tones; the band gets the main lobe, 100 Hz wide, or most of it. */
  @ParameterizedTest
  @MethodSource("tones")
  void aToneSitsInItsBand(int rate, double hz, String band) {
    int frames = 2 * MomentBands.reachFrames(rate);
    double[] x = Sounds.channel(frames, n -> 0.5 * Math.sin(2 * Math.PI * hz * n / rate));
    double[] powers = MomentBands.powers(new double[][] {x, x}, rate);
    assertEquals(band, ThirdOctaves.name(MomentBands.strongest(powers)));
    // A²/2 in all; what lies outside of all bands is nothing here.
    assertEquals(0.125, Arrays.stream(powers).sum(), 0.002);
  }

  @Test
  void silenceSitsNowhere() {
    double[] powers = MomentBands.powers(new double[2][1_920], 48_000);
    assertEquals(-1, MomentBands.strongest(powers));
  }
}
