package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.charset.StandardCharsets;
import java.util.Random;
import org.junit.jupiter.api.Test;

class CrcTest {

  /** The customary check text, with the values of CRC-8/SMBUS and CRC-16/UMTS (from memory). */
  @Test
  void theCheckTextGivesTheKnownValues() {
    byte[] text = "123456789".getBytes(StandardCharsets.US_ASCII);
    assertEquals(0xF4, Crc.crc8(text, 0, text.length));
    assertEquals(0xFEE8, Crc.crc16(text, 0, text.length));
  }

  /** RFC 9639, 9.3: polynomial x^16 + x^15 + x^2 + 1, from 0, highest bit first, bit by bit. */
  @Test
  void eightBytesAStepGiveTheSameAsBitByBit() {
    Random random = new Random(7);
    byte[] bytes = new byte[100];
    random.nextBytes(bytes);
    for (int from = 0; from < 9; from++) {
      for (int to = from; to < bytes.length; to++) {
        int crc = 0;
        for (int bit = from * 8; bit < to * 8; bit++) {
          int next = bytes[bit / 8] >> (7 - bit % 8) & 1;
          int out = (crc >> 15 & 1) ^ next;
          crc = (crc << 1 & 0xFFFF) ^ (out == 1 ? 0x8005 : 0);
        }
        assertEquals(crc, Crc.crc16(bytes, from, to), "from " + from + " to " + to);
      }
    }
  }
}
