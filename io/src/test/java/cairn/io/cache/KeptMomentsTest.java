package cairn.io.cache;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Analysis;
import cairn.collisions.Fader;
import cairn.collisions.Pass;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.TimeRange;
import cairn.collisions.Unanalysable;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
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
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Moments that are taken from the cache folder in place of being found again. */
class KeptMomentsTest {

  private static final int RATE = 8_000;
  private static final int FRAMES = 40_000;
  private static final Settings SETTINGS = Settings.DEFAULT.withLine(new Line.Level(-12));

  /** Opens its files, but lets nobody read a sample. */
  private static final StemSource SEALED =
      () ->
          new StemReader() {
            @Override
            public void read(int stem, long firstFrame, int frames, double[][] into, int at)
                throws IOException {
              throw new IOException("a stem was read");
            }

            @Override
            public void close() {}
          };

  @TempDir Path temp;

  private Path stems;
  private XdgFolders folders;

  @BeforeEach
  void writeStems() throws IOException {
    stems = Files.createDirectory(temp.resolve("parade"));
    folders = XdgFolders.of(Map.of("XDG_CACHE_HOME", temp.resolve("cache").toString()), "");
    writeStrokes("caixa.wav", 1, 1);
    writeStrokes("surdo.wav", 2, 2);
    writeStrokes("tamborim.wav", 1, 3);
  }

  /** A WAVE file of 16 bit with a stroke each 1,500 frames, of a height from a seed. */
  private void writeStrokes(String name, int channels, long seed) throws IOException {
    int bytes = FRAMES * channels * 2;
    ByteBuffer out = ByteBuffer.allocate(44 + bytes).order(ByteOrder.LITTLE_ENDIAN);
    out.put(ascii("RIFF")).putInt(36 + bytes).put(ascii("WAVEfmt ")).putInt(16);
    out.putShort((short) 1).putShort((short) channels).putInt(RATE).putInt(RATE * channels * 2);
    out.putShort((short) (channels * 2)).putShort((short) 16).put(ascii("data")).putInt(bytes);
    Random random = new Random(seed);
    double height = 0;
    for (int n = 0; n < FRAMES; n++) {
      height = n % 1_500 == 0 ? 2_000 + 6_000 * random.nextDouble() : height * 0.9;
      for (int c = 0; c < channels; c++) {
        out.putShort((short) (height * (n % 2 == 0 ? 1 : -0.7) + 100 * random.nextGaussian()));
      }
    }
    Files.write(stems.resolve(name), out.array());
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  private StemFiles open() throws IOException {
    return StemFolder.scan(List.of(stems), new ScanOptions(true, ScanOptions.Place.START)).open();
  }

  private PassMemory memory(StemFiles files) {
    Instant later = Instant.now().plusSeconds(3600);
    return FirstPassFolder.of(folders, files, () -> later);
  }

  private static Pass run(Session session, StemSource source, PassMemory memory, Settings settings)
      throws IOException, Unanalysable {
    return new Analysis(session, source, Crew.ALONE, Progress.NONE).with(memory).run(settings);
  }

  private List<Path> entries() throws IOException {
    try (Stream<Path> all = Files.list(temp.resolve("cache/cairn/first-pass"))) {
      return all.filter(path -> path.toString().endsWith(".moments")).sorted().toList();
    }
  }

  @Test
  void whatIsFoundIsWhatWasWorkedOutAndNoStemIsRead() throws IOException, Unanalysable {
    for (PeakMode mode : PeakMode.values()) {
      Settings settings = SETTINGS.withMode(mode);
      try (StemFiles files = open()) {
        Session session = files.set().toSession();
        Pass plain = run(session, files, PassMemory.NONE, settings);
        run(session, files, memory(files), settings);
        Pass found = run(session, SEALED, memory(files), settings);
        assertTrue(plain.moments().size() > 10, "moments: " + plain.moments().size());
        assertEquals(plain.moments(), found.moments());
        assertEquals(plain.runs(), found.runs());
        assertEquals(plain.stems(), found.stems());
        assertTrue(found.moments().stream().anyMatch(moment -> moment.depth() > 1));
        assertTrue(found.moments().stream().anyMatch(moment -> !moment.isHead()));
        // The bus on which marks are tried begins with the same runs, and reads nothing for them.
        try (WhatIf scanned = WhatIf.of(plain, plain.line(), files, Crew.ALONE, Progress.NONE);
            WhatIf kept = WhatIf.of(found, SEALED)) {
          assertEquals(scanned.runs(), kept.runs());
        }
      }
    }
  }

  @Test
  void noMomentIsKeptAsWell() throws IOException, Unanalysable {
    Settings above = SETTINGS.withLine(new Line.Level(0));
    try (StemFiles files = open()) {
      Session session = files.set().toSession();
      run(session, files, memory(files), above);
      assertEquals(List.of(), run(session, SEALED, memory(files), above).moments());
    }
  }

  @Test
  void everyThingThatCountsHasAnEntryOfItsOwn() throws IOException, Unanalysable {
    try (StemFiles files = open()) {
      PassMemory memory = memory(files);
      Session plain = files.set().toSession();
      HeldLine line = run(plain, files, memory, SETTINGS).line();
      assertTrue(memory.findMoments(plain, line).isPresent());
      List<UnaryOperator<Fader>> changes =
          List.of(
              f -> f.withGainDb(0.1),
              f -> f.withReversed(true),
              f -> f.withMuted(true),
              f -> f.withSoloed(true),
              f -> f.withOffset(1));
      for (UnaryOperator<Fader> change : changes) {
        for (int k = 0; k < 3; k++) {
          List<Fader> faders = new ArrayList<>(plain.faders());
          faders.set(k, change.apply(faders.get(k)));
          Session other = new Session(RATE, 0, plain.stems(), faders);
          assertTrue(memory.findMoments(other, line).isEmpty(), faders.toString());
        }
      }
      Session monoGain = new Session(RATE, -3, plain.stems(), plain.faders());
      assertTrue(memory.findMoments(monoGain, line).isEmpty());
      TimeRange part = new TimeRange(100, 30_000);
      for (Settings settings :
          List.of(
              SETTINGS.withLine(new Line.Level(-12.1)),
              SETTINGS.withMode(PeakMode.TRUE_PEAK),
              SETTINGS.withSection(part),
              SETTINGS.withRange(part))) {
        HeldLine other = run(plain, files, PassMemory.NONE, settings).line();
        assertTrue(memory.findMoments(plain, other).isEmpty(), settings.toString());
      }
      assertTrue(memory.findMoments(plain, line).isPresent());
    }
    // Another stem in the place of one.
    writeStrokes("caixa.wav", 1, 4);
    try (StemFiles files = open()) {
      Session plain = files.set().toSession();
      HeldLine line = run(plain, files, PassMemory.NONE, SETTINGS).line();
      assertTrue(memory(files).findMoments(plain, line).isEmpty());
    }
  }

  /** A line is what it comes to, however it was asked for. */
  @Test
  void theSameLineAskedForInAnotherWayIsFound() throws IOException, Unanalysable {
    try (StemFiles files = open()) {
      Session session = files.set().toSession();
      Pass first = run(session, files, memory(files), SETTINGS);
      Settings held = SETTINGS.withLine(new Line.Held(first.line().levelAt(0)));
      assertEquals(first.moments(), run(session, SEALED, memory(files), held).moments());
    }
  }

  @Test
  void aDamagedOrForeignEntryIsPassedOverAndWrittenAnew() throws IOException, Unanalysable {
    try (StemFiles files = open()) {
      Session session = files.set().toSession();
      Pass pass = run(session, files, memory(files), SETTINGS);
      List<Moment> moments = pass.moments();
      PassMemory memory = memory(files);
      Path entry = entries().get(0);
      byte[] whole = Files.readAllBytes(entry);
      Random random = new Random(7);
      for (int i = 0; i < 200; i++) {
        byte[] damaged = whole.clone();
        int at = i < 80 ? i : random.nextInt(whole.length);
        damaged[at] ^= (byte) (1 << random.nextInt(8));
        Files.write(entry, damaged);
        assertTrue(memory.findMoments(session, pass.line()).isEmpty(), "byte " + at);
      }
      for (int length : new int[] {0, 1, 60, 64, 100, whole.length / 2, whole.length - 1}) {
        Files.write(entry, Arrays.copyOf(whole, length));
        assertTrue(memory.findMoments(session, pass.line()).isEmpty(), "length " + length);
      }
      // The entry of another line under this one's name.
      run(session, files, memory(files), SETTINGS.withLine(new Line.Level(-13)));
      Path other = entries().stream().filter(path -> !path.equals(entry)).findFirst().orElseThrow();
      Files.copy(other, entry, StandardCopyOption.REPLACE_EXISTING);
      assertTrue(memory.findMoments(session, pass.line()).isEmpty());
      assertEquals(moments, run(session, files, memory(files), SETTINGS).moments());
      assertArrayEquals(whole, Files.readAllBytes(entry));
    }
  }

  @Test
  void momentsCountTowardsTheBoundOfTheFolder() throws IOException, Unanalysable {
    try (StemFiles files = open()) {
      Session session = files.set().toSession();
      run(session, files, memory(files), SETTINGS);
      Path first = entries().get(0);
      long bytes = Files.size(first);
      Instant later = Instant.now().plusSeconds(7200);
      PassMemory tight = FirstPassFolder.of(folders, files, () -> later, bytes * 3 / 2);
      Pass lower = run(session, files, tight, SETTINGS.withLine(new Line.Level(-11)));
      assertFalse(lower.moments().isEmpty());
      assertFalse(Files.exists(first));
      assertEquals(1, entries().size());
      PassMemory none = FirstPassFolder.of(folders, files, () -> later, 100);
      run(session, files, none, SETTINGS);
      assertFalse(Files.exists(first));
    }
  }
}
