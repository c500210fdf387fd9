package cairn.io.sound;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.aiff.AiffFile;
import cairn.io.sound.SoundFormat.Kind;
import cairn.io.wave.WaveFile;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The hand-made files of {@code standards/container-vectors.json}; sources beside them. */
public class ContainerVectorsTest {

  @TempDir Path folder;

  /** One of the files. */
  public record Vector(String id, String hex, JsonNode expect, boolean damaged) {
    /** The file. */
    public byte[] bytes() {
      return HexFormat.ofDelimiter(" ").parseHex(hex);
    }

    @Override
    public String toString() {
      return id;
    }
  }

  /** All files. */
  public static List<Vector> vectors() throws IOException {
    try (InputStream in =
        ContainerVectorsTest.class.getResourceAsStream("/standards/container-vectors.json")) {
      List<Vector> vectors = new ArrayList<>();
      for (JsonNode node : new ObjectMapper().readTree(in).get("vectors")) {
        vectors.add(
            new Vector(
                node.get("id").asText(),
                node.get("hex").asText(),
                node.get("expect"),
                node.path("damaged").asBoolean()));
      }
      return vectors;
    }
  }

  /** Opens a file by what its first bytes say. */
  public static LinearSoundFile open(Path file) throws IOException {
    byte[] head;
    try (InputStream in = Files.newInputStream(file)) {
      head = in.readNBytes(12);
    }
    return AiffFile.matches(head) ? AiffFile.open(file) : WaveFile.open(file);
  }

  @Test
  void thereAreAllTwentyFour() throws IOException {
    assertEquals(24, vectors().size());
  }

  @ParameterizedTest
  @MethodSource("vectors")
  void aHandMadeFileGivesItsFormatAndSamples(Vector vector) throws IOException {
    Path path = Files.write(folder.resolve("stem"), vector.bytes());
    JsonNode expect = vector.expect();
    try (LinearSoundFile file = open(path)) {
      SoundFormat format = file.format();
      assertEquals(expect.get("sampleRate").asInt(), format.sampleRateHz());
      assertEquals(expect.get("channels").asInt(), format.channels());
      assertEquals(expect.get("bits").asInt(), format.bits());
      assertEquals(expect.get("frames").asLong(), format.frames());
      boolean isFloat = expect.get("encoding").asText().contains("float");
      assertEquals(isFloat ? Kind.FLOAT : Kind.INTEGER, format.kind());
      assertArrayEquals(samples(expect), Samples.of(file));
      assertEquals(vector.damaged(), !file.mended().isEmpty(), () -> "mended: " + file.mended());
      if (expect.has("bext")) {
        BroadcastInfo info = file.broadcast().orElseThrow();
        assertEquals(expect.get("bext").get("description").asText(), info.description());
        assertEquals(expect.get("bext").get("timeReference").asLong(), info.timeReference());
      } else {
        assertTrue(file.broadcast().isEmpty());
      }
    }
  }

  private static double[][] samples(JsonNode expect) {
    int channels = expect.get("channels").asInt();
    int frames = expect.get("frames").asInt();
    double fullScale = Math.scalb(1.0, expect.get("bits").asInt() - 1);
    double[][] samples = new double[channels][frames];
    for (int i = 0; i < frames; i++) {
      for (int c = 0; c < channels; c++) {
        int index = i * channels + c;
        samples[c][i] =
            expect.has("samplesInt")
                ? expect.get("samplesInt").get(index).asLong() / fullScale
                : expect.get("samplesFloat").get(index).asDouble();
      }
    }
    return samples;
  }
}
