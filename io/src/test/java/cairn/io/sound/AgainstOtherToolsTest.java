package cairn.io.sound;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.OutsideTool;
import cairn.io.aiff.AiffLayout;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.SoundFormat.Kind;
import cairn.io.wave.WaveLayout;
import java.io.IOException;
import java.io.OutputStream;
import java.io.RandomAccessFile;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Files that ffmpeg and sox wrote decode to what they say is in them, and what is written here they
 * read. ffmpeg turns every coding into doubles exactly; sox works in 32-bit whole numbers, so that
 * it is exact for PCM and rounds floats to 2^−31. The source is noise with more bits than any PCM
 * below 32 bits, so that the tools round, which decides nothing here.
 */
class AgainstOtherToolsTest {

  private static final int RATE_HZ = 44_100;
  private static final int FRAMES = 1001;

  @TempDir Path folder;

  @ParameterizedTest
  @CsvSource({
    "wav, pcm_u8",
    "wav, pcm_s16le",
    "wav, pcm_s24le",
    "wav, pcm_s32le",
    "wav, pcm_f32le",
    "wav, pcm_f64le",
    "aiff, pcm_s8",
    "aiff, pcm_u8",
    "aiff, pcm_s16be",
    "aiff, pcm_s16le",
    "aiff, pcm_s24be",
    "aiff, pcm_s32be",
    "aiff, pcm_f32be",
    "aiff, pcm_f64be"
  })
  void whatFfmpegWritesDecodesAsItSays(String format, String codec) throws Exception {
    OutsideTool ffmpeg = ffmpeg();
    int channels = 2;
    Path file = folder.resolve("stem." + format);
    write(ffmpeg, channels, "-c:a", codec, "-f", format, file);
    try (LinearSoundFile sound = ContainerVectorsTest.open(file)) {
      assertEquals(channels, sound.format().channels());
      assertEquals(RATE_HZ, sound.format().sampleRateHz());
      assertEquals(FRAMES, sound.format().frames());
      assertEquals(List.of(), sound.mended());
      assertArrayEquals(readByFfmpeg(ffmpeg, file, channels), Samples.of(sound));
    }
  }

  @Test
  void aWideFileOfFfmpegDecodesAsItSays() throws Exception {
    OutsideTool ffmpeg = ffmpeg();
    Path file = folder.resolve("wide.wav");
    write(ffmpeg, 2, "-c:a", "pcm_s24le", "-rf64", "always", file);
    try (LinearSoundFile sound = ContainerVectorsTest.open(file)) {
      assertEquals(Container.RF64, sound.format().container());
      assertEquals(List.of(), sound.mended());
      assertArrayEquals(readByFfmpeg(ffmpeg, file, 2), Samples.of(sound));
    }
  }

  @Test
  void aBroadcastChunkOfFfmpegIsRead() throws Exception {
    OutsideTool ffmpeg = ffmpeg();
    Path file = folder.resolve("stem.wav");
    write(
        ffmpeg,
        1,
        "-write_bext",
        "1",
        "-metadata",
        "description=Parade band: surdo",
        "-metadata",
        "time_reference=158760000",
        file);
    try (LinearSoundFile sound = ContainerVectorsTest.open(file)) {
      assertEquals(
          new BroadcastInfo("Parade band: surdo", 158_760_000L), sound.broadcast().orElseThrow());
    }
  }

  @ParameterizedTest
  @CsvSource({"wav, pcm_s24le", "aiff, pcm_s24be"})
  void whatFfmpegWritesToAPipeIsReadToItsEnd(String format, String codec) throws Exception {
    OutsideTool ffmpeg = ffmpeg();
    Path raw = noise(2);
    byte[] piped =
        ffmpeg.run(
            "-v", "error", "-f", "f64le", "-ar", RATE_HZ, "-ac", 2, "-i", raw, "-c:a", codec, "-f",
            format, "-");
    Path whole = folder.resolve("whole." + format);
    write(ffmpeg, 2, "-c:a", codec, whole);
    Path file = Files.write(folder.resolve("piped." + format), piped);
    try (LinearSoundFile sound = ContainerVectorsTest.open(file)) {
      assertTrue(sound.mended().get(0).contains("does not tell its size"));
      assertArrayEquals(readByFfmpeg(ffmpeg, whole, 2), Samples.of(sound));
    }
  }

  @ParameterizedTest
  @CsvSource({
    "wav, pcm_alaw, A-law",
    "wav, pcm_mulaw, mu-law",
    "wav, adpcm_ms, Microsoft ADPCM",
    "wav, adpcm_ima_wav, IMA ADPCM",
    "aiff, pcm_alaw, A-law",
    "aiff, pcm_mulaw, mu-law",
    "aiff, adpcm_ima_qt, IMA ADPCM"
  })
  void aCompressedFileOfFfmpegIsRefusedByName(String format, String codec, String name)
      throws Exception {
    Path file = folder.resolve("stem." + format);
    write(ffmpeg(), 1, "-c:a", codec, file);
    UnusableStem.NotReadHere refused =
        assertThrows(UnusableStem.NotReadHere.class, () -> ContainerVectorsTest.open(file));
    assertTrue(refused.getMessage().contains("(" + name + ", "), refused.getMessage());
  }

  @ParameterizedTest
  @CsvSource({
    "wav, 8, unsigned-integer",
    "wav, 16, signed-integer",
    "wav, 24, signed-integer",
    "wav, 32, signed-integer",
    "wav, 32, floating-point",
    "wav, 64, floating-point",
    "aiff, 8, signed-integer",
    "aiff, 16, signed-integer",
    "aiff, 24, signed-integer",
    "aiff, 32, signed-integer",
    "aifc, 16, signed-integer",
    "aifc, 24, signed-integer",
    "aifc, 32, signed-integer"
  })
  void whatSoxWritesDecodesAsItSays(String format, int bits, String encoding) throws Exception {
    OutsideTool sox = OutsideTool.named("sox", "sox");
    int channels = 1;
    Path file = folder.resolve("stem." + format);
    sox.run(
        "-D",
        "-V1",
        "-t",
        "f64",
        "-L",
        "-r",
        RATE_HZ,
        "-c",
        channels,
        noise(channels),
        "-t",
        format,
        "-b",
        bits,
        "-e",
        encoding,
        file);
    double[][] theirs =
        Samples.planar(sox.run("-D", "-V1", file, "-t", "f64", "-L", "-"), channels);
    try (LinearSoundFile sound = ContainerVectorsTest.open(file)) {
      assertEquals(bits, sound.format().bits());
      // It leaves the pad byte out (sox 14.4.2), but not with 8 bits.
      boolean odd = !format.equals("wav") && bits == 24;
      assertEquals(
          odd ? List.of("no pad byte after 'SSND' chunk of odd size") : List.of(), sound.mended());
      double tolerance = sound.format().kind() == Kind.FLOAT ? 0x1p-31 : 0.0;
      double[][] ours = Samples.of(sound);
      assertEquals(FRAMES, ours[0].length);
      for (int c = 0; c < channels; c++) {
        assertArrayEquals(theirs[c], ours[c], tolerance);
      }
    }
  }

  @ParameterizedTest
  @EnumSource(
      mode = EnumSource.Mode.EXCLUDE,
      names = {"FLOAT_32_BIG", "FLOAT_64_BIG"})
  void whatIsWrittenHereOthersRead(LinearCoding coding) throws Exception {
    OutsideTool ffmpeg = ffmpeg();
    Path file = folder.resolve("written");
    int bits = coding.kind() == Kind.FLOAT ? 24 : coding.bits();
    for (int channels = 1; channels <= 2; channels++) {
      double[][] noise = Samples.noise(9, channels, FRAMES, bits);
      try (LinearSoundWriter writer = writer(coding, channels, Files.newOutputStream(file))) {
        writer.write(noise, 0, FRAMES);
      }
      assertArrayEquals(noise, readByFfmpeg(ffmpeg, file, channels));
    }
  }

  /** Mono is plain with a broadcast chunk, stereo extensible, where there is a choice. */
  private static LinearSoundWriter writer(LinearCoding coding, int channels, OutputStream out)
      throws IOException {
    if (coding.order() == ByteOrder.BIG_ENDIAN) {
      return new AiffLayout(coding, RATE_HZ, channels, FRAMES).writeTo(out);
    }
    WaveLayout plain = WaveLayout.plain(coding, RATE_HZ, channels, FRAMES);
    return channels == 1
        ? plain.with(new BroadcastInfo("Parade band: caixa", 48_000)).writeTo(out)
        : plain.asExtensible().writeTo(out);
  }

  @Test
  void aWideFileWrittenHereHasItsLengthAndItsEndForOthersToo() throws Exception {
    OutsideTool ffprobe = OutsideTool.named("ffprobe", "ffmpeg");
    long frames = 1_000_000_000L;
    WaveLayout layout = WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 50_000, 2, frames);
    Path file = folder.resolve("long.wav");
    try (RandomAccessFile sparse = new RandomAccessFile(file.toFile(), "rw")) {
      sparse.write(layout.header());
      sparse.setLength(layout.fileBytes());
    }
    String told =
        new String(
            ffprobe.run(
                "-v",
                "error",
                "-show_entries",
                "stream=duration_ts,codec_name",
                "-of",
                "csv=p=0",
                file),
            StandardCharsets.US_ASCII);
    assertEquals("pcm_s24le," + frames, told.strip());
  }

  private static OutsideTool ffmpeg() {
    return OutsideTool.named("ffmpeg", "ffmpeg");
  }

  /** A file of interleaved doubles. */
  private Path noise(int channels) throws IOException {
    return Files.write(
        folder.resolve("noise.f64"),
        Samples.interleaved(Samples.noise(channels, channels, FRAMES, 40)));
  }

  private void write(OutsideTool ffmpeg, int channels, Object... output) throws Exception {
    List<Object> arguments = new ArrayList<>();
    Collections.addAll(
        arguments, "-v", "error", "-y", "-f", "f64le", "-ar", RATE_HZ, "-ac", channels);
    Collections.addAll(arguments, "-i", noise(channels));
    Collections.addAll(arguments, output);
    ffmpeg.run(arguments.toArray());
  }

  private static double[][] readByFfmpeg(OutsideTool ffmpeg, Path file, int channels)
      throws Exception {
    return Samples.planar(
        ffmpeg.run("-v", "error", "-i", file, "-c:a", "pcm_f64le", "-f", "f64le", "-"), channels);
  }
}
