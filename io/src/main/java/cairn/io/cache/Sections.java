package cairn.io.cache;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.zip.CRC32C;

/** Header and sections of an entry, of whatever kind; the layout stands with the package. */
final class Sections {

  private static final int MAGIC_BYTES = 8;
  private static final int HEADER_BYTES = MAGIC_BYTES + 4 + 4 + 8 + EntryKey.BYTES + 4;
  private static final int SECTION_BYTES = 4 + 4 + 8;

  private Sections() {}

  /**
   * What an entry is.
   *
   * @param magic its first eight bytes, in ASCII
   * @param version of what its sections hold
   */
  record Kind(String magic, int version) {}

  /** The bytes are no entry, or a damaged one. */
  static final class Damaged extends IOException {
    private static final long serialVersionUID = 1L;

    Damaged(String what) {
      super(what);
    }

    Damaged(String what, RuntimeException cause) {
      super(what, cause);
    }
  }

  static int tag(String name) {
    return buffer(name.getBytes(StandardCharsets.US_ASCII)).getInt();
  }

  static ByteBuffer buffer(byte[] bytes) {
    return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
  }

  private static int crc(ByteBuffer bytes) {
    CRC32C crc = new CRC32C();
    crc.update(bytes.duplicate());
    return (int) crc.getValue();
  }

  /**
   * The bytes of an entry.
   *
   * @param sections what each tag holds, in this order
   * @throws ArithmeticException if it has more than 2 GiB
   */
  static byte[] join(Kind kind, byte[] key, Map<Integer, ByteBuffer> sections) {
    long length = HEADER_BYTES;
    for (ByteBuffer content : sections.values()) {
      length += SECTION_BYTES + content.remaining();
    }
    byte[] bytes = new byte[Math.toIntExact(length)];
    ByteBuffer out = buffer(bytes);
    out.put(kind.magic().getBytes(StandardCharsets.US_ASCII));
    out.putInt(kind.version()).putInt(sections.size()).putLong(length).put(key);
    out.putInt(crc(buffer(bytes).limit(out.position())));
    for (Map.Entry<Integer, ByteBuffer> section : sections.entrySet()) {
      ByteBuffer content = section.getValue();
      out.putInt(section.getKey()).putInt(crc(content));
      out.putLong(content.remaining()).put(content.duplicate());
    }
    return bytes;
  }

  /**
   * The sections of an entry, by their tags.
   *
   * @param key the key that it must have
   * @throws Damaged if it is not whole, or not what was asked for
   */
  static Map<Integer, ByteBuffer> split(Kind kind, byte[] bytes, byte[] key) throws Damaged {
    if (bytes.length < HEADER_BYTES) {
      throw new Damaged("it is too short");
    }
    ByteBuffer in = buffer(bytes);
    byte[] magic = new byte[MAGIC_BYTES];
    in.get(magic);
    int version = in.getInt();
    int count = in.getInt();
    long length = in.getLong();
    byte[] itsKey = new byte[EntryKey.BYTES];
    in.get(itsKey);
    int headerEnd = in.position();
    if (!Arrays.equals(magic, kind.magic().getBytes(StandardCharsets.US_ASCII))
        || version != kind.version()
        || in.getInt() != crc(buffer(bytes).limit(headerEnd))
        || length != bytes.length
        || !Arrays.equals(itsKey, key)) {
      throw new Damaged("its header is another one");
    }
    Map<Integer, ByteBuffer> sections = new HashMap<>();
    for (int i = 0; i < count; i++) {
      if (in.remaining() < SECTION_BYTES) {
        throw new Damaged("a section is not whole");
      }
      int tag = in.getInt();
      int crc = in.getInt();
      long size = in.getLong();
      if (size < 0 || size > in.remaining()) {
        throw new Damaged("a section is not whole");
      }
      ByteBuffer content = in.slice(in.position(), (int) size).order(ByteOrder.LITTLE_ENDIAN);
      if (crc != crc(content)) {
        throw new Damaged("a section is not what was written");
      }
      sections.put(tag, content);
      in.position(in.position() + (int) size);
    }
    if (in.hasRemaining()) {
      throw new Damaged("something follows its sections");
    }
    return sections;
  }

  /** One of them. */
  static ByteBuffer section(Map<Integer, ByteBuffer> sections, int tag) throws Damaged {
    ByteBuffer section = sections.get(tag);
    if (section == null) {
      throw new Damaged("a section is missing");
    }
    return section;
  }
}
