package cairn.io.stems;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** Writes small WAVE files (16 bit; EBU Tech 3285 for {@code bext}), byte by byte. */
final class Waves {

  /** No {@code bext} chunk. */
  static final long NO_TIME = -1;

  private Waves() {}

  static Path mono(Path path, int rateHz, int frames) throws IOException {
    return write(path, rateHz, 1, frames, NO_TIME);
  }

  static Path stereo(Path path, int rateHz, int frames) throws IOException {
    return write(path, rateHz, 2, frames, NO_TIME);
  }

  static Path write(Path path, int rateHz, int channels, int frames, long timeReference)
      throws IOException {
    Files.createDirectories(path.getParent());
    return Files.write(path, bytes(rateHz, channels, frames, timeReference));
  }

  /** Sample n of channel c is n + 1000 c, of 32768. */
  static byte[] bytes(int rateHz, int channels, int frames, long timeReference) {
    int dataBytes = 2 * channels * frames;
    int bextBytes = timeReference == NO_TIME ? 0 : 8 + 602;
    ByteBuffer out = ByteBuffer.allocate(44 + bextBytes + dataBytes).order(ByteOrder.LITTLE_ENDIAN);
    out.put(ascii("RIFF")).putInt(36 + bextBytes + dataBytes).put(ascii("WAVE"));
    if (bextBytes > 0) {
      int at = out.position();
      out.put(ascii("bext")).putInt(602);
      out.putLong(at + 8 + 338, timeReference);
      out.position(at + bextBytes);
    }
    out.put(ascii("fmt ")).putInt(16).putShort((short) 1).putShort((short) channels);
    out.putInt(rateHz).putInt(rateHz * channels * 2).putShort((short) (2 * channels));
    out.putShort((short) 16).put(ascii("data")).putInt(dataBytes);
    for (int frame = 0; frame < frames; frame++) {
      for (int c = 0; c < channels; c++) {
        out.putShort((short) (frame + 1000 * c));
      }
    }
    return out.array();
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
