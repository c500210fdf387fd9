package cairn.io.sound;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import cairn.io.sound.ContainerVectorsTest.Vector;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Headers that were tampered with, from a seeded generator: what comes of them is a file whose
 * every frame can be read, or an {@link IOException} of one line. The test's own memory is bounded
 * by the build, so that a size field that decides about memory would end it.
 */
class HostileHeaderTest {

  private static final int CASES = 5_000;
  private static final int[] TELLING_BYTES = {0x00, 0x01, 0x02, 0x7F, 0x80, 0xFE, 0xFF, 0x20};

  @TempDir Path folder;

  @Test
  @Timeout(value = 120, unit = TimeUnit.SECONDS)
  void aTamperedHeaderEndsInSamplesOrInOneLine() throws IOException {
    List<Vector> vectors = ContainerVectorsTest.vectors();
    Path path = folder.resolve("stem");
    int opened = 0;
    for (int seed = 0; seed < CASES; seed++) {
      Random random = new Random(seed);
      byte[] file = tampered(vectors.get(seed % vectors.size()).bytes(), random);
      Files.write(path, file);
      try {
        try (LinearSoundFile sound = ContainerVectorsTest.open(path)) {
          opened++;
          readAll(sound, file.length, random);
        }
      } catch (IOException e) {
        assertTrue(
            e.getMessage().chars().noneMatch(Character::isISOControl),
            "seed " + seed + ": " + e.getMessage());
      } catch (RuntimeException | AssertionError e) {
        fail("seed " + seed, e);
      }
    }
    // Were nearly all refused, or nearly none, the generator would test little.
    assertTrue(opened > CASES / 10 && opened < CASES * 9 / 10, "opened " + opened);
  }

  private static void readAll(LinearSoundFile sound, int fileBytes, Random random)
      throws IOException {
    SoundFormat format = sound.format();
    assertTrue(format.frames() >= 1);
    assertTrue(format.channels() == 1 || format.channels() == 2);
    assertTrue(format.sampleRateHz() >= 1);
    long end = sound.layout().firstByte() + format.frames() * sound.layout().frameBytes();
    assertTrue(end <= fileBytes, () -> "ends at " + end + " of " + fileBytes);
    int frames = Math.toIntExact(format.frames());
    double[][] all = new double[format.channels()][frames];
    try (SoundReader reader = sound.openReader()) {
      for (int done = 0; done < frames; ) {
        int count = 1 + random.nextInt(frames - done);
        reader.read(done, count, all, done);
        done += count;
      }
    }
    for (double[] channel : all) {
      assertEquals(
          frames, Arrays.stream(channel).filter(Double::isFinite).count(), "values are finite");
    }
  }

  private static byte[] tampered(byte[] valid, Random random) {
    byte[] file = valid.clone();
    int changes = 1 + random.nextInt(3);
    for (int i = 0; i < changes; i++) {
      if (file.length == 0) {
        return file;
      }
      int at = random.nextInt(Math.min(file.length, 120));
      switch (random.nextInt(6)) {
        case 0 -> file[at] = (byte) random.nextInt(256);
        case 1 -> file[at] = (byte) TELLING_BYTES[random.nextInt(TELLING_BYTES.length)];
        case 2 -> {
          byte same = (byte) TELLING_BYTES[random.nextInt(TELLING_BYTES.length)];
          Arrays.fill(file, at, Math.min(file.length, at + 4), same);
        }
        case 3 -> file = Arrays.copyOf(file, random.nextInt(file.length + 1));
        case 4 -> file = Arrays.copyOf(file, file.length + random.nextInt(40));
        default -> {
          // A part of the file once more, in the middle of itself.
          int from = random.nextInt(file.length);
          int count = random.nextInt(Math.min(64, file.length - from) + 1);
          byte[] longer = new byte[file.length + count];
          System.arraycopy(file, 0, longer, 0, at);
          System.arraycopy(file, from, longer, at, count);
          System.arraycopy(file, at, longer, at + count, file.length - at);
          file = longer;
        }
      }
    }
    return file;
  }
}
