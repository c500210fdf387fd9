package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/**
 * The example files of RFC 9639, appendix D, and three small ones made with the reference encoder
 * 1.4.2, with the samples that they hold.
 */
class FlacVectorsTest {

  @TempDir Path folder;

  static List<JsonNode> vectors() throws IOException {
    try (InputStream in =
        FlacVectorsTest.class.getResourceAsStream("/standards/flac-vectors.json")) {
      List<JsonNode> vectors = new ArrayList<>();
      new ObjectMapper().readTree(in).get("vectors").forEach(vectors::add);
      return vectors;
    }
  }

  static byte[] bytes(JsonNode vector) {
    return HexFormat.ofDelimiter(" ").parseHex(vector.get("hex").asText());
  }

  static int[][] samples(JsonNode vector) {
    int[][] sound = new int[vector.get("channels").asInt()][vector.get("frames").asInt()];
    for (int i = 0; i < sound[0].length; i++) {
      for (int c = 0; c < sound.length; c++) {
        sound[c][i] = vector.get("samplesInterleaved").get(i * sound.length + c).asInt();
      }
    }
    return sound;
  }

  @Test
  void thereAreSixOfThem() throws IOException {
    assertEquals(6, vectors().size());
  }

  @TestFactory
  Stream<DynamicTest> eachVectorGivesItsSamples() throws IOException {
    return vectors().stream()
        .map(vector -> DynamicTest.dynamicTest(vector.get("id").asText(), () -> check(vector)));
  }

  private void check(JsonNode vector) throws IOException {
    Path path = Sounds.put(folder.resolve(vector.get("id").asText() + ".flac"), bytes(vector));
    assertTrue(FlacFile.matches(path));
    assertTrue(FlacFile.matches(bytes(vector)));
    try (FlacFile file = FlacFile.open(path)) {
      assertEquals(vector.get("sampleRate").asInt(), file.format().sampleRateHz());
      assertEquals(vector.get("channels").asInt(), file.format().channels());
      assertEquals(vector.get("bits").asInt(), file.format().bits());
      assertEquals(vector.get("frames").asInt(), file.format().frames());
      assertEquals(vector.get("md5").asText(), file.info().md5());
      assertEquals("FLAC " + vector.get("bits").asInt(), file.format().coding());
      assertEquals(List.of(), file.mended());
      assertTrue(file.verifyMd5());
      Sounds.assertSame(samples(vector), Sounds.readAll(file, 5), vector.get("id").asText());
    }
  }
}
