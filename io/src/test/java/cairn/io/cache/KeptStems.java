package cairn.io.cache;

import cairn.collisions.Fader;
import cairn.collisions.PassMemory;
import cairn.collisions.Session;
import cairn.io.files.XdgFolders;
import cairn.io.stems.ScanOptions;
import cairn.io.stems.StemFiles;
import cairn.io.stems.StemFolder;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.IntToDoubleFunction;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;

/** Stems in a folder, with a cache folder beside them. */
final class KeptStems {

  final Path stems;
  final XdgFolders folders;
  private final Path entries;

  /**
   * @param parent where both are made
   */
  KeptStems(Path parent) throws IOException {
    stems = Files.createDirectory(parent.resolve("parade"));
    folders = XdgFolders.of(Map.of("XDG_CACHE_HOME", parent.resolve("cache").toString()), "");
    entries = parent.resolve("cache/cairn/first-pass");
  }

  /**
   * Writes a WAVE file of 16 bit, the plainest there is.
   *
   * @param samples of each frame and channel, in that order, in steps of 16 bit
   */
  void write(String name, int sampleRateHz, int channels, int frames, IntToDoubleFunction samples)
      throws IOException {
    int bytes = frames * channels * 2;
    ByteBuffer out = ByteBuffer.allocate(44 + bytes).order(ByteOrder.LITTLE_ENDIAN);
    out.put(ascii("RIFF")).putInt(36 + bytes).put(ascii("WAVEfmt ")).putInt(16);
    out.putShort((short) 1).putShort((short) channels);
    out.putInt(sampleRateHz).putInt(sampleRateHz * channels * 2);
    out.putShort((short) (channels * 2)).putShort((short) 16).put(ascii("data")).putInt(bytes);
    for (int i = 0; i < frames * channels; i++) {
      out.putShort((short) samples.applyAsDouble(i));
    }
    Files.write(stems.resolve(name), out.array());
  }

  static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  StemFiles open() throws IOException {
    return StemFolder.scan(List.of(stems), new ScanOptions(true, ScanOptions.Place.START)).open();
  }

  /** Long after the stems were written, without waiting for it. */
  static Instant later() {
    return Instant.now().plusSeconds(3600);
  }

  PassMemory memory(StemFiles files) {
    Instant now = later();
    return FirstPassFolder.of(folders, files, () -> now);
  }

  /** All files of the cache whose names end so. */
  List<Path> entries(String ending) throws IOException {
    if (!Files.exists(entries)) {
      return List.of();
    }
    try (Stream<Path> all = Files.list(entries)) {
      return all.filter(path -> path.toString().endsWith(ending)).sorted().toList();
    }
  }

  /** The same stems with one fader changed, each in every way, and with another mono gain. */
  static List<Session> others(Session plain) {
    List<UnaryOperator<Fader>> changes =
        List.of(
            f -> f.withGainDb(0.1),
            f -> f.withReversed(true),
            f -> f.withMuted(true),
            f -> f.withSoloed(true),
            f -> f.withOffset(1));
    List<Session> others = new ArrayList<>();
    for (UnaryOperator<Fader> change : changes) {
      for (int k = 0; k < plain.stems().size(); k++) {
        List<Fader> faders = new ArrayList<>(plain.faders());
        faders.set(k, change.apply(faders.get(k)));
        others.add(new Session(plain.sampleRateHz(), 0, plain.stems(), faders));
      }
    }
    others.add(new Session(plain.sampleRateHz(), -3, plain.stems(), plain.faders()));
    return others;
  }
}
