package cairn.io.wave;

import static cairn.io.wave.WaveNames.BROADCAST;
import static cairn.io.wave.WaveNames.DATA;
import static cairn.io.wave.WaveNames.EXTENSIBLE_FORMAT_BYTES;
import static cairn.io.wave.WaveNames.FORMAT;
import static cairn.io.wave.WaveNames.SIZE_ELSEWHERE;
import static cairn.io.wave.WaveNames.TAG_EXTENSIBLE;
import static cairn.io.wave.WaveNames.TAG_FLOAT;
import static cairn.io.wave.WaveNames.TAG_PCM;

import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.ChunkWalk;
import cairn.io.sound.ChunkWalk.Chunk;
import cairn.io.sound.HeaderBytes;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundFile;
import cairn.io.sound.LinearSoundFile.Layout;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Opens WAVE, RF64 and BW64 files; the layout is written down with the package. */
public final class WaveFile {

  private static final int FIRST_CHUNK = 12;
  private static final int BROADCAST_BYTES_READ = 346;
  private static final String EXPORT = "export it as PCM or float";

  private WaveFile() {}

  /** Whether a file that begins with these bytes, 12 or more, is one that {@link #open} takes. */
  public static boolean matches(byte[] head) {
    return head.length >= FIRST_CHUNK
        && containerOf(new String(head, 0, 4, StandardCharsets.ISO_8859_1)) != null
        && new String(head, 8, 4, StandardCharsets.ISO_8859_1).equals(WaveNames.WAVE);
  }

  /**
   * Opens a file and reads its header.
   *
   * @throws UnusableStem if it is not such a file, or one that is not read here; the one line says
   *     why and what to do
   * @throws IOException if it cannot be read
   */
  public static LinearSoundFile open(Path path) throws IOException {
    return LinearSoundFile.open(path, ByteOrder.LITTLE_ENDIAN, WaveFile::parse);
  }

  private static Container containerOf(String outerId) {
    return switch (outerId) {
      case WaveNames.RIFF -> Container.WAVE;
      case WaveNames.RF64 -> Container.RF64;
      case WaveNames.BW64 -> Container.BW64;
      default -> null;
    };
  }

  private static Layout parse(HeaderBytes header) throws IOException {
    Path path = header.path();
    if (header.length() == 0) {
      throw new UnusableStem.Empty(path);
    }
    Container container = header.length() < FIRST_CHUNK ? null : containerOf(header.fourCc(0));
    if (container == null || !header.fourCc(8).equals(WaveNames.WAVE)) {
      throw new UnusableStem.NotSound(path, "is not a WAVE file; leave it out or export it again");
    }
    List<String> mended = new ArrayList<>();
    WideSizes wide =
        container == Container.WAVE ? WideSizes.NONE : WideSizes.read(header, FIRST_CHUNK, mended);
    Map<String, Chunk> chunks =
        ChunkWalk.find(
            header,
            FIRST_CHUNK,
            DATA,
            Set.of(FORMAT, DATA, BROADCAST),
            (id, field) -> field == SIZE_ELSEWHERE ? wide.bytes(id) : field,
            mended);
    noteOuterSize(header, container, mended);
    Chunk data = chunks.get(DATA);
    if (data == null) {
      throw new UnusableStem.Damaged(path, "has no 'data' chunk; export it again");
    }
    Chunk format = chunks.get(FORMAT);
    if (format == null) {
      throw new UnusableStem.Damaged(path, "has no 'fmt ' chunk; export it again");
    }
    return layout(header, container, format, data, broadcast(header, chunks, mended), mended);
  }

  /** A size of the whole that is not told is worth a line only where nothing else was wrong. */
  private static void noteOuterSize(HeaderBytes header, Container container, List<String> mended)
      throws IOException {
    long outer = header.u32(4);
    boolean untold = outer <= 8 || (outer == SIZE_ELSEWHERE && container == Container.WAVE);
    if (untold && mended.isEmpty()) {
      mended.add("RIFF size says " + outer + " bytes: passed over");
    }
  }

  private static Layout layout(
      HeaderBytes header,
      Container container,
      Chunk format,
      Chunk data,
      Optional<BroadcastInfo> broadcast,
      List<String> mended)
      throws IOException {
    Path path = header.path();
    long at = format.firstByte();
    if (format.bytes() < WaveNames.FORMAT_BYTES) {
      throw new UnusableStem.Damaged(
          path, "has a 'fmt ' chunk of " + format.bytes() + " bytes, not 16; export it again");
    }
    int channels = header.u16(at + 2);
    long sampleRateHz = header.u32(at + 4);
    int blockAlign = header.u16(at + 12);
    LinearCoding coding = coding(header, format);
    SoundFormat.checkChannels(path, channels);
    SoundFormat.checkSampleRate(path, sampleRateHz);
    int frameBytes = channels * coding.bytes();
    if (blockAlign != frameBytes) {
      mended.add(
          "block align says "
              + blockAlign
              + " bytes for one sample of all channels: taken as "
              + frameBytes);
    }
    long frames = data.bytes() / frameBytes;
    if (frames == 0) {
      throw new UnusableStem.Empty(path);
    }
    if (data.bytes() % frameBytes != 0) {
      mended.add("last sample is cut off after " + data.bytes() % frameBytes + " bytes: left out");
    }
    return new Layout(
        new SoundFormat(
            container, coding.kind(), coding.bits(), (int) sampleRateHz, channels, frames),
        coding,
        data.firstByte(),
        broadcast,
        mended);
  }

  private static LinearCoding coding(HeaderBytes header, Chunk format) throws IOException {
    Path path = header.path();
    long at = format.firstByte();
    int tag = header.u16(at);
    int bits = header.u16(at + 14);
    if (tag == TAG_EXTENSIBLE) {
      if (format.bytes() < EXTENSIBLE_FORMAT_BYTES) {
        throw new UnusableStem.Damaged(
            path,
            "has an extensible 'fmt ' chunk of "
                + format.bytes()
                + " bytes, not 40; export it again");
      }
      String kind = header.text(at + WaveNames.SUBFORMAT_AT, WaveNames.GUID_BYTES);
      if (!kind.substring(2).equals(WaveNames.GUID_TAIL)) {
        throw new UnusableStem.NotReadHere(
            path, "is in an unknown coding (extensible, a GUID of its own); " + EXPORT);
      }
      tag = header.u16(at + WaveNames.SUBFORMAT_AT);
    }
    switch (tag) {
      case TAG_PCM -> {
        if (bits == 0) {
          throw new UnusableStem.Damaged(path, "says it has 0 bits a sample; export it again");
        }
        if (bits <= 8) {
          return LinearCoding.UNSIGNED_8;
        }
        if (bits <= 32) {
          return LinearCoding.pcm((bits + 7) / 8, ByteOrder.LITTLE_ENDIAN);
        }
      }
      case TAG_FLOAT -> {
        if (bits == 32) {
          return LinearCoding.FLOAT_32_LITTLE;
        }
        if (bits == 64) {
          return LinearCoding.FLOAT_64_LITTLE;
        }
      }
      default ->
          throw new UnusableStem.NotReadHere(
              path,
              String.format(
                  Locale.ROOT,
                  "is in a coding that is not read here (%s, WAVE tag 0x%04X); %s",
                  WaveNames.codingOf(tag),
                  tag,
                  EXPORT));
    }
    throw new UnusableStem.NotReadHere(
        path,
        String.format(
            Locale.ROOT,
            "has %d-bit %s samples, which are not read here; export it as PCM of 16, 24 or 32 bits"
                + " or as float of 32 or 64",
            bits,
            tag == TAG_PCM ? "PCM" : "float"));
  }

  private static Optional<BroadcastInfo> broadcast(
      HeaderBytes header, Map<String, Chunk> chunks, List<String> mended) throws IOException {
    Chunk chunk = chunks.get(BROADCAST);
    if (chunk == null) {
      return Optional.empty();
    }
    if (chunk.bytes() < BROADCAST_BYTES_READ) {
      mended.add("'bext' chunk has only " + chunk.bytes() + " bytes: passed over");
      return Optional.empty();
    }
    long timeReference = header.u64(chunk.firstByte() + WaveNames.TIME_REFERENCE_AT);
    if (timeReference < 0) {
      mended.add(
          "time reference says "
              + Long.toUnsignedString(timeReference)
              + " samples: 'bext' chunk passed over");
      return Optional.empty();
    }
    String description = header.text(chunk.firstByte(), WaveNames.DESCRIPTION_BYTES);
    int end = description.indexOf('\0');
    return Optional.of(
        new BroadcastInfo(end < 0 ? description : description.substring(0, end), timeReference));
  }
}
