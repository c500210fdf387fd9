package cairn.io.stems;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import cairn.collisions.port.StemReader;
import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StemFilesTest {

  private static final int RATE_HZ = 48_000;

  @TempDir Path temp;
  private Path song;

  @BeforeEach
  void makeTheFolder() throws IOException {
    song = Files.createDirectory(temp.toRealPath().resolve("parade"));
  }

  private StemSet scan() throws IOException {
    return StemFolder.scan(List.of(song), ScanOptions.DEFAULT);
  }

  @Test
  void aReaderFillsTheBlockWithTheSamplesOfTheFile() throws IOException {
    Waves.stereo(song.resolve("a.wav"), RATE_HZ, 100);
    Waves.mono(song.resolve("b.wav"), RATE_HZ, 100);
    try (StemFiles files = scan().open();
        StemReader reader = files.openReader()) {
      double[][] block = new double[2][5];
      reader.read(0, 40, 3, block, 1);
      assertArrayEquals(new double[] {0, 40 / 32768.0, 41 / 32768.0, 42 / 32768.0, 0}, block[0]);
      assertArrayEquals(
          new double[] {0, 1040 / 32768.0, 1041 / 32768.0, 1042 / 32768.0, 0}, block[1]);
      reader.read(1, 98, 2, block, 0);
      assertEquals(98 / 32768.0, block[0][0]);
      assertEquals(1040 / 32768.0, block[1][1], "a mono stem leaves channel 1 alone");
    }
  }

  @Test
  void aPairIsReadIntoBothChannels() throws IOException {
    byte[] both = Waves.bytes(RATE_HZ, 2, 100, Waves.NO_TIME);
    for (int c = 0; c < 2; c++) {
      byte[] one = Waves.bytes(RATE_HZ, 1, 100, Waves.NO_TIME);
      for (int frame = 0; frame < 100; frame++) {
        System.arraycopy(both, 44 + 4 * frame + 2 * c, one, 44 + 2 * frame, 2);
      }
      Files.write(song.resolve("bells." + "LR".charAt(c) + ".wav"), one);
    }
    Path joined = Files.write(temp.resolve("joined.wav"), both);
    StemSet pair = scan();
    assertEquals(1, pair.stems().size());
    double[][] fromPair = read(pair);
    double[][] fromOne = read(StemFolder.scan(List.of(joined), ScanOptions.DEFAULT));
    assertArrayEquals(fromOne[0], fromPair[0]);
    assertArrayEquals(fromOne[1], fromPair[1]);
    assertEquals(1099 / 32768.0, fromPair[1][99]);
  }

  private static double[][] read(StemSet set) throws IOException {
    double[][] block = new double[2][100];
    try (StemFiles files = set.open();
        StemReader reader = files.openReader()) {
      reader.read(0, 0, 100, block, 0);
    }
    return block;
  }

  @Test
  void closingAReaderLeavesTheFilesOpen() throws IOException {
    Waves.mono(song.resolve("a.wav"), RATE_HZ, 100);
    try (StemFiles files = scan().open()) {
      double[][] block = new double[2][1];
      try (StemReader first = files.openReader()) {
        first.read(0, 7, 1, block, 0);
      }
      try (StemReader second = files.openReader()) {
        second.read(0, 8, 1, block, 0);
      }
      assertEquals(8 / 32768.0, block[0][0]);
    }
  }

  @Test
  void readersOfSeveralThreadsReadSideBySide()
      throws IOException, InterruptedException, ExecutionException {
    Waves.stereo(song.resolve("a.wav"), RATE_HZ, 30_000);
    Waves.mono(song.resolve("b.wav"), RATE_HZ, 30_000);
    ExecutorService threads = Executors.newFixedThreadPool(4);
    try (StemFiles files = scan().open()) {
      List<Future<Long>> sums = new ArrayList<>();
      for (int t = 0; t < 4; t++) {
        sums.add(
            threads.submit(
                () -> {
                  long sum = 0;
                  double[][] block = new double[2][1_000];
                  try (StemReader reader = files.openReader()) {
                    for (int at = 0; at < 30_000; at += 1_000) {
                      for (int stem = 0; stem < 2; stem++) {
                        reader.read(stem, at, 1_000, block, 0);
                        for (double sample : block[0]) {
                          sum += Math.round(sample * 32_768);
                        }
                      }
                    }
                  }
                  return sum;
                }));
      }
      for (Future<Long> sum : sums) {
        assertEquals(2 * (30_000L * 29_999 / 2), sum.get(), "0 + 1 + … + 29999, twice");
      }
    } finally {
      threads.shutdown();
    }
  }

  @Test
  void aFileThatChangedIsToldByItsName() throws IOException {
    Path kick = Waves.mono(song.resolve("kick.wav"), RATE_HZ, 100);
    Waves.mono(song.resolve("low.wav"), RATE_HZ, 100);
    byte[] bytes = Files.readAllBytes(kick);
    FileTime modified = Files.getLastModifiedTime(kick);
    try (StemFiles files = scan().open()) {
      files.verifyUnchanged();

      Files.setLastModifiedTime(kick, FileTime.fromMillis(modified.toMillis() + 5_000));
      assertChanged(files);
      Files.setLastModifiedTime(kick, modified);
      files.verifyUnchanged();

      Files.write(kick, new byte[bytes.length + 1]);
      Files.setLastModifiedTime(kick, modified);
      assertChanged(files);

      // Another file of the same size and time in its place.
      Path other = Files.write(song.resolve("other"), bytes);
      Files.setLastModifiedTime(other, modified);
      Files.move(other, kick, StandardCopyOption.REPLACE_EXISTING);
      assertChanged(files);

      Files.delete(kick);
      assertChanged(files);
    }
  }

  private static void assertChanged(StemFiles files) {
    assertEquals(
        "'kick.wav' changed while it was read; wait until the export is done, then start again",
        assertThrows(UnusableStem.Changed.class, files::verifyUnchanged).getMessage());
  }

  @Test
  void aFileThatChangedSinceTheFolderWasReadIsRefusedWhenItIsOpened() throws IOException {
    Path kick = Waves.mono(song.resolve("kick.wav"), RATE_HZ, 100);
    StemSet set = scan();
    Waves.mono(kick, RATE_HZ, 101);
    assertThrows(UnusableStem.Changed.class, set::open);
    Files.delete(kick);
    assertThrows(UnusableStem.Changed.class, set::open);
  }

  @Test
  void threeHundredStemsTakeOneDescriptorEach() throws IOException {
    Path descriptors = Path.of("/proc/self/fd");
    assumeTrue(Files.isDirectory(descriptors), "descriptors are counted by /proc");
    for (int i = 0; i < 300; i++) {
      Waves.mono(song.resolve(i + ".wav"), RATE_HZ, 10);
    }
    StemSet set = scan();
    long before = count(descriptors);
    try (StemFiles files = set.open();
        StemReader one = files.openReader();
        StemReader two = files.openReader()) {
      double[][] block = new double[2][10];
      for (int k = 0; k < 300; k++) {
        one.read(k, 0, 10, block, 0);
        two.read(k, 0, 10, block, 0);
      }
      long open = count(descriptors) - before;
      assertTrue(open >= 295 && open <= 305, "about 300 more, but " + open);
    }
    assertTrue(count(descriptors) - before <= 5, "all closed");
  }

  private static long count(Path folder) throws IOException {
    try (Stream<Path> entries = Files.list(folder)) {
      return entries.count();
    }
  }

  @Test
  void moreFilesThanTheSystemAllowsIsOneClearLineAndClosesAll() throws IOException {
    for (int i = 10; i < 20; i++) {
      Waves.mono(song.resolve(i + ".wav"), RATE_HZ, 10);
    }
    StemSet set = scan();
    Limited limited = new Limited(7);
    assertEquals(
        "'"
            + song
            + "' has 10 stem files, but the system lets only 7 be open at once; raise that limit"
            + " (ulimit -n), or sum some of the stems first",
        assertThrows(UnusableFolder.TooManyFiles.class, () -> StemFiles.open(set, limited::open))
            .getMessage());
    assertEquals(0, limited.open);
  }

  @Test
  void aFailureToOpenThatStaysIsToldAsItIs() throws IOException {
    Waves.mono(song.resolve("a.wav"), RATE_HZ, 10);
    Waves.mono(song.resolve("b.wav"), RATE_HZ, 10);
    StemSet set = scan();
    IOException thrown =
        assertThrows(
            IOException.class,
            () ->
                StemFiles.open(
                    set,
                    path -> {
                      if (path.endsWith("b.wav")) {
                        throw new FileSystemException(path.toString(), null, "disk on fire");
                      }
                      return StemProbe.open(path);
                    }));
    assertEquals(
        "'b.wav' cannot be read: disk on fire; check the disk, or leave it out",
        thrown.getMessage());
  }

  @Test
  void aFailureToReadNamesTheFileOnce() throws IOException {
    Waves.mono(song.resolve("a\n.wav"), RATE_HZ, 10);
    StemSet set = scan();
    try (StemFiles files = StemFiles.open(set, path -> new Failing(StemProbe.open(path)));
        StemReader reader = files.openReader()) {
      IOException thrown =
          assertThrows(IOException.class, () -> reader.read(0, 0, 1, new double[2][1], 0));
      assertEquals(
          "'a\\u{A}.wav' cannot be read: I/O error; check the disk, or leave it out",
          thrown.getMessage());
    }
  }

  @Test
  void aFailureThatNamesItsFileIsNotNamedAgain() {
    Path path = Path.of("a.wav");
    IOException once = Reasons.named(path, new IOException("I/O error"));
    assertSame(once, Reasons.named(path, once));
    UnusableStem stem = new UnusableStem.Changed(path);
    assertSame(stem, Reasons.named(path, stem));
  }

  /** Lets only so many files be open. */
  private static final class Limited {
    private final int most;
    private int open;

    Limited(int most) {
      this.most = most;
    }

    SoundFile open(Path path) throws IOException {
      if (open == most) {
        throw new FileSystemException(path.toString(), null, "Zu viele offene Dateien");
      }
      open++;
      return new Wrapped(StemProbe.open(path)) {
        @Override
        public void close() throws IOException {
          open--;
          super.close();
        }
      };
    }
  }

  /** A file whose samples cannot be read. */
  private static final class Failing extends Wrapped {
    Failing(SoundFile file) {
      super(file);
    }

    @Override
    public SoundReader openReader() {
      return new SoundReader() {
        @Override
        public void read(long firstFrame, int frames, double[][] into, int at) throws IOException {
          throw new IOException("I/O error");
        }

        @Override
        public void close() {}
      };
    }
  }

  private static class Wrapped implements SoundFile {
    private final SoundFile file;

    Wrapped(SoundFile file) {
      this.file = file;
    }

    @Override
    public Path path() {
      return file.path();
    }

    @Override
    public SoundFormat format() {
      return file.format();
    }

    @Override
    public Optional<BroadcastInfo> broadcast() {
      return file.broadcast();
    }

    @Override
    public List<String> mended() {
      return file.mended();
    }

    @Override
    public SoundReader openReader() throws IOException {
      return file.openReader();
    }

    @Override
    public void close() throws IOException {
      file.close();
    }
  }
}
