package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.SoundReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Reading in any order gives what reading from start to end gives. */
class FlacSeekTest {

  @TempDir Path folder;

  /** Loud and quiet stretches, so that bytes and time do not run alike. */
  private static int[][] uneven(int channels, int frames, int bits) {
    int[][] sound = Sounds.noise(channels, frames, bits, 21);
    int[][] soft = Sounds.parade(channels, frames, bits - 8, 22);
    for (int c = 0; c < channels; c++) {
      System.arraycopy(soft[c], 0, sound[c], frames / 10, frames / 2);
      Arrays.fill(sound[c], frames / 5, frames / 3, 0);
    }
    return sound;
  }

  private static void checkAnyOrder(Path path, int[][] sound, long seed) throws IOException {
    int frames = sound[0].length;
    Random random = new Random(seed);
    String what = path.getFileName() + ", seed " + seed;
    try (FlacFile file = FlacFile.open(path);
        SoundReader reader = file.openReader()) {
      assertEquals(frames, file.format().frames());
      int at = 0;
      for (int i = 0; i < 400; i++) {
        int length = 1 + random.nextInt(i % 3 == 0 ? 6_000 : 300);
        at =
            switch (random.nextInt(4)) {
              case 0 -> at + random.nextInt(3_000);
              case 1 -> at - random.nextInt(9_000);
              case 2 -> at;
              default -> random.nextInt(frames);
            };
        at = Math.max(0, Math.min(at, frames - length));
        Sounds.assertSame(
            Sounds.cut(sound, at, at + length),
            Sounds.read(file, reader, at, length),
            what + ", " + length + " from " + at);
        at += length;
      }
      Sounds.assertSame(
          Sounds.cut(sound, frames - 1, frames), Sounds.read(file, reader, frames - 1, 1), what);
      Sounds.assertSame(Sounds.cut(sound, 0, 1), Sounds.read(file, reader, 0, 1), what);
    }
  }

  @Test
  void anyOrderGivesTheSameWithoutASeekTable() throws IOException {
    for (int channels = 1; channels <= 2; channels++) {
      int[][] sound = uneven(channels, 600_000, 24);
      checkAnyOrder(Sounds.write(folder.resolve(channels + ".flac"), sound, 24), sound, channels);
    }
  }

  @Test
  void anyOrderGivesTheSameWithASeekTable() throws Exception {
    int[][] sound = uneven(2, 600_000, 16);
    Files.write(folder.resolve("in.raw"), Sounds.raw(sound, 16));
    int n = 0;
    for (List<String> options :
        List.of(
            List.of("-5", "-S", "1s"),
            List.of("-5", "-S", "100x", "-S", "X"),
            List.of("-0", "--lax", "-b", "16", "-S", "0.1s"),
            List.of("-5", "--lax", "-b", "65535", "-S", "0.1s"))) {
      Path path = folder.resolve("s" + n + ".flac");
      FlacTool.encode(path, 48_000, 2, 16, options);
      checkAnyOrder(path, sound, n);
      n++;
    }
  }

  /** The offsets of the table lead into the middle of frames, or to other frames. */
  @Test
  void aWrongSeekTableDoesNoHarm() throws IOException {
    int[][] sound = uneven(2, 300_000, 24);
    byte[] good = Files.readAllBytes(Sounds.write(folder.resolve("a.flac"), sound, 24));
    List<Integer> offsets = Sounds.frameOffsets(folder.resolve("a.flac"));
    int points = 20;
    ByteArrayOutputStream table = new ByteArrayOutputStream();
    table.writeBytes(new byte[] {(byte) 0x83, 0, (byte) (points * 18 / 256), (byte) (points * 18)});
    for (int i = 0; i < points; i++) {
      long frame = i * 12_000L / 4_096 * 4_096;
      long offset = (long) offsets.get(i * 2 + 1) - offsets.get(0) + (i % 2);
      for (int b = 7; b >= 0; b--) {
        table.write((int) (frame >>> (8 * b)));
      }
      for (int b = 7; b >= 0; b--) {
        table.write((int) (offset >>> (8 * b)));
      }
      table.write(16);
      table.write(0);
    }
    byte[] head = Arrays.copyOf(good, 42);
    head[4] = 0;
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    all.writeBytes(head);
    all.writeBytes(table.toByteArray());
    all.write(good, 42, good.length - 42);
    Path path = Sounds.put(folder.resolve("b.flac"), all.toByteArray());
    try (FlacFile file = FlacFile.open(path)) {
      assertEquals(points, file.seekPoints().count());
    }
    checkAnyOrder(path, sound, 5);
  }

  /** Blocks of differing lengths, which number their samples; RFC 9639, 9.1. */
  @Test
  void blocksOfDifferingLengthsAreReadInAnyOrder() throws Exception {
    Random random = new Random(3);
    int[][] sound = uneven(2, 200_000, 16);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    int at = 0;
    while (at < 200_000) {
      int length = Math.min(16 + random.nextInt(4_080), 200_000 - at);
      Path part = folder.resolve("part.flac");
      Sounds.write(part, Sounds.cut(sound, at, at + length), 16);
      byte[] bytes = Files.readAllBytes(part);
      Files.delete(part);
      if (at == 0) {
        byte[] head = Arrays.copyOf(bytes, 42);
        head[8] = 0;
        head[9] = 16;
        Arrays.fill(head, 12, 18, (byte) 0);
        Arrays.fill(head, 26, 42, (byte) 0);
        Sounds.setFrames(head, 200_000);
        out.writeBytes(head);
      }
      out.writeBytes(variable(Arrays.copyOfRange(bytes, 42, bytes.length), at, length));
      at += length;
    }
    byte[] whole = out.toByteArray();
    Path path = Sounds.put(folder.resolve("a.flac"), whole);
    checkAnyOrder(path, sound, 8);
    Sounds.setFrames(whole, 0);
    Path uncounted = Sounds.put(folder.resolve("b.flac"), whole);
    checkAnyOrder(uncounted, sound, 9);
    FlacTool.need("flac", "flac");
    FlacTool.run(folder, List.of("flac", "-s", "-t", "a.flac"));
  }

  /** The one frame of a file, numbered by its first sample instead; its body stays as it is. */
  private static byte[] variable(byte[] frame, int firstFrame, int length) {
    BitWriter header = new BitWriter();
    header.write(0xFFF9, 16);
    header.write(7, 4);
    header.write(frame[2] & 15, 4);
    header.write(frame[3], 8);
    // A first byte 1110xxxx or 11110xxx and two or three more: up to 16 or 21 bits.
    boolean three = firstFrame < 1 << 16;
    header.write(three ? 0xE0 | firstFrame >> 12 : 0xF0 | firstFrame >> 18, 8);
    if (!three) {
      header.write(0x80 | (firstFrame >> 12 & 0x3F), 8);
    }
    header.write(0x80 | (firstFrame >> 6 & 0x3F), 8);
    header.write(0x80 | (firstFrame & 0x3F), 8);
    header.write(length - 1, 16);
    header.write(Crc.crc8(header.bytes(), 0, header.count()), 8);
    // Sync 2, codes 2, number 0 in 1 byte, the length in 2 unless it is 4096, checksum 1.
    int body = length == 4_096 ? 6 : 8;
    for (int i = body; i < frame.length - 2; i++) {
      header.write(frame[i], 8);
    }
    header.write(Crc.crc16(header.bytes(), 0, header.count()), 16);
    return Arrays.copyOf(header.bytes(), header.count());
  }

  @Test
  void severalThreadsReadOneFileEachItsOwnRange() throws Exception {
    int[][] sound = uneven(2, 400_000, 24);
    Path path = Sounds.write(folder.resolve("a.flac"), sound, 24);
    ExecutorService threads = Executors.newFixedThreadPool(4);
    try (FlacFile file = FlacFile.open(path)) {
      List<Callable<int[][]>> tasks = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        int from = i * 50_000;
        tasks.add(
            () -> {
              try (SoundReader reader = file.openReader()) {
                return Sounds.read(file, reader, from, 50_000);
              }
            });
      }
      List<Future<int[][]>> parts = threads.invokeAll(tasks);
      for (int i = 0; i < 8; i++) {
        Sounds.assertSame(
            Sounds.cut(sound, i * 50_000, (i + 1) * 50_000), parts.get(i).get(), "part " + i);
      }
    } finally {
      threads.shutdown();
    }
    assertTrue(threads.isShutdown());
  }
}
