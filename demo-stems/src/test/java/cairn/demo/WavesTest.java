package cairn.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class WavesTest {

  @Test
  void theSineIsThatOfTheMathLibraryWithinOneInTenToTheSeventh() {
    for (int i = -5000; i <= 5000; i++) {
      double turns = i * 0.000737;
      assertEquals(Math.sin(2 * Math.PI * turns), Waves.sine(turns), 1e-7);
    }
  }

  @Test
  void aNoteTwelveStepsUpIsAnOctaveUp() {
    // equal temperament on 440 Hz: ISO 16
    assertEquals(440, Waves.hertz(69), 0);
    assertEquals(880, Waves.hertz(81), 1e-9);
  }

  @Test
  void diceWithoutANameFollowTheirPublishedSequence() {
    // first two outputs of SplitMix64 for the seed 1234567, a widely printed test vector, from
    // memory
    Dice dice = new Dice(1_234_567, "");
    assertEquals((6_457_827_717_110_365_317L >>> 11) * 0x1p-53, dice.unit(), 0);
    assertEquals((3_203_168_211_198_807_973L >>> 11) * 0x1p-53, dice.unit(), 0);
  }
}
