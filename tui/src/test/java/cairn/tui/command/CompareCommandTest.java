package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.wave.WaveLayout;
import cairn.tui.command.TestConsole.Outcome;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Tones of the carnival's sirens: what one sees of them is known beforehand. */
class CompareCommandTest {

  @TempDir Path temp;

  private Path wave(String name, int rate, int frames, IntToDoubleFunction x) throws IOException {
    double[][] block = new double[1][frames];
    for (int n = 0; n < frames; n++) {
      block[0][n] = x.applyAsDouble(n);
    }
    Path file = temp.resolve(name);
    Files.createDirectories(file.getParent());
    try (OutputStream out = Files.newOutputStream(file);
        LinearSoundWriter writer =
            WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, rate, 1, frames).writeTo(out)) {
      writer.write(block, 0, frames);
    }
    return file;
  }

  private static double tone(double hz, int rate, int n) {
    return Math.sin(2 * Math.PI * hz * n / rate);
  }

  private static JsonNode json(Outcome outcome) throws IOException {
    assertEquals(0, outcome.status(), outcome.err());
    return new ObjectMapper().readTree(outcome.out());
  }

  private String song(String folder) throws IOException {
    wave(folder + "/low.wav", 48_000, 4 * 48_000, n -> 0.1 * tone(100, 48_000, n));
    wave(folder + "/high.wav", 48_000, 4 * 48_000, n -> 0.1 * tone(1_000, 48_000, n));
    return temp.resolve(folder).toString();
  }

  /** The track has the low tone 6 dB higher against the high one, and another rate. */
  @Test
  void aReferenceOfAnotherRateIsMatchedInLoudness() throws IOException {
    String stems = song("stems");
    Path track =
        wave(
            "track.wav",
            44_100,
            4 * 44_100,
            n -> 0.4 * tone(100, 44_100, n) + 0.2 * tone(1_000, 44_100, n));
    JsonNode told =
        json(TestConsole.run("compare", stems, "--reference", track.toString(), "--json"));
    assertEquals("loudness", told.get("matchedBy").asText());
    double here = told.at("/here/integratedLufs").asDouble();
    double there = told.at("/there/integratedLufs").asDouble();
    double gain = told.get("gainDb").asDouble();
    assertEquals(here - there, gain, 0.0002);
    // 100 Hz is band 6: 0.1 here, 0.4 there; 1 kHz is band 16: 0.1 here, 0.2 there.
    assertEquals(-12.0412 - gain, told.at("/bands/6/differenceDb").asDouble(), 0.001);
    assertEquals(-6.0206 - gain, told.at("/bands/16/differenceDb").asDouble(), 0.001);
    Outcome text = TestConsole.run("compare", stems, "--reference", track.toString());
    // -6.02 and 9.4 dB of gain; at 100 Hz it is -12.04 and 9.4, less than 3 dB.
    assertTrue(text.out().contains("off by 3 dB and more: 1 kHz (3.4 dB more)"), text.out());
    assertTrue(text.out().contains("so that both have one loudness"), text.out());
    assertTrue(text.out().contains("the band of 20 kHz is cut at half of 44.1 kHz"), text.out());
  }

  /**
   * One spike 6 dB over a steady tone, and the same without it: at equal peak the second is as much
   * louder as its peak was brought down (common practice, no source).
   */
  @Test
  void twoSessionsAreComparedAtEqualPeak() throws IOException {
    wave("spiked/siren.wav", 48_000, 4 * 48_000, n -> 0.25 * tone(1_000, 48_000, n));
    wave("spiked/snap.wav", 48_000, 4 * 48_000, n -> n == 96_012 ? 0.25 : 0);
    wave("fixed/siren.wav", 48_000, 4 * 48_000, n -> 0.25 * tone(1_000, 48_000, n));
    wave("fixed/snap.wav", 48_000, 4 * 48_000, n -> n == 96_024 ? 0.25 : 0);
    String spiked = temp.resolve("spiked").toString();
    String fixed = temp.resolve("fixed").toString();
    JsonNode told = json(TestConsole.run("compare", spiked, fixed, "--json"));
    assertEquals("sample-peak", told.get("matchedBy").asText());
    // Sample 12 of the tone's 48 is its crest, 24 its zero crossing.
    assertEquals(20 * Math.log10(0.5), told.at("/here/peakDb").asDouble(), 0.001);
    assertEquals(20 * Math.log10(0.25), told.at("/there/peakDb").asDouble(), 0.001);
    assertEquals(6.0206, told.get("gainDb").asDouble(), 0.001);
    double won =
        told.at("/here/peakToLoudnessDb").asDouble()
            - told.at("/there/peakToLoudnessDb").asDouble();
    assertEquals(6.02, won, 0.01);
  }

  @Test
  void whatCannotBeComparedIsSaidPlainly() throws IOException {
    String stems = song("stems");
    Path bit = wave("bit.wav", 48_000, 4_800, n -> 0.1 * tone(1_000, 48_000, n));
    Path silent = wave("silent.wav", 48_000, 48_000, n -> 0);
    Path slow = wave("slow.wav", 4_000, 8_000, n -> 0.1 * tone(1_000, 4_000, n));
    fails(stems, bit, "'bit.wav' has no loudness to be matched by: loudness takes 400 ms");
    fails(stems, silent, "'silent.wav' is silent: there is nothing to compare");
    fails(stems, slow, "loudness is measured from 8 to 384 kHz, it has 4000 Hz");
    Outcome nothing = TestConsole.run("compare", stems);
    assertEquals(2, nothing.status());
    assertTrue(nothing.errLine().contains("--reference FILE, or a second folder"), nothing.err());
    Outcome both = TestConsole.run("compare", stems, stems, "--reference", bit.toString());
    assertEquals(2, both.status());
    assertTrue(both.errLine().contains("leave one out"), both.err());
  }

  private static void fails(String stems, Path track, String why) {
    Outcome outcome = TestConsole.run("compare", stems, "--reference", track.toString());
    assertEquals(1, outcome.status(), outcome.err());
    assertTrue(outcome.errLine().contains(why), outcome.err());
  }
}
