package cairn.io.cache;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.Fader;
import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.line.FirstPass;
import cairn.collisions.line.Summary;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.LoudnessSummary;
import cairn.collisions.loudness.Metering;
import cairn.collisions.port.Progress;
import cairn.collisions.signal.Crew;
import cairn.collisions.time.TempoMap;
import cairn.io.files.XdgFolders;
import cairn.io.stems.StemFiles;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FirstPassFolderTest {

  private static final int RATE = 48_000;

  /** The one in which more can go wrong: levels lie between samples. */
  private static final PeakMode MODE = PeakMode.TRUE_PEAK;

  /** Not a whole number of windows. */
  private static final int FRAMES = 60_001;

  @TempDir Path temp;

  private KeptStems parade;

  @BeforeEach
  void writeStems() throws IOException {
    parade = new KeptStems(temp);
    writeNoise("caixa.wav", 1, 1);
    writeNoise("surdo.wav", 2, 2);
  }

  /** A stem that is filled from a seed. */
  private void writeNoise(String name, int channels, long seed) throws IOException {
    Random random = new Random(seed);
    parade.write(name, RATE, channels, FRAMES, i -> random.nextGaussian() * 3000);
  }

  private static WindowGrid grid(Session session) {
    return WindowGrid.halfSeconds(new TimeRange(0, session.frames()), RATE);
  }

  private static FirstPass.Measured run(
      StemFiles files, Session session, WindowGrid grid, Metering metering) throws IOException {
    return FirstPass.run(session, files, grid, 8192, MODE, metering, Crew.ALONE, Progress.NONE);
  }

  /** Keeps the first pass over the stems as they are. */
  private FirstPass.Measured keep(Metering metering) throws IOException {
    try (StemFiles files = parade.open()) {
      PassMemory memory = parade.memory(files);
      Session session = files.set().toSession();
      FirstPass.Measured measured = run(files, session, grid(session), metering);
      memory.keep(session, grid(session), MODE, measured);
      return measured;
    }
  }

  private Optional<FirstPass.Measured> find(Metering metering) throws IOException {
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      return parade.memory(files).find(session, grid(session), MODE, metering);
    }
  }

  private static void assertSameToTheBit(Summary expected, Summary actual) {
    assertArrayEquals(expected.blockPeaks(), actual.blockPeaks());
    assertArrayEquals(expected.windowPeaks(), actual.windowPeaks());
    assertArrayEquals(expected.windowEnergies(), actual.windowEnergies());
    assertEquals(expected.stems(), actual.stems());
    for (int k = 0; k < expected.stems(); k++) {
      assertArrayEquals(expected.stemWindowPeaks(k), actual.stemWindowPeaks(k));
    }
    assertEquals(expected.peak(), actual.peak());
    assertEquals(expected.peakFrame(), actual.peakFrame());
    assertEquals(expected.grid().range(), actual.grid().range());
  }

  private static void assertSameToTheBit(LoudnessSummary expected, LoudnessSummary actual) {
    assertArrayEquals(expected.bus().energies(), actual.bus().energies());
    assertEquals(expected.busTruePeak(), actual.busTruePeak());
    assertEquals(expected.busEnergy(), actual.busEnergy());
    assertEquals(expected.frames(), actual.frames());
    assertEquals(expected.bus().firstFrame(), actual.bus().firstFrame());
    assertEquals(expected.stems(), actual.stems());
    for (int k = 0; k < expected.stems(); k++) {
      assertArrayEquals(expected.stem(k).energies(), actual.stem(k).energies());
      assertEquals(expected.stemTruePeak(k), actual.stemTruePeak(k));
      assertEquals(expected.stemEnergy(k), actual.stemEnergy(k));
    }
  }

  @Test
  void whatIsFoundIsWhatWasMeasuredToTheBit() throws IOException {
    assertTrue(find(Metering.NONE).isEmpty());
    FirstPass.Measured measured = keep(Metering.NONE);
    FirstPass.Measured found = find(Metering.NONE).orElseThrow();
    assertSameToTheBit(measured.summary(), found.summary());
    assertTrue(found.loudness().isEmpty());
    assertEquals(1, parade.entries("").size());
  }

  @Test
  void loudnessIsFoundWhereItWasMeteredAndGivenWhereItIsAskedFor() throws IOException {
    keep(Metering.NONE);
    assertTrue(find(Metering.BUS).isEmpty());
    FirstPass.Measured bus = keep(Metering.BUS);
    assertSameToTheBit(
        bus.loudness().orElseThrow(), find(Metering.BUS).orElseThrow().loudness().orElseThrow());
    assertTrue(find(Metering.STEMS).isEmpty());
    FirstPass.Measured all = keep(Metering.STEMS);
    assertSameToTheBit(
        all.loudness().orElseThrow(), find(Metering.STEMS).orElseThrow().loudness().orElseThrow());
    assertSameToTheBit(
        bus.loudness().orElseThrow(), find(Metering.BUS).orElseThrow().loudness().orElseThrow());
    assertTrue(find(Metering.NONE).orElseThrow().loudness().isEmpty());
    assertEquals(1, parade.entries("").size());
  }

  @Test
  void everyFaderRangeAndWindowHasAnEntryOfItsOwn() throws IOException {
    keep(Metering.NONE);
    try (StemFiles files = parade.open()) {
      PassMemory memory = parade.memory(files);
      Session plain = files.set().toSession();
      for (Session other : KeptStems.others(plain)) {
        assertTrue(
            memory.find(other, grid(plain), MODE, Metering.NONE).isEmpty(), other.toString());
      }
      TimeRange all = grid(plain).range();
      for (WindowGrid grid :
          List.of(
              WindowGrid.halfSeconds(new TimeRange(1, FRAMES), RATE),
              WindowGrid.halfSeconds(new TimeRange(0, FRAMES - 1), RATE),
              WindowGrid.beats(all, RATE, new TempoMap(104, 4, 4, 0)),
              WindowGrid.beats(all, RATE, new TempoMap(120, 4, 4, 0.001)))) {
        assertTrue(memory.find(plain, grid, MODE, Metering.NONE).isEmpty());
      }
      assertTrue(memory.find(plain, grid(plain), PeakMode.SAMPLE_PEAK, Metering.NONE).isEmpty());
      assertTrue(memory.find(plain, grid(plain), MODE, Metering.NONE).isPresent());
    }
  }

  @Test
  void aStemChangedInPlaceIsSeenThoughItsSizeAndTimeAreAsBefore() throws IOException {
    Path stem = parade.stems.resolve("caixa.wav");
    FileTime before = Files.getLastModifiedTime(stem);
    keep(Metering.NONE);
    byte[] bytes = Files.readAllBytes(stem);
    bytes[50] ^= 1; // within the bytes that are looked at, so that no clock is needed to tell
    Files.write(stem, bytes);
    Files.setLastModifiedTime(stem, before);
    assertTrue(find(Metering.NONE).isEmpty());
  }

  @Test
  void aCopyOfAStemInItsPlaceIsAnotherFile() throws IOException {
    Path stem = parade.stems.resolve("caixa.wav");
    keep(Metering.NONE);
    Path copy = Files.copy(stem, temp.resolve("copy"));
    Files.setLastModifiedTime(copy, Files.getLastModifiedTime(stem));
    Files.move(copy, stem, StandardCopyOption.REPLACE_EXISTING);
    assertTrue(find(Metering.NONE).isEmpty());
  }

  @Test
  void stemsThatChangedAMomentAgoAreNotTrusted() throws IOException {
    try (StemFiles files = parade.open()) {
      Session session = files.set().toSession();
      FirstPass.Measured measured = run(files, session, grid(session), Metering.NONE);
      Instant changed = EntryKey.of(files.set()).lastChange();
      for (long millis : new long[] {-5000, 0, 1999, 2000}) {
        FirstPassFolder.of(parade.folders, files, () -> changed.plusMillis(millis))
            .keep(session, grid(session), MODE, measured);
        assertEquals(List.of(), parade.entries(""));
      }
      FirstPassFolder.of(parade.folders, files, () -> changed.plusMillis(2001))
          .keep(session, grid(session), MODE, measured);
      assertEquals(1, parade.entries("").size());
    }
  }

  @Test
  void stemsThatChangeWhileTheyAreReadAreNotKept() throws IOException {
    try (StemFiles files = parade.open()) {
      PassMemory memory = parade.memory(files);
      Session session = files.set().toSession();
      FirstPass.Measured measured = run(files, session, grid(session), Metering.NONE);
      writeNoise("surdo.wav", 2, 3);
      memory.keep(session, grid(session), MODE, measured);
      assertEquals(List.of(), parade.entries(""));
      // Nor is anything looked for once a name leads to another file than the one that is open.
      Files.move(parade.stems.resolve("caixa.wav"), temp.resolve("away"));
      assertSame(PassMemory.NONE, parade.memory(files));
    }
  }

  @Test
  void aDamagedEntryIsPassedOverAndWrittenAnew() throws IOException {
    keep(Metering.STEMS);
    Path entry = parade.entries("").get(0);
    byte[] whole = Files.readAllBytes(entry);
    Random random = new Random(7);
    for (int i = 0; i < 300; i++) {
      byte[] damaged = whole.clone();
      // Every byte of the header, some of the rest.
      int at = i < 100 ? i : random.nextInt(whole.length);
      damaged[at] ^= (byte) (1 << random.nextInt(8));
      Files.write(entry, damaged);
      assertTrue(find(Metering.STEMS).isEmpty(), "byte " + at);
    }
    for (int length : new int[] {0, 1, 60, 64, 100, whole.length - 1}) {
      Files.write(entry, Arrays.copyOf(whole, length));
      assertTrue(find(Metering.NONE).isEmpty(), "length " + length);
    }
    Files.write(entry, Arrays.copyOf(whole, whole.length + 1));
    assertTrue(find(Metering.NONE).isEmpty());
    keep(Metering.STEMS);
    assertArrayEquals(whole, Files.readAllBytes(entry));
  }

  @Test
  void aSectionOfALaterVersionIsPassedOver() throws IOException {
    FirstPass.Measured measured = keep(Metering.NONE);
    Path entry = parade.entries("").get(0);
    byte[] whole = Files.readAllBytes(entry);
    ByteBuffer more = ByteBuffer.allocate(whole.length + 16 + 3).order(ByteOrder.LITTLE_ENDIAN);
    more.put(whole)
        .put(KeptStems.ascii("LATR"))
        .putInt(crc(new byte[3], 3))
        .putLong(3)
        .put(new byte[3]);
    // The header as the package says: sections from byte 12, length from 16, CRC from 56.
    more.putInt(12, more.getInt(12) + 1).putLong(16, more.capacity());
    more.putInt(56, crc(more.array(), 56));
    Files.write(entry, more.array());
    assertSameToTheBit(measured.summary(), find(Metering.NONE).orElseThrow().summary());
    // But not one of a later layout.
    more.putInt(8, 2).putInt(56, crc(more.array(), 56));
    Files.write(entry, more.array());
    assertTrue(find(Metering.NONE).isEmpty());
  }

  private static int crc(byte[] bytes, int end) {
    CRC32C crc = new CRC32C();
    crc.update(bytes, 0, end);
    return (int) crc.getValue();
  }

  @Test
  void theFolderStaysWithinItsBoundAndLosesWhatWasUsedLongestAgo() throws IOException {
    keep(Metering.NONE);
    long bytes = Files.size(parade.entries("").get(0));
    Files.delete(parade.entries("").get(0));
    List<Path> byAge = new ArrayList<>();
    try (StemFiles files = parade.open()) {
      Session plain = files.set().toSession();
      for (int i = 0; i < 4; i++) {
        Instant now = KeptStems.later().plusSeconds(i);
        // Room for two and a half.
        PassMemory memory = FirstPassFolder.of(parade.folders, files, () -> now, bytes * 5 / 2);
        Session session =
            new Session(
                RATE, 0, plain.stems(), plain.faders().stream().map(new Gain(-i)::of).toList());
        List<Path> before = parade.entries("");
        memory.keep(
            session, grid(session), MODE, run(files, session, grid(session), Metering.NONE));
        byAge.addAll(parade.entries("").stream().filter(path -> !before.contains(path)).toList());
        if (i == 1) {
          // Used again, so the second one is now the older.
          PassMemory used = FirstPassFolder.of(parade.folders, files, () -> now.plusMillis(500));
          assertTrue(used.find(plain, grid(plain), MODE, Metering.NONE).isPresent());
        }
        assertTrue(parade.entries("").size() <= 2);
        assertEquals(i + 1, byAge.size());
        assertTrue(Files.exists(byAge.get(i)));
        // The second was not used for longer than the first when the third came.
        List<Integer> left = i == 2 ? List.of(0, 2) : i == 3 ? List.of(2, 3) : List.of(i);
        for (int kept : left) {
          assertTrue(Files.exists(byAge.get(kept)), "entry " + kept + " after " + i);
        }
      }
    }
  }

  private record Gain(double db) {
    Fader of(Fader fader) {
      return fader.withGainDb(db);
    }
  }

  @Test
  void whatAKilledProgramLeftIsSweptAway() throws IOException {
    keep(Metering.NONE);
    Path folder = parade.entries("").get(0).getParent();
    Path old = Files.createFile(folder.resolve(".cairn-0123456789abcdef.tmp"));
    Path young = Files.createFile(folder.resolve(".cairn-fedcba9876543210.tmp"));
    Files.setLastModifiedTime(old, FileTime.from(Instant.now().minusSeconds(7200)));
    Files.setLastModifiedTime(young, FileTime.from(KeptStems.later()));
    keep(Metering.BUS);
    assertFalse(Files.exists(old));
    assertTrue(Files.exists(young));
  }

  @Test
  void aFolderThatCannotBeUsedIsNoFailure() throws IOException {
    Files.writeString(temp.resolve("cache"), "a file where the folder should be");
    keep(Metering.NONE);
    assertTrue(find(Metering.NONE).isEmpty());
    try (StemFiles files = parade.open()) {
      assertSame(PassMemory.NONE, FirstPassFolder.of(XdgFolders.NONE, files, KeptStems::later));
    }
  }

  @Test
  void aSummaryIsBuiltFromArraysThatFitAlone() {
    WindowGrid grid = WindowGrid.halfSeconds(new TimeRange(0, 24_100), RATE);
    double[] blocks = new double[95]; // 94 of 256 frames in the first window, one in the second
    blocks[3] = 0.5;
    blocks[94] = 0.5;
    double[] energies = {1, 2};
    double[][] peaks = {{0.5, 0.25}};
    Summary summary = Summary.of(grid, RATE, blocks, energies, peaks, 3 * 256);
    assertArrayEquals(new double[] {0.5, 0.5}, summary.windowPeaks());
    assertEquals(0.5, summary.peak());
    for (Runnable wrong :
        List.<Runnable>of(
            () -> Summary.of(grid, RATE, new double[94], energies, peaks, 0),
            () -> Summary.of(grid, RATE, blocks, new double[1], peaks, 3 * 256),
            () -> Summary.of(grid, RATE, blocks, energies, new double[1][3], 3 * 256),
            () -> Summary.of(grid, RATE, blocks, energies, peaks, 4 * 256),
            () -> Summary.of(grid, RATE, blocks, energies, peaks, 24_000),
            () -> Summary.of(grid, RATE, blocks, new double[] {1, -1}, peaks, 3 * 256),
            () -> Summary.of(grid, RATE, blocks, new double[] {1, Double.NaN}, peaks, 3 * 256))) {
      assertThrows(IllegalArgumentException.class, wrong::run);
    }
  }
}
