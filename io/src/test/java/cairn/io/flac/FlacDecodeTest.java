package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Files made by the reference encoder and by ffmpeg's own, against the reference decoder. */
class FlacDecodeTest {

  @TempDir Path folder;

  private static final List<List<String>> OPTIONS =
      List.of(
          List.of("-0"),
          List.of("-5"),
          List.of("-8"),
          List.of("-5", "--no-seektable"),
          List.of("-5", "-S", "0.05s"),
          List.of("-3", "-b", "1152"),
          List.of("-5", "--lax", "-b", "1001"),
          List.of("-2", "--lax", "-b", "17"),
          List.of("-8", "--lax", "-b", "32768"),
          List.of("-8", "--lax", "-b", "65535"),
          List.of("-8", "--lax", "-l", "32", "-b", "4608"),
          List.of("-5", "--lax", "-l", "20", "-q", "15", "-r", "0,12"),
          List.of("-5", "-l", "1", "-q", "5"),
          List.of("-0", "--no-padding", "--disable-fixed-subframes"),
          List.of("-5", "--disable-constant-subframes", "-e", "-p"));

  private static List<NamedSound> cases() {
    List<NamedSound> cases = new ArrayList<>();
    for (int bits : new int[] {8, 16, 24, 32}) {
      for (int channels = 1; channels <= 2; channels++) {
        String name = bits + "-" + channels;
        cases.add(
            new NamedSound("parade-" + name, Sounds.parade(channels, 20_003, bits, bits), bits));
        int[][] mixed = Sounds.noise(channels, 20_003, bits, bits);
        int[][] rails = Sounds.rails(channels, 6_000, bits, bits);
        for (int c = 0; c < channels; c++) {
          System.arraycopy(rails[c], 0, mixed[c], 4_000, 6_000);
          Arrays.fill(mixed[c], 12_000, 19_000, -3);
        }
        cases.add(new NamedSound("mixed-" + name, mixed, bits));
      }
    }
    int[][] wasted = Sounds.parade(2, 9_000, 16, 4);
    for (int[] channel : wasted) {
      for (int i = 0; i < channel.length; i++) {
        channel[i] <<= 7;
      }
    }
    cases.add(new NamedSound("wasted", wasted, 24));
    return cases;
  }

  private void check(Path path, int[][] sound, int bits) throws IOException {
    String what = path.getFileName().toString();
    try (FlacFile file = FlacFile.open(path)) {
      assertEquals(sound[0].length, file.format().frames(), what);
      assertEquals(bits, file.format().bits(), what);
      assertEquals(bits <= 24 ? bits : 0, file.wholeBits(), what);
      assertEquals(List.of(), file.mended(), what);
      Sounds.assertSame(sound, Sounds.readAll(file, 3_333), what);
      assertTrue(file.verifyMd5(), what);
    }
  }

  @Test
  void filesOfTheReferenceEncoderDecodeAsTheReferenceDecoderDoes() throws Exception {
    FlacTool.need("flac", "flac");
    for (NamedSound c : cases()) {
      byte[] raw = Sounds.raw(c.sound, c.bits);
      Files.write(folder.resolve("in.raw"), raw);
      for (int i = 0; i < OPTIONS.size(); i++) {
        Path path = folder.resolve(c.name + "-" + i + ".flac");
        FlacTool.encode(path, 48_000, c.sound.length, c.bits, OPTIONS.get(i));
        check(path, c.sound, c.bits);
      }
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
              c.name + "-2.flac"));
      assertArrayEquals(raw, Files.readAllBytes(folder.resolve("out.raw")), c.name);
    }
  }

  /** 12 and 20 valid bits in a wider container, which raw input cannot say. */
  @Test
  void depthsBetweenWholeBytesDecode() throws Exception {
    FlacTool.need("flac", "flac");
    for (int bits : new int[] {12, 20}) {
      int[][] sound = Sounds.parade(2, 9_000, bits, bits);
      int width = (bits + 7) / 8;
      int[][] shifted = new int[2][9_000];
      for (int c = 0; c < 2; c++) {
        for (int i = 0; i < 9_000; i++) {
          shifted[c][i] = sound[c][i] << (8 * width - bits);
        }
      }
      Files.write(
          folder.resolve("in.wav"), wave(Sounds.raw(shifted, 8 * width), bits, new byte[0]));
      for (String level : List.of("-0", "-5", "-8")) {
        FlacTool.run(folder, List.of("flac", "-s", "-f", level, "-o", "a.flac", "in.wav"));
        check(folder.resolve("a.flac"), sound, bits);
      }
    }
  }

  @Test
  void filesOfFfmpegDecodeAsTheReferenceDecoderDoes() throws Exception {
    FlacTool.need("ffmpeg", "ffmpeg");
    FlacTool.need("flac", "flac");
    List<List<String>> options =
        List.of(
            List.of("-compression_level", "0"),
            List.of("-compression_level", "5"),
            List.of("-compression_level", "12"),
            List.of("-lpc_type", "none"),
            List.of("-lpc_type", "fixed"),
            List.of("-lpc_type", "levinson", "-max_prediction_order", "32", "-strict", "-2"),
            List.of("-lpc_type", "cholesky", "-lpc_passes", "2", "-frame_size", "2304"),
            List.of("-ch_mode", "mid_side", "-frame_size", "500"));
    for (int bits : new int[] {16, 24}) {
      for (int channels = 1; channels <= 2; channels++) {
        int[][] sound = Sounds.parade(channels, 14_000, bits, 8);
        byte[] raw = Sounds.raw(sound, bits);
        Files.write(folder.resolve("in.raw"), raw);
        for (List<String> option : options) {
          List<String> command =
              new ArrayList<>(
                  List.of(
                      "ffmpeg",
                      "-v",
                      "error",
                      "-y",
                      "-f",
                      "s" + bits + "le",
                      "-ar",
                      "48000",
                      "-ac",
                      "" + channels,
                      "-i",
                      "in.raw",
                      "-c:a",
                      "flac"));
          command.addAll(option);
          command.add("a.flac");
          FlacTool.run(folder, command);
          check(folder.resolve("a.flac"), sound, bits);
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
                  "a.flac"));
          assertArrayEquals(raw, Files.readAllBytes(folder.resolve("out.raw")), option.toString());
        }
      }
    }
  }

  /** Written to a pipe, the encoder cannot go back to fill in length and MD5. */
  @Test
  void aPipedFileIsCounted() throws Exception {
    FlacTool.need("flac", "flac");
    for (int frames : new int[] {1, 4_095, 4_096, 4_097, 100_000}) {
      int[][] sound = Sounds.parade(2, frames, 24, frames);
      Files.write(folder.resolve("in.raw"), Sounds.raw(sound, 24));
      FlacTool.run(
          folder,
          List.of(
              "sh",
              "-c",
              "cat in.raw | flac -s --force-raw-format --endian=little --sign=signed --channels=2"
                  + " --bps=24 --sample-rate=48000 -c - | cat > a.flac"));
      try (FlacFile file = FlacFile.open(folder.resolve("a.flac"))) {
        assertEquals(0, file.knownFrames());
        assertEquals(frames, file.format().frames());
        assertFalse(file.verifyMd5());
        Sounds.assertSame(sound, Sounds.readAll(file, 10_000), "" + frames);
      }
    }
  }

  /** EBU Tech 3285 v2; the encoder keeps the chunk when asked to. */
  @Test
  void theTimeReferenceOfTheWaveFileIsFound() throws Exception {
    FlacTool.need("flac", "flac");
    int[][] sound = Sounds.parade(2, 500, 16, 1);
    byte[] bext = new byte[8 + 602];
    ByteBuffer chunk = ByteBuffer.wrap(bext).order(ByteOrder.LITTLE_ENDIAN);
    chunk.put("bext".getBytes(StandardCharsets.US_ASCII)).putInt(602);
    chunk.put("parade, take 2".getBytes(StandardCharsets.US_ASCII));
    chunk.putLong(8 + 338, 172_800_000L);
    Files.write(folder.resolve("in.wav"), wave(Sounds.raw(sound, 16), 16, bext));
    FlacTool.run(
        folder, List.of("flac", "-s", "-f", "--keep-foreign-metadata", "-o", "a.flac", "in.wav"));
    try (FlacFile file = FlacFile.open(folder.resolve("a.flac"))) {
      assertEquals(172_800_000L, file.broadcast().orElseThrow().timeReference());
      assertEquals("parade, take 2", file.broadcast().orElseThrow().description());
    }
    FlacTool.run(folder, List.of("flac", "-s", "-f", "-o", "b.flac", "in.wav"));
    try (FlacFile file = FlacFile.open(folder.resolve("b.flac"))) {
      assertTrue(file.broadcast().isEmpty());
    }
  }

  /** A stereo WAVE file, extensible where the depth is not a whole number of bytes. */
  private static byte[] wave(byte[] raw, int bits, byte[] firstChunk) {
    int width = (bits + 7) / 8;
    boolean extensible = bits % 8 != 0;
    int fmt = extensible ? 40 : 16;
    ByteBuffer b = ByteBuffer.allocate(12 + firstChunk.length + 8 + fmt + 8 + raw.length);
    b.order(ByteOrder.LITTLE_ENDIAN);
    b.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(b.capacity() - 8);
    b.put("WAVE".getBytes(StandardCharsets.US_ASCII)).put(firstChunk);
    b.put("fmt ".getBytes(StandardCharsets.US_ASCII)).putInt(fmt);
    b.putShort((short) (extensible ? 0xFFFE : 1)).putShort((short) 2).putInt(48_000);
    b.putInt(48_000 * 2 * width).putShort((short) (2 * width)).putShort((short) (8 * width));
    if (extensible) {
      b.putShort((short) 22).putShort((short) bits).putInt(3);
      // The identifier of PCM (New Multimedia Data Types and Data Techniques, 1994).
      b.putInt(1).putShort((short) 0).putShort((short) 0x10);
      b.put(new byte[] {(byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71});
    }
    b.put("data".getBytes(StandardCharsets.US_ASCII)).putInt(raw.length).put(raw);
    return b.array();
  }
}
