package cairn.io.stems;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StemProbeTest {

  /** Six little-endian samples 0, 1/2, −1/2, 32767/32768 …: AIFF-C draft (26 Aug 1991). */
  private static final String AIFC_SOWT =
      "464F524D0000004C414946434656455200000004A2805140434F4D4D000000180001000000060010"
          + "400EBB80000000000000736F7774000053534E440000001400000000000000000000004000C0FF7F"
          + "00800100";

  @TempDir Path folder;

  private static byte[] firstFlacVector() throws IOException {
    try (InputStream in = StemProbeTest.class.getResourceAsStream("/standards/flac-vectors.json")) {
      JsonNode vector = new ObjectMapper().readTree(in).get("vectors").get(0);
      assertEquals("rfc9639-D.1", vector.get("id").asText());
      return HexFormat.of().parseHex(vector.get("hex").asText().replace(" ", ""));
    }
  }

  @Test
  void eachFormatIsToldByItsFirstBytesWhateverTheNameSays() throws IOException {
    byte[] aifc = HexFormat.of().parseHex(AIFC_SOWT);
    for (String name : List.of("kick", "kick.wav", "kick.aif", "kick.flac", "kick.mp3")) {
      Path path = folder.resolve(name);
      Files.write(path, Waves.bytes(48_000, 1, 6, Waves.NO_TIME));
      assertHolds(path, Container.WAVE, 6, 3 / 32768.0);
      Files.write(path, aifc);
      assertHolds(path, Container.AIFC, 6, 32767 / 32768.0);
      Files.write(path, firstFlacVector());
      assertHolds(path, Container.FLAC, 1, 0);
    }
  }

  private static void assertHolds(Path path, Container container, int frames, double fourth)
      throws IOException {
    try (SoundFile file = StemProbe.open(path);
        SoundReader reader = file.openReader()) {
      assertEquals(container, file.format().container(), path.toString());
      assertEquals(frames, file.format().frames());
      double[][] block = new double[2][6];
      reader.read(0, frames, block, 0);
      assertEquals(fourth, block[0][3]);
    }
  }

  @Test
  void aFlacFileBehindAForeignTagIsFlac() throws IOException {
    byte[] tag = new byte[10 + 200];
    System.arraycopy("ID3\4".getBytes(StandardCharsets.US_ASCII), 0, tag, 0, 4);
    tag[8] = 1; // 200 = 1 · 128 + 72, seven bits a byte
    tag[9] = 72;
    byte[] flac = firstFlacVector();
    byte[] both = new byte[tag.length + flac.length];
    System.arraycopy(tag, 0, both, 0, tag.length);
    System.arraycopy(flac, 0, both, tag.length, flac.length);
    try (SoundFile file = StemProbe.open(Files.write(folder.resolve("kick.flac"), both))) {
      assertEquals(Container.FLAC, file.format().container());
    }
    Files.write(folder.resolve("rough.mp3"), tag);
    assertEquals(
        "'rough.mp3' is a compressed file (MP3); export it as WAVE, AIFF or FLAC",
        assertThrows(UnusableStem.NotSound.class, () -> StemProbe.open(folder.resolve("rough.mp3")))
            .getMessage());
  }

  @Test
  void filesCutShortAnywhereInTheirFirstBytesAreRefusedInOneLine() throws IOException {
    List<byte[]> wholes =
        List.of(
            Waves.bytes(48_000, 1, 6, Waves.NO_TIME),
            HexFormat.of().parseHex(AIFC_SOWT),
            firstFlacVector(),
            "ID3\4\0\0\0\0\0\0".getBytes(StandardCharsets.US_ASCII));
    Path path = folder.resolve("kick.wav");
    for (byte[] whole : wholes) {
      for (int length = 0; length < Math.min(40, whole.length); length++) {
        Files.write(path, Arrays.copyOf(whole, length));
        UnusableStem thrown =
            assertThrows(
                UnusableStem.class, () -> StemProbe.open(path).close(), "length " + length);
        assertTrue(thrown.getMessage().startsWith("'kick.wav' "), thrown.getMessage());
        assertFalse(thrown.getMessage().contains("\n"), thrown.getMessage());
      }
    }
  }

  @Test
  void aFolderIsNoSoundFileAndAMissingOneIsTold() {
    assertEquals(
        "'" + folder.getFileName() + "' is a folder, not a sound file; name a file",
        assertThrows(UnusableStem.NotSound.class, () -> StemProbe.open(folder)).getMessage());
    Path missing = folder.resolve("kick.wav");
    assertEquals(
        "'" + missing + "' does not exist; name a folder of stems, or the stems",
        assertThrows(UnusableFolder.NotThere.class, () -> StemProbe.open(missing)).getMessage());
  }

  @Test
  void theReasonToSkipNeedsNoReadableFile() {
    assertEquals("cannot be read", StemProbe.reasonToSkip(folder.resolve("not there.mp3")));
  }
}
