package cairn.io.wave;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;

/**
 * The chunks that hold cue points: {@code cue } and {@code LIST adtl}; grammar with the package.
 * Points are numbered from 1 in their order.
 */
public final class CueChunks {

  /** The last frame that a 32-bit position can name. */
  public static final long LAST_FRAME = 0xFFFF_FFFFL;

  private CueChunks() {}

  /**
   * A cue point.
   *
   * @param frame where it stands, 0 to {@link #LAST_FRAME}
   * @param label its name
   * @param note a longer text
   * @param regionFrames length of the region that begins at it; 0: it is a point
   */
  public record Point(long frame, String label, Optional<String> note, long regionFrames) {
    public Point {
      if (frame < 0 || frame > LAST_FRAME || regionFrames < 0 || regionFrames > LAST_FRAME) {
        throw new IllegalArgumentException(
            "frames must fit 32 bits: frame=" + frame + ", regionFrames=" + regionFrames);
      }
    }
  }

  /** Both chunks, one after the other, padded: what follows on the data of a file. */
  public static byte[] of(List<Point> points) {
    ByteBuffer cue = ByteBuffer.allocate(12 + 24 * points.size()).order(ByteOrder.LITTLE_ENDIAN);
    cue.put(ascii(WaveNames.CUE)).putInt(4 + 24 * points.size()).putInt(points.size());
    // All labels first: there are readers that stop at the first chunk that is none.
    ByteArrayOutputStream texts = new ByteArrayOutputStream();
    texts.writeBytes(ascii(WaveNames.ASSOCIATED));
    ByteArrayOutputStream more = new ByteArrayOutputStream();
    for (int i = 0; i < points.size(); i++) {
      Point point = points.get(i);
      int id = i + 1;
      // For uncompressed data position and offset are the same, both starts 0.
      cue.putInt(id).putInt((int) point.frame()).put(ascii(WaveNames.DATA));
      cue.putInt(0).putInt(0).putInt((int) point.frame());
      putText(texts, WaveNames.LABEL, id, point.label());
      point.note().ifPresent(note -> putText(more, WaveNames.NOTE, id, note));
      if (point.regionFrames() > 0) {
        ByteBuffer region = ByteBuffer.allocate(20).order(ByteOrder.LITTLE_ENDIAN);
        region.putInt(id).putInt((int) point.regionFrames()).put(ascii(WaveNames.REGION));
        putChunk(more, WaveNames.LABELLED_TEXT, region.array());
      }
    }
    texts.writeBytes(more.toByteArray());
    ByteArrayOutputStream both = new ByteArrayOutputStream();
    both.writeBytes(cue.array());
    putChunk(both, WaveNames.LIST, texts.toByteArray());
    return both.toByteArray();
  }

  private static void putText(ByteArrayOutputStream to, String name, int id, String text) {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    ByteBuffer chunk = ByteBuffer.allocate(4 + bytes.length + 1).order(ByteOrder.LITTLE_ENDIAN);
    putChunk(to, name, chunk.putInt(id).put(bytes).array());
  }

  private static void putChunk(ByteArrayOutputStream to, String name, byte[] bytes) {
    to.writeBytes(ascii(name));
    to.writeBytes(
        ByteBuffer.allocate(4).order(ByteOrder.LITTLE_ENDIAN).putInt(bytes.length).array());
    to.writeBytes(bytes);
    if ((bytes.length & 1) == 1) {
      to.write(0);
    }
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
