package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whatever the bytes are, a file is read exactly or refused with a message. */
class FlacFuzzTest {

  private static final int CASES = 1_500;

  @TempDir Path folder;

  /** A good file, its samples, and where its frames start and end. */
  private static final class Seed {
    private final byte[] bytes;
    private final int[][] sound;
    private final List<Integer> offsets;

    Seed(byte[] bytes, int[][] sound, List<Integer> offsets) {
      this.bytes = bytes;
      this.sound = sound;
      this.offsets = offsets;
    }
  }

  private List<Seed> seeds() throws IOException {
    List<Seed> seeds = new ArrayList<>();
    for (var vector : FlacVectorsTest.vectors()) {
      Path path = Sounds.put(folder.resolve("seed.flac"), FlacVectorsTest.bytes(vector));
      seeds.add(
          new Seed(
              FlacVectorsTest.bytes(vector),
              FlacVectorsTest.samples(vector),
              Sounds.frameOffsets(path)));
      Files.delete(path);
    }
    for (int bits : new int[] {16, 24}) {
      int[][] sound = Sounds.parade(2, 8_300, bits, bits);
      Arrays.fill(sound[1], 4_096, 8_300, 5);
      Path path = Sounds.write(folder.resolve("seed.flac"), sound, bits);
      seeds.add(new Seed(Files.readAllBytes(path), sound, Sounds.frameOffsets(path)));
      Files.delete(path);
    }
    return seeds;
  }

  /** The samples, or null if the file was refused. */
  private int[][] readOrRefuse(byte[] bytes, String what) throws IOException {
    Path path = Sounds.put(folder.resolve("fuzz.flac"), bytes);
    try (FlacFile file = FlacFile.open(path)) {
      assertTrue(file.format().frames() >= 1, what);
      return Sounds.readAll(file, 4_096);
    } catch (IOException e) {
      assertTrue(e.getMessage().startsWith("'fuzz.flac' "), what + ": " + e);
      return null;
    } catch (RuntimeException e) {
      return fail(what, e);
    }
  }

  private static void assertStartOf(int[][] sound, int[][] read, String what) {
    int frames = Math.min(sound[0].length, read[0].length);
    Sounds.assertSame(Sounds.cut(sound, 0, frames), Sounds.cut(read, 0, frames), what);
    assertTrue(read[0].length <= sound[0].length, what);
  }

  /** The checksums find it: what is read is right, though a flipped length may make it shorter. */
  @Test
  void flippedBitsAreFoundOrDoNotMatter() throws IOException {
    List<Seed> seeds = seeds();
    Random random = new Random(101);
    int refused = 0;
    for (int n = 0; n < CASES; n++) {
      Seed seed = seeds.get(n % seeds.size());
      byte[] bytes = seed.bytes.clone();
      int first = seed.offsets.get(0);
      for (int i = random.nextInt(4); i >= 0; i--) {
        boolean inHead = random.nextInt(4) == 0;
        int at = inHead ? random.nextInt(first) : first + random.nextInt(bytes.length - first);
        bytes[at] ^= (byte) (1 << random.nextInt(8));
      }
      int[][] read = readOrRefuse(bytes, "seed 101, case " + n);
      if (read == null) {
        refused++;
      } else if (read.length == seed.sound.length) {
        assertStartOf(seed.sound, read, "seed 101, case " + n);
      }
    }
    assertTrue(refused > CASES / 2, "refused " + refused);
  }

  @Test
  void cutFilesAreRefusedOrReadUpToTheCut() throws IOException {
    Random random = new Random(102);
    List<Seed> seeds = seeds();
    for (int n = 0; n < CASES; n++) {
      Seed seed = seeds.get(n % seeds.size());
      byte[] bytes = Arrays.copyOf(seed.bytes, random.nextInt(seed.bytes.length));
      boolean counted = bytes.length < 26 || random.nextBoolean();
      if (!counted) {
        Sounds.setFrames(bytes, 0);
      }
      int[][] read = readOrRefuse(bytes, "seed 102, case " + n);
      if (read != null) {
        assertTrue(!counted, "seed 102, case " + n);
        assertStartOf(seed.sound, read, "seed 102, case " + n);
      }
    }
  }

  /** With the checksums put right again the damage reaches the decoder itself. */
  @Test
  void wrongBitsUnderRightChecksumsDoNoHarm() throws IOException {
    Random random = new Random(103);
    List<Seed> seeds = seeds();
    int decoded = 0;
    for (int n = 0; n < 2 * CASES; n++) {
      Seed seed = seeds.get(n % seeds.size());
      byte[] bytes = seed.bytes.clone();
      int frame = random.nextInt(seed.offsets.size() - 1);
      int from = seed.offsets.get(frame);
      int to = seed.offsets.get(frame + 1);
      for (int i = random.nextInt(3); i >= 0; i--) {
        int at = from + 2 + random.nextInt(random.nextBoolean() ? 20 : to - from - 4);
        if (at < to - 2) {
          bytes[at] = (byte) (random.nextBoolean() ? random.nextInt() : bytes[at] ^ 1);
        }
      }
      FrameHeader header = new FrameHeader();
      for (int length = 6; length <= FrameHeader.LARGEST_BYTES && from + length < to; length++) {
        byte kept = bytes[from + length - 1];
        bytes[from + length - 1] = (byte) Crc.crc8(bytes, from, from + length - 1);
        StreamInfo info = StreamInfo.of(Arrays.copyOfRange(bytes, 8, 42));
        if (header.take(bytes, from, from + length, info) == null) {
          break;
        }
        bytes[from + length - 1] = kept;
      }
      int crc = Crc.crc16(bytes, from, to - 2);
      bytes[to - 2] = (byte) (crc >> 8);
      bytes[to - 1] = (byte) crc;
      int[][] read = readOrRefuse(bytes, "seed 103, case " + n);
      decoded += read == null ? 0 : 1;
    }
    assertTrue(decoded > 100, "decoded " + decoded);
  }

  /** The decoder alone, on bytes that have nothing of a frame but a header. */
  @Test
  void randomSubframesEndInAMessage() {
    Random random = new Random(104);
    byte[] bytes = new byte[5_000 + BitReader.PADDING];
    for (int n = 0; n < 3 * CASES; n++) {
      int bits = 4 + random.nextInt(29);
      StreamInfo info = new StreamInfo(16, 65_535, 0, 48_000, 2, bits, 0, "");
      random.nextBytes(bytes);
      // Sparse bits give long runs of zeros, that is large quotients and orders.
      for (int i = 0; n % 3 == 0 && i < bytes.length; i++) {
        bytes[i] &= (byte) (1 << random.nextInt(12));
      }
      byte[] header = {-1, -8, 0x70, (byte) ((random.nextInt(3) + 8) << 4), 0, 15, -1, 0};
      header[5] = (byte) random.nextInt(64);
      header[7] = (byte) Crc.crc8(header, 0, 7);
      FrameHeader taken = new FrameHeader();
      String wrong = taken.take(header, 0, header.length, info);
      assertTrue(wrong == null, () -> "" + wrong);
      bytes[0] =
          (byte) (new int[] {0, 2, 16 + 2 * random.nextInt(5), 64 + 2 * random.nextInt(32)})[n % 4];
      int end = 1 + random.nextInt(5_000);
      try {
        int footer = new FrameDecoder(info).decode(taken, bytes, 0, end);
        assertTrue(footer <= end, "seed 104, case " + n);
      } catch (BrokenFrame e) {
        assertTrue(!e.getMessage().isEmpty(), "seed 104, case " + n);
      }
    }
  }
}
