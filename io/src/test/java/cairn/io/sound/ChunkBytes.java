package cairn.io.sound;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/** Puts files of chunks together, right or wrong on purpose. */
public final class ChunkBytes {

  private final ByteOrder order;
  private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();

  private ChunkBytes(ByteOrder order) {
    this.order = order;
  }

  /** Little-endian bytes, WAVE's. */
  public static ChunkBytes little() {
    return new ChunkBytes(ByteOrder.LITTLE_ENDIAN);
  }

  /** Big-endian bytes, AIFF's. */
  public static ChunkBytes big() {
    return new ChunkBytes(ByteOrder.BIG_ENDIAN);
  }

  /** Four characters, or more text, one byte each. */
  public ChunkBytes id(String text) {
    return raw(text.getBytes(StandardCharsets.ISO_8859_1));
  }

  /** 16 bits. */
  public ChunkBytes u16(int value) {
    return raw(ByteBuffer.allocate(2).order(order).putShort((short) value).array());
  }

  /** 32 bits. */
  public ChunkBytes u32(long value) {
    return raw(ByteBuffer.allocate(4).order(order).putInt((int) value).array());
  }

  /** 64 bits. */
  public ChunkBytes u64(long value) {
    return raw(ByteBuffer.allocate(8).order(order).putLong(value).array());
  }

  /** Bytes as they are. */
  public ChunkBytes raw(byte... more) {
    bytes.writeBytes(more);
    return this;
  }

  /** A chunk with its true size and its pad byte. */
  public ChunkBytes chunk(String id, byte... payload) {
    id(id).u32(payload.length).raw(payload);
    return payload.length % 2 == 1 ? raw((byte) 0) : this;
  }

  /** All bytes so far. */
  public byte[] bytes() {
    return bytes.toByteArray();
  }
}
