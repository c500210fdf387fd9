package cairn.io.sound;

import cairn.io.files.SafeText;
import java.io.IOException;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/**
 * Finds the chunks of a RIFF or IFF file: a name of four characters, a size of 32 bits, as many
 * bytes, and one more byte if that is odd. Works within a fixed number of steps and a fixed memory,
 * whatever the sizes say. What it mends, it adds to a list of lines as in {@link SoundFile#mended}.
 *
 * <p>The chunk of the sound may have the size 0 or an unknown one (a recording that was cut off, or
 * written to a pipe): it then reaches to the end of the file. But if whole chunks up to the end of
 * the file follow on a size of 0, the file has no sound. If as much as 2^32 bytes follow on the
 * sound, which the sizes of such a file cannot express, its size was cut to 32 bits, and is made
 * whole.
 */
public final class ChunkWalk {

  /** What a {@link SizeRule} gives for a size that the file does not tell. */
  public static final long UNKNOWN = -1;

  /** More chunks than any sound file has; a bound on the work that a hostile one can cause. */
  private static final int MOST_CHUNKS = 10_000;

  private static final int HEADER_BYTES = 8;

  /** What a size of 32 bits counts up to before it starts again. */
  private static final long WRAP_BYTES = 1L << 32;

  private final HeaderBytes header;
  private final String soundId;
  private final SizeRule sizes;
  private final List<String> mended;

  private ChunkWalk(HeaderBytes header, String soundId, SizeRule sizes, List<String> mended) {
    this.header = header;
    this.soundId = soundId;
    this.sizes = sizes;
    this.mended = mended;
  }

  /**
   * A chunk.
   *
   * @param firstByte position of its first byte after the size
   * @param bytes how many of its bytes the file holds
   */
  public record Chunk(long firstByte, long bytes) {}

  /** What a chunk's size field means. */
  @FunctionalInterface
  public interface SizeRule {
    /** The size in bytes, or {@link #UNKNOWN}, of a chunk whose field says {@code field}. */
    long bytes(String id, long field);
  }

  /**
   * The first chunk of each name in {@code wanted}, with as many bytes as the file holds.
   *
   * @param from position of the first chunk
   * @param soundId the name of the chunk that holds the samples, one of {@code wanted}
   * @param mended gets a line for each thing that was wrong and could be mended
   */
  public static Map<String, Chunk> find(
      HeaderBytes header,
      long from,
      String soundId,
      Set<String> wanted,
      SizeRule sizes,
      List<String> mended)
      throws IOException {
    return new ChunkWalk(header, soundId, sizes, mended).find(from, wanted);
  }

  private Map<String, Chunk> find(long from, Set<String> wanted) throws IOException {
    Map<String, Chunk> found = new HashMap<>();
    long position = from;
    String lastId = "";
    for (int count = 0; isHeader(position); count++) {
      if (count == MOST_CHUNKS) {
        mended.add("more than " + MOST_CHUNKS + " chunks: the rest is passed over");
        return found;
      }
      String id = header.fourCc(position);
      long first = position + HEADER_BYTES;
      boolean sound = id.equals(soundId) && !found.containsKey(id);
      long told = sizes.bytes(id, header.u32(position + 4));
      long bytes = bytesHeld(id, first, told, sound);
      if (wanted.contains(id) && found.putIfAbsent(id, new Chunk(first, bytes)) != null) {
        mended.add("second '" + id + "' chunk: passed over");
      }
      position = first + bytes;
      lastId = id;
      if ((bytes & 1) == 1 && bytes == told) {
        position = afterPad(position, id);
      }
    }
    long rest = header.length() - position;
    if (rest > 0) {
      mended.add(
          (rest == 1 ? "1 byte that is" : rest + " bytes that are")
              + " no chunk after '"
              + SafeText.of(lastId)
              + "': passed over");
    }
    return found;
  }

  /** How many bytes the chunk has in truth; {@code sound}: it is the first one of the sound. */
  private long bytesHeld(String id, long first, long bytes, boolean sound) throws IOException {
    long held = header.length() - first;
    if (sound && (bytes == UNKNOWN || (bytes == 0 && held > 0 && !chunksToTheEnd(first)))) {
      mended.add(
          "'" + id + "' chunk does not tell its size: the " + held + " bytes to the end are read");
      return held;
    }
    if (sound && bytes > 0 && held - bytes >= WRAP_BYTES) {
      long unwrapped = held - (held - bytes) % WRAP_BYTES;
      mended.add(
          String.format(
              Locale.ROOT,
              "'%s' chunk says %d bytes, cut to 32 bits: %d are read",
              id,
              bytes,
              unwrapped));
      return unwrapped;
    }
    if (bytes < 0 || bytes > held) {
      mended.add(
          String.format(
              Locale.ROOT,
              "'%s' chunk says %s bytes, the file holds %d: %s",
              SafeText.of(id),
              bytes == UNKNOWN ? "unknown" : Long.toUnsignedString(bytes),
              held,
              sound ? "what is there is read" : "passed over"));
      return held;
    }
    return bytes;
  }

  /** The position after the pad byte at {@code position}, where there is one. */
  private long afterPad(long position, String id) throws IOException {
    boolean missing =
        position == header.length()
            || (header.u8(position) != 0 && fits(position) && !fits(position + 1));
    if (missing) {
      mended.add("no pad byte after '" + SafeText.of(id) + "' chunk of odd size");
    }
    return missing ? position : position + 1;
  }

  private boolean chunksToTheEnd(long from) throws IOException {
    long position = from;
    for (int count = 0; count < MOST_CHUNKS && fits(position); count++) {
      long bytes = header.u32(position + 4);
      position = Math.min(header.length(), position + HEADER_BYTES + bytes + (bytes & 1));
    }
    return position == header.length();
  }

  /** Whether a whole chunk, its pad byte left aside, starts at {@code position}. */
  private boolean fits(long position) throws IOException {
    return isHeader(position)
        && header.u32(position + 4) <= header.length() - position - HEADER_BYTES;
  }

  private boolean isHeader(long position) throws IOException {
    if (header.length() - position < HEADER_BYTES) {
      return false;
    }
    String id = header.fourCc(position);
    return id.chars().allMatch(c -> c >= ' ' && c <= '~');
  }
}
