package cairn.io.aiff;

import cairn.io.files.SafeText;
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

/** Opens AIFF and AIFF-C files; the layout is written down with the package. */
public final class AiffFile {

  private static final int FIRST_CHUNK = 12;
  private static final int COMMON_BYTES = 18;
  private static final int COMMON_BYTES_WITH_TYPE = 22;
  private static final int TYPE_AT = 18;

  /** The two numbers before the samples in {@code SSND}. */
  private static final int SOUND_HEADER_BYTES = 8;

  /** What a size or a count is in a file that was written to a pipe. */
  private static final long NOT_TOLD = 0xFFFF_FFFFL;

  private static final String EXPORT = "export it as PCM or float";

  private AiffFile() {}

  /** Whether a file that begins with these bytes, 12 or more, is one that {@link #open} takes. */
  public static boolean matches(byte[] head) {
    return head.length >= FIRST_CHUNK
        && new String(head, 0, 4, StandardCharsets.ISO_8859_1).equals(AiffNames.FORM)
        && containerOf(new String(head, 8, 4, StandardCharsets.ISO_8859_1)) != null;
  }

  /**
   * Opens a file and reads its header.
   *
   * @throws UnusableStem if it is not such a file, or one that is not read here; the one line says
   *     why and what to do
   * @throws IOException if it cannot be read
   */
  public static LinearSoundFile open(Path path) throws IOException {
    return LinearSoundFile.open(path, ByteOrder.BIG_ENDIAN, AiffFile::parse);
  }

  private static Container containerOf(String formType) {
    return switch (formType) {
      case AiffNames.AIFF -> Container.AIFF;
      case AiffNames.AIFC -> Container.AIFC;
      default -> null;
    };
  }

  private static Layout parse(HeaderBytes header) throws IOException {
    Path path = header.path();
    if (header.length() == 0) {
      throw new UnusableStem.Empty(path);
    }
    Container container = header.length() < FIRST_CHUNK ? null : containerOf(header.fourCc(8));
    if (container == null || !header.fourCc(0).equals(AiffNames.FORM)) {
      throw new UnusableStem.NotSound(path, "is not an AIFF file; leave it out or export it again");
    }
    List<String> mended = new ArrayList<>();
    Map<String, Chunk> chunks =
        ChunkWalk.find(
            header,
            FIRST_CHUNK,
            AiffNames.SOUND,
            Set.of(AiffNames.COMMON, AiffNames.SOUND),
            (id, field) -> field == NOT_TOLD ? ChunkWalk.UNKNOWN : field,
            mended);
    Chunk common = chunks.get(AiffNames.COMMON);
    if (common == null) {
      throw new UnusableStem.Damaged(path, "has no 'COMM' chunk; export it again");
    }
    int least = container == Container.AIFC ? COMMON_BYTES_WITH_TYPE : COMMON_BYTES;
    if (common.bytes() < least) {
      throw new UnusableStem.Damaged(
          path,
          "has a 'COMM' chunk of " + common.bytes() + " bytes, not " + least + "; export it again");
    }
    return layout(header, container, common.firstByte(), chunks.get(AiffNames.SOUND), mended);
  }

  private static Layout layout(
      HeaderBytes header, Container container, long common, Chunk sound, List<String> mended)
      throws IOException {
    Path path = header.path();
    int channels = (short) header.u16(common);
    long framesTold = header.u32(common + 2);
    SoundFormat.checkChannels(path, channels);
    LinearCoding coding = coding(header, container, common);
    int sampleRateHz = ExtendedNumber.sampleRateHz(header, common + 8);
    if (sound == null) {
      // The chunk may be left out of a file without frames.
      if (framesTold == 0) {
        throw new UnusableStem.Empty(path);
      }
      throw new UnusableStem.Damaged(path, "has no 'SSND' chunk; export it again");
    }
    if (sound.bytes() < SOUND_HEADER_BYTES) {
      throw new UnusableStem.Empty(path);
    }
    long offset = header.u32(sound.firstByte());
    long bytes = sound.bytes() - SOUND_HEADER_BYTES - offset;
    if (bytes < 0) {
      throw new UnusableStem.Damaged(
          path, "says its sound begins " + offset + " bytes on, past its end; export it again");
    }
    long frames = frames(bytes / ((long) channels * coding.bytes()), framesTold, mended);
    if (frames == 0) {
      throw new UnusableStem.Empty(path);
    }
    return new Layout(
        new SoundFormat(container, coding.kind(), coding.bits(), sampleRateHz, channels, frames),
        coding,
        sound.firstByte() + SOUND_HEADER_BYTES + offset,
        Optional.empty(),
        mended);
  }

  private static long frames(long held, long told, List<String> mended) {
    if ((told == 0 && held > 0) || told == NOT_TOLD || told > held) {
      mended.add(
          "'COMM' chunk says " + told + " samples, the file holds " + held + ": those are read");
      return held;
    }
    return told;
  }

  private static LinearCoding coding(HeaderBytes header, Container container, long common)
      throws IOException {
    Path path = header.path();
    int bits = (short) header.u16(common + 6);
    String type =
        container == Container.AIFC ? header.fourCc(common + TYPE_AT) : AiffNames.TYPE_NONE;
    switch (type.toLowerCase(Locale.ROOT)) {
      case "none", "twos" -> {
        return LinearCoding.pcm(bytes(path, bits), ByteOrder.BIG_ENDIAN);
      }
      case "sowt" -> {
        return LinearCoding.pcm(bytes(path, bits), ByteOrder.LITTLE_ENDIAN);
      }
      case "in24" -> {
        return LinearCoding.PCM_24_BIG;
      }
      case "in32" -> {
        return LinearCoding.PCM_32_BIG;
      }
      case "42ni", "42n1" -> {
        return LinearCoding.PCM_24_LITTLE;
      }
      case "23ni", "23n1" -> {
        return LinearCoding.PCM_32_LITTLE;
      }
      // The number of bits is wrong in some files with floats: the type counts.
      case "fl32" -> {
        return LinearCoding.FLOAT_32_BIG;
      }
      case "fl64" -> {
        return LinearCoding.FLOAT_64_BIG;
      }
      case "raw " -> {
        if (bytes(path, bits) == 1) {
          return LinearCoding.UNSIGNED_8;
        }
        throw new UnusableStem.NotReadHere(
            path, "has unsigned samples of " + bits + " bits, which are not read here; " + EXPORT);
      }
      default ->
          throw new UnusableStem.NotReadHere(
              path,
              "is in a coding that is not read here ("
                  + AiffNames.codingOf(type)
                  + ", AIFF-C type '"
                  + SafeText.of(type)
                  + "'); "
                  + EXPORT);
    }
  }

  /** Bytes of the container of a sample of {@code bits} bits. */
  private static int bytes(Path path, int bits) throws UnusableStem {
    if (bits < 1 || bits > 32) {
      throw new UnusableStem.Damaged(
          path, "says it has " + bits + " bits a sample; export it again");
    }
    return (bits + 7) / 8;
  }
}
