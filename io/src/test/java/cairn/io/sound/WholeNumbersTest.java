package cairn.io.sound;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.collisions.port.SliceTaker;
import cairn.io.aiff.AiffLayout;
import cairn.io.flac.FlacFile;
import cairn.io.flac.FlacWriter;
import cairn.io.sound.SoundFormat.Kind;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** What is read as whole numbers is what is read as doubles: those, other tests hold to others. */
class WholeNumbersTest {

  private static final int FRAMES = 5_003;

  @TempDir Path folder;

  @ParameterizedTest
  @EnumSource(
      mode = EnumSource.Mode.EXCLUDE,
      names = {"FLOAT_32_BIG", "FLOAT_64_BIG"})
  void theyAreWhatTheDoublesAre(LinearCoding coding) throws IOException {
    boolean whole = coding.kind() == Kind.INTEGER && (coding.bits() == 16 || coding.bits() == 24);
    Path path = folder.resolve("stem");
    for (int channels = 1; channels <= 2; channels++) {
      double[][] noise = Samples.noise(3, channels, FRAMES, Math.min(24, coding.bits()));
      write(coding, path, noise);
      try (LinearSoundFile file = ContainerVectorsTest.open(path)) {
        assertEquals(whole ? coding.bits() : 0, file.wholeBits());
        if (whole) {
          assertArrayEquals(noise, Samples.of(file));
          check(file, noise, channels);
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource({"12, 1", "16, 2", "20, 2", "24, 1", "24, 2"})
  void thoseOfFlacToo(int bits, int channels) throws IOException {
    double[][] noise = Samples.noise(5, channels, FRAMES, bits);
    Path path = flac(noise, bits);
    try (FlacFile file = FlacFile.open(path)) {
      assertEquals(bits, file.wholeBits());
      check(file, noise, bits);
    }
  }

  @Test
  void aFileCutShortMeanwhileIsToldOf() throws IOException {
    Path path = folder.resolve("stem");
    write(LinearCoding.PCM_24_LITTLE, path, Samples.noise(7, 2, FRAMES, 24));
    try (LinearSoundFile file = ContainerVectorsTest.open(path);
        SoundReader reader = file.openReader()) {
      try (RandomAccessFile bytes = new RandomAccessFile(path.toFile(), "rw")) {
        bytes.setLength(bytes.length() - 1);
      }
      int[][] words = new int[2][64];
      SliceTaker nobody = (from, to, peak) -> {};
      reader.readWhole(0, FRAMES - 1, words, nobody);
      assertThrows(
          UnusableStem.Changed.class, () -> reader.readWhole(FRAMES - 1, 1, words, nobody));
      assertThrows(
          IndexOutOfBoundsException.class, () -> reader.readWhole(FRAMES, 1, words, nobody));
    }
  }

  /** Forwards and by leaps, in slices of any length, with little read ahead and with none. */
  private static void check(SoundFile file, double[][] samples, int seed) throws IOException {
    Random random = new Random(seed);
    int mask = -1 << (Integer.SIZE - file.wholeBits());
    for (int ahead : new int[] {0, 1_000, 100_000}) {
      try (SoundReader reader = file.openReader(ahead)) {
        int first = 0;
        for (int i = 0; i < 60; i++) {
          first = random.nextInt(4) == 0 ? random.nextInt(FRAMES) : first;
          int frames = Math.min(FRAMES - first, 1 + random.nextInt(i % 2 == 0 ? 90 : 5_000));
          int[][] words = new int[2][1 + random.nextInt(i % 5 == 0 ? 5_000 : 700)];
          double[][] read = new double[samples.length][frames];
          int[] told = {0};
          reader.readWhole(
              first,
              frames,
              words,
              (from, to, peak) -> {
                assertEquals(told[0], from);
                assertTrue(to - from == words[0].length || to == frames, "a short slice");
                told[0] = to;
                for (int c = 0; c < read.length; c++) {
                  for (int n = from; n < to; n++) {
                    read[c][n] = (words[c][n - from] & mask) * 0x1p-31;
                  }
                }
              });
          assertEquals(frames, told[0]);
          for (int c = 0; c < read.length; c++) {
            assertArrayEquals(Arrays.copyOfRange(samples[c], first, first + frames), read[c]);
          }
          first = (first + frames) % FRAMES;
        }
      }
    }
  }

  private static void write(LinearCoding coding, Path path, double[][] samples) throws IOException {
    int channels = samples.length;
    var out = Files.newOutputStream(path);
    try (LinearSoundWriter writer =
        coding.order() == ByteOrder.BIG_ENDIAN
            ? new AiffLayout(coding, 48_000, channels, FRAMES).writeTo(out)
            : WaveLayout.plain(coding, 48_000, channels, FRAMES).writeTo(out)) {
      writer.write(samples, 0, FRAMES);
    }
  }

  private Path flac(double[][] samples, int bits) throws IOException {
    Path path = folder.resolve("stem.flac");
    try (FlacWriter writer = FlacWriter.create(path, 48_000, samples.length, bits)) {
      writer.write(samples, 0, FRAMES);
    }
    return path;
  }
}
