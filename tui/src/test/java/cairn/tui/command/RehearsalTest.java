package cairn.tui.command;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The walk that the launcher rehearses, over the two stems that it makes for it. */
class RehearsalTest {

  private static final int RATE_HZ = 48_000;
  private static final int HIT_FRAMES = 1_000;
  private static final short LEVEL = 0x1010;

  /** One second in 16 bits, with hits of 20 ms from some frames on. */
  private static void stem(Path file, int... hits) throws IOException {
    ByteBuffer wave = ByteBuffer.allocate(44 + 2 * RATE_HZ).order(ByteOrder.LITTLE_ENDIAN);
    wave.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(36 + 2 * RATE_HZ);
    wave.put("WAVEfmt ".getBytes(StandardCharsets.US_ASCII)).putInt(16);
    wave.putShort((short) 1).putShort((short) 1).putInt(RATE_HZ).putInt(2 * RATE_HZ);
    wave.putShort((short) 2).putShort((short) 16);
    wave.put("data".getBytes(StandardCharsets.US_ASCII)).putInt(2 * RATE_HZ);
    for (int hit : hits) {
      for (int i = 0; i < HIT_FRAMES; i++) {
        wave.putShort(44 + 2 * (hit + i), LEVEL);
      }
    }
    Files.write(file, wave.array());
  }

  @Test
  void itLooksIntoTwoMomentsSavesWhereItStandsAndLeaves(@TempDir Path folder) throws Exception {
    stem(folder.resolve("020.wav"), 0, RATE_HZ / 2);
    stem(folder.resolve("000.wav"), 0);
    Console nobody =
        new Console(
            new StringWriter(), new PrintWriter(new StringWriter()), OptionalInt.empty(), false);
    assertTrue(Rehearsal.walk(nobody, folder.toString()));
    String session = Files.readString(folder.resolve("cairn-session.json"));
    assertTrue(session.contains("\"moment\": " + RATE_HZ / 2), session);
  }
}
