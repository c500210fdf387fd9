package cairn.io.wave;

import cairn.io.sound.ChunkWalk;
import cairn.io.sound.HeaderBytes;
import java.io.IOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The sizes of 64 bits in a {@code ds64} chunk; EBU Tech 3306 v1.1, ITU-R BS.2088-1. */
final class WideSizes {

  /** What a file without such a chunk has. */
  static final WideSizes NONE = new WideSizes(Map.of());

  /** More entries than a file can have chunks worth naming; a bound on memory. */
  private static final int MOST_ENTRIES = 1000;

  private static final int TABLE_AT = 28;
  private static final int ENTRY_BYTES = 12;

  private final Map<String, Long> bytesById;

  private WideSizes(Map<String, Long> bytesById) {
    this.bytesById = bytesById;
  }

  /** Reads the chunk whose header is at {@code position}; none there is worth a line. */
  static WideSizes read(HeaderBytes header, long position, List<String> mended) throws IOException {
    long first = position + 8;
    boolean whole =
        header.length() - first >= TABLE_AT
            && header.fourCc(position).equals(WaveNames.WIDE_SIZES)
            && header.u32(position + 4) >= TABLE_AT;
    if (!whole) {
      mended.add("no whole 'ds64' chunk where the file begins: sizes of 32 bits are used");
      return NONE;
    }
    Map<String, Long> bytesById = new HashMap<>();
    bytesById.put(WaveNames.DATA, header.u64(first + 8));
    long held = Math.min(header.u32(position + 4), header.length() - first);
    long entries =
        Math.min(header.u32(first + 24), Math.min(MOST_ENTRIES, (held - TABLE_AT) / ENTRY_BYTES));
    for (int i = 0; i < entries; i++) {
      long entry = first + TABLE_AT + (long) i * ENTRY_BYTES;
      bytesById.putIfAbsent(header.fourCc(entry), header.u64(entry + 4));
    }
    return new WideSizes(bytesById);
  }

  /** The size of a chunk whose own field says that it stands here. */
  long bytes(String id) {
    return bytesById.getOrDefault(id, ChunkWalk.UNKNOWN);
  }
}
