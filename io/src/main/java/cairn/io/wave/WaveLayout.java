package cairn.io.wave;

import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.SoundFormat.Kind;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Objects;
import java.util.Optional;

/**
 * What a WAVE file to be written looks like. Since its length is known beforehand, the header is
 * final when it is written; beyond the 32-bit sizes of RIFF the file becomes RF64 (EBU Tech 3306
 * v1.1).
 *
 * @param coding little-endian, or unsigned 8 bits
 * @param sampleRateHz sample rate in Hz, above 0
 * @param channels 1 or 2
 * @param frames length in frames, at least 0
 * @param extensible whether the {@code fmt } chunk is the extensible one
 * @param broadcast what goes into a {@code bext} chunk, if one is wanted; its description is cut to
 *     256 characters, and those beyond ASCII become {@code ?}
 * @param laterBytes length of the whole chunks that whoever writes the frames writes after them; at
 *     least 0, even
 */
public record WaveLayout(
    LinearCoding coding,
    int sampleRateHz,
    int channels,
    long frames,
    boolean extensible,
    Optional<BroadcastInfo> broadcast,
    long laterBytes) {

  private static final int BROADCAST_BYTES = 602;
  private static final int WIDE_SIZES_BYTES = 28;
  private static final int MOST_HEADER_BYTES = 1024;

  /** Front centre; front left and right. */
  private static final int[] SPEAKERS = {0x4, 0x3};

  public WaveLayout {
    Objects.requireNonNull(broadcast, "broadcast");
    if (coding.order() != ByteOrder.LITTLE_ENDIAN) {
      throw new IllegalArgumentException("coding must be little-endian: coding=" + coding);
    }
    if (sampleRateHz < 1 || channels < 1 || channels > 2) {
      throw new IllegalArgumentException(
          "sampleRateHz must be > 0, channels 1 or 2: sampleRateHz="
              + sampleRateHz
              + ", channels="
              + channels);
    }
    if (frames < 0 || frames > Long.MAX_VALUE / 16 - MOST_HEADER_BYTES) {
      throw new IllegalArgumentException("frames must be >= 0 and fit a file: frames=" + frames);
    }
    if (laterBytes < 0 || (laterBytes & 1) == 1) {
      throw new IllegalArgumentException(
          "laterBytes must be >= 0 and even: laterBytes=" + laterBytes);
    }
  }

  /** A plain file without a {@code bext} chunk. */
  public static WaveLayout plain(LinearCoding coding, int sampleRateHz, int channels, long frames) {
    return new WaveLayout(coding, sampleRateHz, channels, frames, false, Optional.empty(), 0);
  }

  /** The same with a {@code bext} chunk. */
  public WaveLayout with(BroadcastInfo info) {
    return new WaveLayout(
        coding, sampleRateHz, channels, frames, extensible, Optional.of(info), laterBytes);
  }

  /** The same with an extensible {@code fmt } chunk. */
  public WaveLayout asExtensible() {
    return new WaveLayout(coding, sampleRateHz, channels, frames, true, broadcast, laterBytes);
  }

  /** The same for a file in which whole chunks follow on the frames. */
  public WaveLayout withLater(long bytes) {
    return new WaveLayout(coding, sampleRateHz, channels, frames, extensible, broadcast, bytes);
  }

  /** Writes the header to {@code out}; the writer that takes the frames closes it. */
  public LinearSoundWriter writeTo(OutputStream out) throws IOException {
    return new LinearSoundWriter(out, header(), coding, channels, frames);
  }

  /** Whether the file is too long for RIFF, so that it becomes RF64. */
  public boolean isWide() {
    // Decided without the ds64 chunk, which a file that stays RIFF does not have.
    return outerBytes(false) >= WaveNames.SIZE_ELSEWHERE;
  }

  /** Length of the whole file in bytes. */
  public long fileBytes() {
    return outerBytes(isWide()) + 8;
  }

  /** All bytes before frame 0. */
  public byte[] header() {
    boolean wide = isWide();
    ByteBuffer to = ByteBuffer.allocate(MOST_HEADER_BYTES).order(ByteOrder.LITTLE_ENDIAN);
    putId(to, wide ? WaveNames.RF64 : WaveNames.RIFF);
    putSize(to, outerBytes(wide), wide);
    putId(to, WaveNames.WAVE);
    if (wide) {
      putId(to, WaveNames.WIDE_SIZES);
      putSize(to, WIDE_SIZES_BYTES, false);
      to.putLong(outerBytes(true)).putLong(dataBytes()).putLong(frames).putInt(0);
    }
    putFormat(to);
    if (hasFact()) {
      putId(to, WaveNames.FACT);
      putSize(to, 4, false);
      putSize(to, frames, wide);
    }
    broadcast.ifPresent(info -> putBroadcast(to, info));
    putId(to, WaveNames.DATA);
    putSize(to, dataBytes(), wide);
    byte[] bytes = new byte[to.position()];
    to.flip().get(bytes);
    return bytes;
  }

  private long dataBytes() {
    return frames * channels * coding.bytes();
  }

  /** What the outer size field says: all but the first 8 bytes. */
  private long outerBytes(boolean wide) {
    long data = dataBytes();
    return 4
        + (wide ? 8 + WIDE_SIZES_BYTES : 0)
        + (8 + formatBytes())
        + (hasFact() ? 8 + 4 : 0)
        + (broadcast.isPresent() ? 8 + BROADCAST_BYTES : 0)
        + (8 + data + (data & 1))
        + laterBytes;
  }

  private boolean hasFact() {
    return coding.kind() == Kind.FLOAT;
  }

  private int formatBytes() {
    if (extensible) {
      return WaveNames.EXTENSIBLE_FORMAT_BYTES;
    }
    // A coding other than PCM has the field cbSize.
    return coding.kind() == Kind.FLOAT ? WaveNames.FORMAT_BYTES + 2 : WaveNames.FORMAT_BYTES;
  }

  private void putFormat(ByteBuffer to) {
    int tag = coding.kind() == Kind.FLOAT ? WaveNames.TAG_FLOAT : WaveNames.TAG_PCM;
    int frameBytes = channels * coding.bytes();
    putId(to, WaveNames.FORMAT);
    putSize(to, formatBytes(), false);
    to.putShort((short) (extensible ? WaveNames.TAG_EXTENSIBLE : tag));
    to.putShort((short) channels);
    to.putInt(sampleRateHz);
    to.putInt(sampleRateHz * frameBytes);
    to.putShort((short) frameBytes);
    to.putShort((short) coding.bits());
    if (extensible) {
      to.putShort((short) (WaveNames.EXTENSIBLE_FORMAT_BYTES - WaveNames.FORMAT_BYTES - 2));
      to.putShort((short) coding.bits());
      to.putInt(SPEAKERS[channels - 1]);
      to.putShort((short) tag);
      to.put(WaveNames.GUID_TAIL.getBytes(StandardCharsets.ISO_8859_1));
    } else if (coding.kind() == Kind.FLOAT) {
      to.putShort((short) 0);
    }
  }

  /** EBU Tech 3285 v2, written as version 1: its UMID is empty, it has no loudness values. */
  private static void putBroadcast(ByteBuffer to, BroadcastInfo info) {
    putId(to, WaveNames.BROADCAST);
    putSize(to, BROADCAST_BYTES, false);
    int start = to.position();
    byte[] description = info.description().getBytes(StandardCharsets.US_ASCII);
    to.put(description, 0, Math.min(description.length, WaveNames.DESCRIPTION_BYTES));
    to.putLong(start + WaveNames.TIME_REFERENCE_AT, info.timeReference());
    to.putShort(start + WaveNames.TIME_REFERENCE_AT + 8, (short) 1);
    to.position(start + BROADCAST_BYTES);
  }

  private static void putId(ByteBuffer to, String id) {
    to.put(id.getBytes(StandardCharsets.ISO_8859_1));
  }

  private static void putSize(ByteBuffer to, long size, boolean elsewhere) {
    to.putInt((int) (elsewhere ? WaveNames.SIZE_ELSEWHERE : size));
  }
}
