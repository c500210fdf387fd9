package cairn.io.aiff;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.ChunkBytes;
import cairn.io.sound.LinearCoding;
import cairn.io.sound.LinearSoundFile;
import cairn.io.sound.LinearSoundWriter;
import cairn.io.sound.Samples;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.SoundFormat.Kind;
import cairn.io.sound.UnusableStem;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class AiffFileTest {

  private static final String HZ_48000 = "40 0E BB 80 00 00 00 00 00 00";
  private static final double[][] TWO_FRAMES = {{0.5, -1.0}};
  private static final byte[] TWO_FRAMES_16 = {0x40, 0, (byte) 0x80, 0};

  @TempDir Path folder;

  @Test
  void theFirstBytesTellWhetherAFileIsRead() {
    assertTrue(AiffFile.matches(ChunkBytes.big().id("FORM").u32(4).id("AIFF").bytes()));
    assertTrue(AiffFile.matches(ChunkBytes.big().id("FORM").u32(4).id("AIFC").bytes()));
    assertFalse(AiffFile.matches(ChunkBytes.big().id("FORM").u32(4).id("8SVX").bytes()));
    assertFalse(AiffFile.matches(ChunkBytes.big().id("FORM").u32(4).bytes()));
  }

  @Test
  void theSoundMayBeginAfterAnOffsetAndBeforeItsDescription() throws IOException {
    byte[] sound = ChunkBytes.big().u32(3).u32(0).raw(new byte[3]).raw(TWO_FRAMES_16).bytes();
    byte[] file =
        form("AIFF").chunk("SSND", sound).chunk("COMM", common(1, 2, 16, HZ_48000)).bytes();
    try (LinearSoundFile stem = open(file)) {
      assertArrayEquals(TWO_FRAMES, Samples.of(stem));
      assertEquals(List.of(), stem.mended());
    }
  }

  @ParameterizedTest
  @CsvSource({
    "NONE, 16, 40 00 80 00, PCM 16",
    "none, 16, 40 00 80 00, PCM 16",
    "twos, 16, 40 00 80 00, PCM 16",
    "twos, 8, 40 80, PCM 8",
    "sowt, 16, 00 40 00 80, PCM 16",
    "sowt, 24, 00 00 40 00 00 80, PCM 24",
    "SOWT, 32, 00 00 00 40 00 00 00 80, PCM 32",
    "in24, 24, 40 00 00 80 00 00, PCM 24",
    "in32, 32, 40 00 00 00 80 00 00 00, PCM 32",
    "42ni, 24, 00 00 40 00 00 80, PCM 24",
    "42n1, 24, 00 00 40 00 00 80, PCM 24",
    "23NI, 32, 00 00 00 40 00 00 00 80, PCM 32",
    "23n1, 32, 00 00 00 40 00 00 00 80, PCM 32",
    "fl32, 32, 3F 00 00 00 BF 80 00 00, float 32",
    "FL32, 16, 3F 00 00 00 BF 80 00 00, float 32",
    "fl64, 64, 3F E0 00 00 00 00 00 00 BF F0 00 00 00 00 00 00, float 64",
    "FL64, 64, 3F E0 00 00 00 00 00 00 BF F0 00 00 00 00 00 00, float 64",
    "'raw ', 8, C0 00, PCM 8",
    // Left-justified in whole bytes: 20 bits in 24, 12 in 16.
    "NONE, 20, 40 00 00 80 00 00, PCM 24",
    "NONE, 12, 40 00 80 00, PCM 16"
  })
  void eachTypeIsDecoded(String type, int bits, String sound, String coding) throws IOException {
    byte[] file =
        form("AIFC")
            .chunk("FVER", ChunkBytes.big().u32(0xA280_5140L).bytes())
            .chunk("COMM", typed(type, bits))
            .chunk("SSND", ChunkBytes.big().u64(0).raw(hex(sound)).bytes())
            .bytes();
    try (LinearSoundFile stem = open(file)) {
      assertArrayEquals(TWO_FRAMES, Samples.of(stem));
      assertEquals(coding, stem.format().coding());
      assertEquals(Container.AIFC, stem.format().container());
    }
  }

  @ParameterizedTest
  @CsvSource({
    "ulaw, mu-law",
    "ALAW, A-law",
    "ima4, IMA ADPCM",
    "abcd, unknown",
  })
  void anotherCodingIsRefusedByNameAndType(String type, String name) {
    assertRefused(
        UnusableStem.NotReadHere.class,
        form("AIFC").chunk("COMM", typed(type, 16)).chunk("SSND", new byte[12]).bytes(),
        "is in a coding that is not read here ("
            + name
            + ", AIFF-C type '"
            + type
            + "'); export it as PCM or float");
  }

  @Test
  void aTypeThatWouldHarmATerminalIsMadeHarmless() {
    assertRefused(
        UnusableStem.NotReadHere.class,
        form("AIFC").chunk("COMM", typed("\u001b[2J", 16)).chunk("SSND", new byte[12]).bytes(),
        "is in a coding that is not read here (unknown, AIFF-C type '\\u{1B}[2J'); export it as"
            + " PCM or float");
  }

  @ParameterizedTest
  @CsvSource({
    "40 0E AC 44 00 00 00 00 00 00, 44100",
    "40 0E BB 80 00 00 00 00 00 00, 48000",
    "40 0F AC 44 00 00 00 00 00 00, 88200",
    "40 0F BB 80 00 00 00 00 00 00, 96000",
    "40 10 BB 80 00 00 00 00 00 00, 192000",
    "40 0D FA 00 00 00 00 00 00 00, 32000",
    "3F FF 80 00 00 00 00 00 00 00, 1"
  })
  void wholeSampleRatesAreRead(String extended, int hz) throws IOException {
    // The first six: AIFF 1.3 and worked out from the definition of the format.
    try (LinearSoundFile stem = open(plain(common(1, 2, 16, extended)))) {
      assertEquals(hz, stem.format().sampleRateHz());
    }
  }

  @ParameterizedTest
  @CsvSource({
    // 44100.5, 0.5, and the least above 48000
    "40 0E AC 44 80 00 00 00 00 00, 44100",
    "3F FE 80 00 00 00 00 00 00 00, 0",
    "40 0E BB 80 00 00 00 00 00 01, 48000"
  })
  void aSampleRateThatIsNotWholeIsRefused(String extended, int hz) {
    assertRefused(
        UnusableStem.NotReadHere.class,
        plain(common(1, 2, 16, extended)),
        "has a sample rate that is not a whole number, a little over "
            + hz
            + " Hz; export it at a whole one");
  }

  @ParameterizedTest
  @CsvSource({
    "00 00 00 00 00 00 00 00 00 00, says it has a sample rate of 0 Hz",
    "40 13 80 00 00 00 00 00 00 00, says it has a sample rate of 1048576 Hz",
    "40 3E FF FF FF FF FF FF FF FF, says no usable sample rate",
    "7F FF 80 00 00 00 00 00 00 00, says no usable sample rate",
    "C0 0E BB 80 00 00 00 00 00 00, says no usable sample rate"
  })
  void aSampleRateThatNoSoundHasIsRefused(String extended, String why) {
    assertRefused(
        UnusableStem.Damaged.class, plain(common(1, 2, 16, extended)), why + "; export it again");
  }

  @Test
  void aNumberOfFramesThatIsNotThereIsMended() throws IOException {
    for (long told : new long[] {0, 3, 0xFFFF_FFFFL}) {
      try (LinearSoundFile stem = open(plain(common(1, told, 16, HZ_48000)))) {
        assertArrayEquals(TWO_FRAMES, Samples.of(stem));
        assertEquals(
            List.of("'COMM' chunk says " + told + " samples, the file holds 2: those are read"),
            stem.mended());
      }
    }
  }

  @Test
  void fewerFramesThanTheSoundHoldsAreThose() throws IOException {
    try (LinearSoundFile stem = open(plain(common(1, 1, 16, HZ_48000)))) {
      assertArrayEquals(new double[][] {{0.5}}, Samples.of(stem));
      assertEquals(List.of(), stem.mended());
    }
  }

  @Test
  void aSoundThatIsCutOffIsReadAsFarAsItGoes() throws IOException {
    byte[] file =
        form("AIFF")
            .chunk("COMM", common(1, 9, 16, HZ_48000))
            .id("SSND")
            .u32(26)
            .u64(0)
            .raw(TWO_FRAMES_16)
            .raw((byte) 1)
            .bytes();
    try (LinearSoundFile stem = open(file)) {
      assertArrayEquals(TWO_FRAMES, Samples.of(stem));
      assertEquals(
          List.of(
              "'SSND' chunk says 26 bytes, the file holds 13: what is there is read",
              "'COMM' chunk says 9 samples, the file holds 2: those are read"),
          stem.mended());
    }
  }

  @Test
  void aFileWithoutFramesIsEmpty() {
    byte[] none = form("AIFF").chunk("COMM", common(1, 0, 16, HZ_48000)).bytes();
    assertThrows(UnusableStem.Empty.class, () -> open(none));
    byte[] nothing =
        form("AIFF").chunk("COMM", common(1, 0, 16, HZ_48000)).chunk("SSND", new byte[8]).bytes();
    assertThrows(UnusableStem.Empty.class, () -> open(nothing));
  }

  @Test
  void aHeaderThatContradictsItselfIsDamaged() {
    assertRefused(
        UnusableStem.Damaged.class,
        form("AIFF").chunk("SSND", new byte[12]).bytes(),
        "has no 'COMM' chunk; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        form("AIFF").chunk("COMM", common(1, 2, 16, HZ_48000)).bytes(),
        "has no 'SSND' chunk; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        form("AIFC").chunk("COMM", common(1, 2, 16, HZ_48000)).bytes(),
        "has a 'COMM' chunk of 18 bytes, not 22; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        plain(common(0, 2, 16, HZ_48000)),
        "says it has 0 channels; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        plain(common(1, 2, 0, HZ_48000)),
        "says it has 0 bits a sample; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        form("AIFF")
            .chunk("COMM", common(1, 2, 16, HZ_48000))
            .chunk("SSND", ChunkBytes.big().u32(0xFFFF_FFFFL).u32(0).raw(TWO_FRAMES_16).bytes())
            .bytes(),
        "says its sound begins 4294967295 bytes on, past its end; export it again");
    assertRefused(
        UnusableStem.NotReadHere.class,
        plain(common(4, 2, 16, HZ_48000)),
        "has 4 channels, not 1 or 2; export it as stereo or as mono files");
    assertRefused(
        UnusableStem.NotSound.class,
        "parade order".getBytes(StandardCharsets.US_ASCII),
        "is not an AIFF file; leave it out or export it again");
  }

  @ParameterizedTest
  @EnumSource(names = {"SIGNED_8", "PCM_16_BIG", "PCM_24_BIG", "PCM_32_BIG"})
  void whatIsWrittenIsReadBackBitForBit(LinearCoding coding) throws IOException {
    for (int channels = 1; channels <= 2; channels++) {
      int frames = 40_001;
      double[][] noise = Samples.noise(5, channels, frames, coding.bits());
      AiffLayout layout = new AiffLayout(coding, 48_000, channels, frames);
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      try (LinearSoundWriter writer = layout.writeTo(out)) {
        writer.write(noise, 0, frames);
      }
      try (LinearSoundFile stem = open(out.toByteArray())) {
        assertEquals(
            new SoundFormat(Container.AIFF, Kind.INTEGER, coding.bits(), 48_000, channels, frames),
            stem.format());
        assertEquals(List.of(), stem.mended());
        assertArrayEquals(noise, Samples.of(stem));
      }
    }
  }

  @Test
  void whatDoesNotFitIsNotWritten() {
    long most = (0xFFFF_FFFFL - 55) / 6;
    assertEquals(most, new AiffLayout(LinearCoding.PCM_24_BIG, 48_000, 2, most).frames());
    assertThrows(
        IllegalArgumentException.class,
        () -> new AiffLayout(LinearCoding.PCM_24_BIG, 48_000, 2, most + 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> new AiffLayout(LinearCoding.PCM_24_LITTLE, 48_000, 2, 1));
  }

  private static ChunkBytes form(String type) {
    return ChunkBytes.big().id("FORM").u32(1000).id(type);
  }

  private static byte[] plain(byte[] common) {
    return form("AIFF")
        .chunk("COMM", common)
        .chunk("SSND", ChunkBytes.big().u64(0).raw(TWO_FRAMES_16).bytes())
        .bytes();
  }

  private static byte[] common(int channels, long frames, int bits, String rate) {
    return ChunkBytes.big().u16(channels).u32(frames).u16(bits).raw(hex(rate)).bytes();
  }

  private static byte[] typed(String type, int bits) {
    return ChunkBytes.big()
        .raw(common(1, 2, bits, HZ_48000))
        .id(type)
        .raw((byte) 0, (byte) 0)
        .bytes();
  }

  private static byte[] hex(String text) {
    return HexFormat.ofDelimiter(" ").parseHex(text);
  }

  private LinearSoundFile open(byte[] file) throws IOException {
    return AiffFile.open(Files.write(folder.resolve("stem.aif"), file));
  }

  private void assertRefused(Class<? extends UnusableStem> kind, byte[] file, String why) {
    UnusableStem refused = assertThrows(kind, () -> open(file));
    assertEquals("'stem.aif' " + why, refused.getMessage());
  }
}
