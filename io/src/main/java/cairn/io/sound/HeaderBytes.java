package cairn.io.sound;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;

/**
 * The numbers and names in a file's header, by position. Holds one small window of the file,
 * whatever the header says. Positions and counts must lie in the file: ask {@link #length} first.
 */
public final class HeaderBytes {

  private static final int WINDOW_BYTES = 4096;

  private final Path path;
  private final FileChannel channel;
  private final long length;
  private final ByteBuffer window;
  private long windowStart;

  HeaderBytes(Path path, FileChannel channel, ByteOrder order) throws IOException {
    this.path = path;
    this.channel = channel;
    this.length = channel.size();
    this.window = ByteBuffer.allocate(WINDOW_BYTES).order(order).limit(0);
  }

  /** The file, for messages. */
  public Path path() {
    return path;
  }

  /** Length of the file in bytes when it was opened. */
  public long length() {
    return length;
  }

  /** The byte at {@code position}, 0 to 255. */
  public int u8(long position) throws IOException {
    return window.get(indexOf(position, 1)) & 0xFF;
  }

  /** The two bytes from {@code position} on, 0 to 65535. */
  public int u16(long position) throws IOException {
    return window.getShort(indexOf(position, 2)) & 0xFFFF;
  }

  /** The four bytes from {@code position} on, 0 to 2^32 − 1. */
  public long u32(long position) throws IOException {
    return window.getInt(indexOf(position, 4)) & 0xFFFF_FFFFL;
  }

  /** The eight bytes from {@code position} on; negative from 2^63 on. */
  public long u64(long position) throws IOException {
    return window.getLong(indexOf(position, 8));
  }

  /** The four characters from {@code position} on, one a byte. */
  public String fourCc(long position) throws IOException {
    return text(position, 4);
  }

  /** The {@code bytes} characters from {@code position} on, one a byte, at most 4096. */
  public String text(long position, int bytes) throws IOException {
    int index = indexOf(position, bytes);
    return new String(window.array(), index, bytes, StandardCharsets.ISO_8859_1);
  }

  /** Where {@code position} is in the window, which afterwards holds {@code bytes} from there. */
  private int indexOf(long position, int bytes) throws IOException {
    if (position < 0 || bytes > WINDOW_BYTES || position > length - bytes) {
      throw new IndexOutOfBoundsException(
          "must lie in the file: position=" + position + ", bytes=" + bytes + ", length=" + length);
    }
    if (position < windowStart || position + bytes > windowStart + window.limit()) {
      window.clear();
      windowStart = position;
      while (window.hasRemaining()) {
        int got = channel.read(window, position + window.position());
        if (got <= 0) {
          break;
        }
      }
      window.flip();
      if (window.limit() < bytes) {
        throw new UnusableStem.Changed(path);
      }
    }
    return (int) (position - windowStart);
  }
}
