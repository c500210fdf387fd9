package cairn.tui.terminal;

import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;

/**
 * What a terminal sends, in parts: each is there at once. Before the next the line is silent: the
 * reader, and the decoder behind it, ask once each before the decoder waits, and find the rest when
 * it has waited. With {@link #LONG} in between they find nothing even then.
 */
final class TypedKeys extends InputStream {

  /** A silence longer than the decoder waits. */
  static final String LONG = "";

  private static final int ASKED_BEFORE_WAITING = 2;

  private final Deque<byte[]> parts = new ArrayDeque<>();
  private int at;
  private int silentAsks;

  TypedKeys(String... parts) {
    for (String part : parts) {
      this.parts.add(part.getBytes(StandardCharsets.UTF_8));
    }
  }

  private boolean isAtEndOfPart() {
    return !parts.isEmpty() && at == parts.peek().length;
  }

  @Override
  public int available() {
    if (isAtEndOfPart()) {
      parts.remove();
      at = 0;
      silentAsks = parts.isEmpty() ? 0 : ASKED_BEFORE_WAITING;
      if (!parts.isEmpty() && parts.peek().length == 0) {
        parts.remove();
        silentAsks++;
      }
    }
    if (silentAsks > 0) {
      silentAsks--;
      return 0;
    }
    return parts.isEmpty() ? 0 : parts.peek().length - at;
  }

  @Override
  public int read() {
    byte[] one = new byte[1];
    return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
  }

  @Override
  public int read(byte[] into, int from, int most) {
    while (isAtEndOfPart()) {
      parts.remove();
      at = 0;
    }
    silentAsks = 0;
    if (parts.isEmpty()) {
      return -1;
    }
    byte[] part = parts.peek();
    int count = Math.min(most, part.length - at);
    System.arraycopy(part, at, into, from, count);
    at += count;
    return count;
  }
}
