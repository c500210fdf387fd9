package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FlacWriterTest {

  @TempDir Path folder;

  private static List<NamedSound> cases() {
    List<NamedSound> cases = new ArrayList<>();
    for (int bits : new int[] {4, 8, 11, 12, 16, 20, 24}) {
      for (int channels = 1; channels <= 2; channels++) {
        String name = bits + "-" + channels;
        cases.add(
            new NamedSound("parade-" + name, Sounds.parade(channels, 9_001, bits, bits), bits));
        cases.add(new NamedSound("noise-" + name, Sounds.noise(channels, 4_100, bits, bits), bits));
        cases.add(new NamedSound("rails-" + name, Sounds.rails(channels, 8_192, bits, bits), bits));
        cases.add(new NamedSound("silence-" + name, new int[channels][5_000], bits));
        cases.add(new NamedSound("one-" + name, Sounds.noise(channels, 1, bits, bits), bits));
        cases.add(new NamedSound("five-" + name, Sounds.noise(channels, 5, bits, bits), bits));
      }
    }
    int[][] impulse = new int[2][4_096];
    impulse[0][1_000] = (1 << 23) - 1;
    impulse[1][3_000] = -(1 << 23);
    cases.add(new NamedSound("impulse", impulse, 24));
    int[][] sameOnBoth = Sounds.parade(1, 4_096, 24, 3);
    cases.add(new NamedSound("same", new int[][] {sameOnBoth[0], sameOnBoth[0]}, 24));
    return cases;
  }

  @Test
  void whatIsWrittenIsReadBackExactly() throws IOException {
    for (NamedSound c : cases()) {
      Path path = Sounds.write(folder.resolve(c.name + ".flac"), c.sound, c.bits);
      try (FlacFile file = FlacFile.open(path)) {
        assertEquals(c.sound[0].length, file.format().frames(), c.name);
        assertEquals(c.bits, file.format().bits(), c.name);
        Sounds.assertSame(c.sound, Sounds.readAll(file, 1_000), c.name);
        assertTrue(file.verifyMd5(), c.name);
        assertEquals(List.of(), file.mended(), c.name);
      }
    }
  }

  /** The reference decoder tests checksums, length and MD5. */
  @Test
  void theReferenceDecoderFindsNoFault() throws Exception {
    FlacTool.need("flac", "flac");
    List<String> command = new ArrayList<>(List.of("flac", "-s", "-t", "-w"));
    for (NamedSound c : cases()) {
      Path path = Sounds.write(folder.resolve(c.name + ".flac"), c.sound, c.bits);
      command.add(path.getFileName().toString());
    }
    FlacTool.run(folder, command);
  }

  @Test
  void theReferenceDecoderGivesTheSameSamples() throws Exception {
    FlacTool.need("flac", "flac");
    for (int bits : new int[] {16, 24}) {
      int[][] sound = Sounds.parade(2, 10_000, bits, 5);
      Path path = Sounds.write(folder.resolve("a" + bits + ".flac"), sound, bits);
      FlacTool.run(
          folder,
          List.of(
              "flac",
              "-s",
              "-d",
              "-f",
              "--force-raw-format",
              "--endian=little",
              "--sign=signed",
              "-o",
              "out.raw",
              path.getFileName().toString()));
      assertArrayEquals(Sounds.raw(sound, bits), Files.readAllBytes(folder.resolve("out.raw")));
    }
  }

  /** A frame's number takes two bytes from 128 on and three from 2048 on; RFC 9639, 9.1.5. */
  @Test
  void manyBlocksAreNumberedRight() throws IOException {
    Path path = folder.resolve("long.flac");
    int[][] second = Sounds.parade(1, 4_096, 8, 9);
    int blocks = 2_060;
    try (FlacWriter writer = FlacWriter.create(path, 8_000, 1, 8)) {
      for (int i = 0; i < blocks; i++) {
        second[0][0] = i % 100;
        writer.write(second, 0, 4_096);
      }
      assertEquals(blocks * 4_096L, writer.frames());
    }
    try (FlacFile file = FlacFile.open(path);
        var reader = file.openReader()) {
      for (int i : new int[] {0, 127, 128, 2_047, 2_048, blocks - 1}) {
        assertEquals(i % 100, Sounds.read(file, reader, i * 4_096L, 1)[0][0]);
      }
      assertTrue(file.verifyMd5());
    }
  }

  /** RFC 9639, 9.1.2: by code, in Hz, in tens of Hz, or only in STREAMINFO. */
  @Test
  void everyWayToStateTheRateIsRead() throws Exception {
    for (int rateHz : new int[] {1, 8_000, 44_100, 47_952, 96_000, 192_000, 352_800, 700_001}) {
      Path path = folder.resolve(rateHz + ".flac");
      try (FlacWriter writer = FlacWriter.create(path, rateHz, 1, 16)) {
        writer.write(new int[][] {{1, 2, 3}}, 0, 3);
      }
      try (FlacFile file = FlacFile.open(path)) {
        assertEquals(rateHz, file.format().sampleRateHz());
      }
    }
  }

  /** 0.5 steps round to 0, 1.5 to 2; 2^15 - 1 is the largest of 16 bits. */
  @Test
  void amplitudesAreRoundedToTheNearestStep() throws IOException {
    Path path = folder.resolve("a.flac");
    double step = 1.0 / 32_768;
    double[][] sound = {{9, 0.5 * step, 1.5 * step, -1.4 * step, -1, 1 - step, 0.25}};
    try (FlacWriter writer = FlacWriter.create(path, 48_000, 1, 16)) {
      writer.write(sound, 1, 6);
    }
    try (FlacFile file = FlacFile.open(path)) {
      assertArrayEquals(new int[] {0, 2, -1, -32_768, 32_767, 8_192}, Sounds.readAll(file, 100)[0]);
    }
  }

  @Test
  void whatDoesNotFitIsRefused() throws IOException {
    try (FlacWriter writer = FlacWriter.create(folder.resolve("a.flac"), 48_000, 1, 16)) {
      for (double amplitude : new double[] {1.0, -1.1, Double.NaN, Double.POSITIVE_INFINITY}) {
        double[][] one = {{amplitude}};
        assertThrows(IllegalArgumentException.class, () -> writer.write(one, 0, 1));
      }
      IllegalArgumentException e =
          assertThrows(
              IllegalArgumentException.class, () -> writer.write(new int[][] {{5, -32_769}}, 0, 2));
      assertEquals(
          "a sample must fit into 16 bits: steps=-32769.0, channel=0, frame=1", e.getMessage());
    }
    Path none = folder.resolve("b.flac");
    assertThrows(IllegalArgumentException.class, () -> FlacWriter.create(none, 48_000, 3, 16));
    assertThrows(IllegalArgumentException.class, () -> FlacWriter.create(none, 48_000, 1, 25));
    assertThrows(IllegalArgumentException.class, () -> FlacWriter.create(none, 0, 1, 16));
  }

  @Test
  void noFileIsWrittenOver() throws IOException {
    Path path = Files.writeString(folder.resolve("a.flac"), "something else");
    assertThrows(FileAlreadyExistsException.class, () -> FlacWriter.create(path, 48_000, 1, 16));
    assertEquals("something else", Files.readString(path));
  }

  @Test
  void aFileWithoutSamplesIsEmpty() throws IOException {
    Path path = folder.resolve("a.flac");
    FlacWriter.create(path, 48_000, 2, 24).close();
    UnusableStem.Empty e = assertThrows(UnusableStem.Empty.class, () -> FlacFile.open(path));
    assertEquals(
        "'a.flac' holds no audio (length 0); export it again or leave it out", e.getMessage());
  }
}
