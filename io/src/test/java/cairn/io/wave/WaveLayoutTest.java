package cairn.io.wave;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.BroadcastInfo;
import cairn.io.sound.ChunkBytes;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundFile;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.Samples;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.SoundFormat.Kind;
import cairn.io.sound.SoundReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class WaveLayoutTest {

  @TempDir Path folder;

  @Test
  void aPlainFileIsTheHandMadeOneByteForByte() throws IOException {
    // The entry wav-pcm16-mono of standards/container-vectors.json.
    byte[] expected =
        HexFormat.ofDelimiter(" ")
            .parseHex(
                "52 49 46 46 30 00 00 00 57 41 56 45 66 6D 74 20 10 00 00 00 01 00 01 00 80 BB 00"
                    + " 00 00 77 01 00 02 00 10 00 64 61 74 61 0C 00 00 00 00 00 00 40 00 C0 FF 7F"
                    + " 00 80 01 00");
    double[][] samples = {{0.0, 0.5, -0.5, 32767 / 32768.0, -1.0, 1 / 32768.0}};
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (LinearSoundWriter writer =
        WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, 6).writeTo(out)) {
      writer.write(samples, 0, 6);
    }
    assertArrayEquals(expected, out.toByteArray());
  }

  @ParameterizedTest
  @EnumSource(
      names = {
        "UNSIGNED_8",
        "PCM_16_LITTLE",
        "PCM_24_LITTLE",
        "PCM_32_LITTLE",
        "FLOAT_32_LITTLE",
        "FLOAT_64_LITTLE"
      })
  void whatIsWrittenIsReadBackBitForBit(LinearCoding coding) throws IOException {
    int bits = coding == LinearCoding.FLOAT_32_LITTLE ? 24 : Math.min(32, coding.bits());
    Random random = new Random(coding.bits());
    for (int channels = 1; channels <= 2; channels++) {
      for (int frames : new int[] {1, 7, 40_001}) {
        double[][] noise = Samples.noise(frames, channels, frames, bits);
        WaveLayout layout = WaveLayout.plain(coding, 44_100, channels, frames);
        if (random.nextBoolean()) {
          layout = layout.asExtensible();
        }
        Path path = folder.resolve("stem.wav");
        try (LinearSoundWriter writer = layout.writeTo(Files.newOutputStream(path))) {
          for (int done = 0; done < frames; ) {
            int count = Math.min(frames - done, 1 + random.nextInt(20_000));
            writer.write(noise, done, count);
            done += count;
          }
          assertEquals(0, writer.beyondFullScale());
        }
        assertEquals(layout.fileBytes(), Files.size(path));
        try (LinearSoundFile file = WaveFile.open(path)) {
          assertEquals(
              new SoundFormat(
                  Container.WAVE, coding.kind(), coding.bits(), 44_100, channels, frames),
              file.format());
          assertEquals(List.of(), file.mended());
          assertArrayEquals(noise, Samples.of(file));
        }
      }
    }
  }

  @Test
  void anySeededRangeIsWhatReadingThroughGives() throws IOException {
    int frames = 200_003;
    Path path = folder.resolve("stem.wav");
    double[][] noise = Samples.noise(11, 2, frames, 24);
    try (LinearSoundWriter writer =
        WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 48_000, 2, frames)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(noise, 0, frames);
    }
    try (LinearSoundFile file = WaveFile.open(path);
        SoundReader one = file.openReader();
        SoundReader other = file.openReader()) {
      for (long seed = 0; seed < 300; seed++) {
        Random random = new Random(seed);
        int first = random.nextInt(frames);
        int count = random.nextInt(Math.min(frames - first, 1 << random.nextInt(18)) + 1);
        int at = random.nextInt(5);
        double[][] into = new double[2][at + count];
        (random.nextBoolean() ? one : other).read(first, count, into, at);
        for (int c = 0; c < 2; c++) {
          for (int i = 0; i < at; i++) {
            assertEquals(0.0, into[c][i], "seed " + seed);
          }
          for (int i = 0; i < count; i++) {
            assertEquals(noise[c][first + i], into[c][at + i], "seed " + seed);
          }
        }
      }
    }
  }

  @Test
  void whatIsBeyondFullScaleIsBroughtToItAndCounted() throws IOException {
    double[][] loud = {{1.0, -1.5, 0.25, -1.0}};
    Path path = folder.resolve("loud.wav");
    try (LinearSoundWriter writer =
        WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, 4)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(loud, 0, 4);
      assertEquals(2, writer.beyondFullScale());
    }
    try (LinearSoundFile file = WaveFile.open(path)) {
      assertArrayEquals(new double[][] {{32767 / 32768.0, -1.0, 0.25, -1.0}}, Samples.of(file));
    }
  }

  @Test
  void wholeNumbersAreTheNearestHalvesUpwards() throws IOException {
    double lsb = 1 / 32768.0;
    double[][] between = {{0.5 * lsb, -0.5 * lsb, 0.4999 * lsb, -0.5001 * lsb}};
    Path path = folder.resolve("between.wav");
    try (LinearSoundWriter writer =
        WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, 4)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(between, 0, 4);
    }
    try (LinearSoundFile file = WaveFile.open(path)) {
      assertArrayEquals(new double[][] {{lsb, 0.0, 0.0, -lsb}}, Samples.of(file));
    }
  }

  @Test
  void aBroadcastChunkComesBack() throws IOException {
    BroadcastInfo info = new BroadcastInfo("Parade band: surdo", 172_800_000L);
    Path path = folder.resolve("surdo.wav");
    try (LinearSoundWriter writer =
        WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 48_000, 1, 1)
            .with(info)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(new double[][] {{0.5}}, 0, 1);
    }
    try (LinearSoundFile file = WaveFile.open(path)) {
      assertEquals(Optional.of(info), file.broadcast());
      assertEquals(List.of(), file.mended());
    }
  }

  @Test
  void theFileTurnsWideExactlyWhereASizeWouldNotFit() {
    // 44 bytes of header, 8 of them outside the RIFF size; 0xFFFFFFFF itself is a mark.
    long mostFrames = (0xFFFF_FFFEL - 36) / 2;
    WaveLayout last = WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, mostFrames);
    WaveLayout next = WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, mostFrames + 1);
    assertFalse(last.isWide());
    assertTrue(next.isWide());
    assertEquals(44 + 2 * mostFrames, last.fileBytes());
    assertEquals(80 + 2 * (mostFrames + 1), next.fileBytes());
  }

  @ParameterizedTest
  @EnumSource(names = {"PCM_24_LITTLE", "FLOAT_32_LITTLE"})
  void framesBeyondFourGibibytesAreReadInAWideFile(LinearCoding coding) throws IOException {
    long frames = 1_000_000_000L;
    WaveLayout layout =
        WaveLayout.plain(coding, 96_000, 2, frames).with(new BroadcastInfo("long parade", 1));
    Path path = folder.resolve("long.wav");
    double[][] noise = Samples.noise(3, 2, 1000, 24);
    byte[] tail = new byte[1000 * 2 * coding.bytes()];
    coding.encode(noise, 0, 1000, 2, tail);
    // Only the logical length is large: no blocks are written between header and tail.
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "rw")) {
      file.write(layout.header());
      file.setLength(layout.fileBytes());
      file.seek(layout.fileBytes() - tail.length);
      file.write(tail);
    }
    try (LinearSoundFile file = WaveFile.open(path);
        SoundReader reader = file.openReader()) {
      assertEquals(
          new SoundFormat(Container.RF64, coding.kind(), coding.bits(), 96_000, 2, frames),
          file.format());
      assertEquals(List.of(), file.mended());
      assertEquals("long parade", file.broadcast().orElseThrow().description());
      double[][] into = new double[2][1000];
      reader.read(frames - 1000, 1000, into, 0);
      assertArrayEquals(noise, into);
      reader.read(frames / 2, 1000, into, 0);
      assertArrayEquals(new double[2][1000], into);
    }
  }

  @Test
  void anInterruptedRiffBeyondFourGibibytesIsReadToItsEnd() throws IOException {
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 48_000, 2, 1);
    byte[] header = layout.header();
    Arrays.fill(header, 4, 8, (byte) 0xFF);
    Arrays.fill(header, header.length - 4, header.length, (byte) 0xFF);
    long frames = 800_000_000L;
    Path path = folder.resolve("cut.wav");
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "rw")) {
      file.write(header);
      file.setLength(header.length + 6 * frames + 5);
      file.seek(header.length + 6 * (frames - 1));
      file.write(new byte[] {0, 0, 0x40, 0, 0, (byte) 0xC0});
    }
    try (LinearSoundFile file = WaveFile.open(path);
        SoundReader reader = file.openReader()) {
      assertEquals(frames, file.format().frames());
      assertEquals(
          List.of(
              "'data' chunk does not tell its size: the 4800000005 bytes to the end are read",
              "last sample is cut off after 5 bytes: left out"),
          file.mended());
      double[][] into = new double[2][1];
      reader.read(frames - 1, 1, into, 0);
      assertArrayEquals(new double[][] {{0.5}, {-0.5}}, into);
    }
  }

  @Test
  void aSizeThatWasCutTo32BitsIsMadeWhole() throws IOException {
    // 2^32 + 600 bytes of data, of which the header says 600; then another chunk.
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 48_000, 2, 100);
    long dataBytes = 600 + (1L << 32);
    Path path = folder.resolve("cut.wav");
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "rw")) {
      file.write(layout.header());
      file.seek(layout.header().length + dataBytes);
      file.write(ChunkBytes.little().chunk("LIST", new byte[8]).bytes());
    }
    try (LinearSoundFile file = WaveFile.open(path)) {
      assertEquals(dataBytes / 6, file.format().frames());
      assertEquals(
          List.of(
              "'data' chunk says 600 bytes, cut to 32 bits: 4294967896 are read",
              "last sample is cut off after 4 bytes: left out"),
          file.mended());
    }
  }

  @Test
  void theNumberOfFramesIsKept() throws IOException {
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, 2);
    double[][] block = new double[1][3];
    LinearSoundWriter writer = layout.writeTo(OutputStream.nullOutputStream());
    assertThrows(IllegalStateException.class, () -> writer.write(block, 0, 3));
    writer.write(block, 0, 1);
    assertThrows(IllegalStateException.class, writer::close);
  }

  @Test
  void whatIsNotFiniteIsNotWritten() throws IOException {
    double[][] bad = {{Double.NaN}};
    double[][] tooLarge = {{1e300}};
    for (LinearCoding coding : LinearCoding.values()) {
      byte[] raw = new byte[8];
      assertThrows(IllegalArgumentException.class, () -> coding.encode(bad, 0, 1, 1, raw));
      if (coding.kind() == Kind.FLOAT && coding.bytes() == 4) {
        assertThrows(IllegalArgumentException.class, () -> coding.encode(tooLarge, 0, 1, 1, raw));
      }
    }
  }

  @Test
  void aLayoutThatCannotBeWrittenIsTheCallersFault() {
    assertThrows(
        IllegalArgumentException.class,
        () -> WaveLayout.plain(LinearCoding.PCM_16_BIG, 48_000, 1, 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 3, 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 0, 1, 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> WaveLayout.plain(LinearCoding.PCM_16_LITTLE, 48_000, 1, -1));
  }
}
