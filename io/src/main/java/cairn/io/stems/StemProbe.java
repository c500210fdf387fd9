package cairn.io.stems;

import cairn.io.aiff.AiffFile;
import cairn.io.files.SafeText;
import cairn.io.flac.FlacFile;
import cairn.io.sound.SoundFile;
import cairn.io.sound.UnusableStem;
import cairn.io.wave.WaveFile;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Tells what a file is from its first bytes, whatever its name ends in, and opens it if it is a
 * sound file that is read here.
 */
public final class StemProbe {

  /** Endings by which a file promises to be a stem: one that is broken is no document. */
  private static final Set<String> SOUND_ENDINGS =
      Set.of("wav", "wave", "bwf", "rf64", "bw64", "aif", "aiff", "aifc", "flac");

  /** Common practice, no source. */
  private static final Map<String, String> COMPRESSED_ENDINGS =
      Map.ofEntries(
          Map.entry("mp3", "MP3"),
          Map.entry("mp2", "MP2"),
          Map.entry("m4a", "MPEG-4"),
          Map.entry("mp4", "MPEG-4"),
          Map.entry("aac", "AAC"),
          Map.entry("ogg", "Ogg"),
          Map.entry("oga", "Ogg"),
          Map.entry("opus", "Ogg"),
          Map.entry("wma", "WMA"));

  private static final int HEAD_BYTES = 64;

  private StemProbe() {}

  /**
   * Opens a sound file.
   *
   * @throws UnusableStem.NotSound if it is a folder, a device or a pipe (which are not opened), or
   *     holds something else than sound
   * @throws UnusableStem as the reader of its format throws it
   * @throws IOException if it cannot be read; the message names it
   */
  public static SoundFile open(Path path) throws IOException {
    try {
      BasicFileAttributes attributes = Files.readAttributes(path, BasicFileAttributes.class);
      if (attributes.isDirectory()) {
        throw new UnusableStem.NotSound(path, "is a folder, not a sound file; name a file");
      }
      if (!attributes.isRegularFile()) {
        throw new UnusableStem.NotSound(
            path, "is a pipe, socket or device, not a file; name a sound file");
      }
      byte[] head = head(path);
      if (WaveFile.matches(head)) {
        return WaveFile.open(path);
      }
      if (AiffFile.matches(head)) {
        return AiffFile.open(path);
      }
      if (FlacFile.matches(path)) {
        return FlacFile.open(path);
      }
      throw new UnusableStem.NotSound(path, whatElse(path, head));
    } catch (NoSuchFileException e) {
      throw new UnusableFolder.NotThere(path);
    } catch (IOException e) {
      throw Reasons.named(path, e);
    }
  }

  private static String whatElse(Path path, byte[] head) {
    if (head.length == 0) {
      return "is an empty file (0 bytes); export it again or leave it out";
    }
    Optional<String> compressed = compressed(path, head);
    return compressed.isPresent()
        ? "is a compressed file (" + compressed.get() + "); export it as WAVE, AIFF or FLAC"
        : "is not a sound file (it starts with '"
            + startOf(head)
            + "'); export it as WAVE, AIFF or FLAC, or leave it out";
  }

  /** The first bytes as text if they are, else as numbers. */
  private static String startOf(byte[] head) {
    int shown = Math.min(4, head.length);
    boolean printable = true;
    StringBuilder hex = new StringBuilder();
    for (int i = 0; i < shown; i++) {
      printable &= head[i] >= 0x20 && head[i] < 0x7F;
      hex.append(i == 0 ? "" : " ").append(String.format(Locale.ROOT, "%02X", head[i]));
    }
    return printable
        ? SafeText.of(new String(head, 0, shown, StandardCharsets.US_ASCII))
        : hex.toString();
  }

  /** Why a file of the folder that could not be opened is skipped. */
  static String reasonToSkip(Path path) {
    byte[] head;
    try {
      head = head(path);
    } catch (IOException e) {
      return "cannot be read";
    }
    return compressed(path, head).map(what -> "compressed (" + what + ")").orElse("not a stem");
  }

  /** Whether the name promises sound that is read here. */
  public static boolean hasSoundEnding(Path path) {
    return SOUND_ENDINGS.contains(ending(path));
  }

  private static String ending(Path path) {
    String name = path.getFileName().toString();
    return name.substring(name.lastIndexOf('.') + 1).toLowerCase(Locale.ROOT);
  }

  /** Ogg: RFC 3533; ID3 and the MPEG sync word, {@code ftyp}: from memory. */
  private static Optional<String> compressed(Path path, byte[] head) {
    if (startsWith(head, 0, "OggS")) {
      return Optional.of("Ogg");
    }
    if (startsWith(head, 0, "ID3")) {
      return Optional.of("MP3");
    }
    if (startsWith(head, 4, "ftyp")) {
      return Optional.of("MPEG-4");
    }
    return Optional.ofNullable(COMPRESSED_ENDINGS.get(ending(path)));
  }

  private static boolean startsWith(byte[] head, int at, String text) {
    if (head.length < at + text.length()) {
      return false;
    }
    for (int i = 0; i < text.length(); i++) {
      if (head[at + i] != text.charAt(i)) {
        return false;
      }
    }
    return true;
  }

  private static byte[] head(Path path) throws IOException {
    try (InputStream in = Files.newInputStream(path)) {
      return in.readNBytes(HEAD_BYTES);
    }
  }
}
