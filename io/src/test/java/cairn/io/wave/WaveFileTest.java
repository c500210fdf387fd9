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
import cairn.io.sound.Samples;
import cairn.io.sound.SoundFormat;
import cairn.io.sound.SoundFormat.Container;
import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class WaveFileTest {

  private static final double[][] TWO_FRAMES = {{0.5, -1.0}};
  private static final byte[] TWO_FRAMES_16 = {0, 0x40, 0, (byte) 0x80};

  @TempDir Path folder;

  @Test
  void theFirstBytesTellWhetherAFileIsRead() {
    assertTrue(WaveFile.matches(ChunkBytes.little().id("RIFF").u32(4).id("WAVE").bytes()));
    assertTrue(WaveFile.matches(ChunkBytes.little().id("RF64").u32(4).id("WAVE").bytes()));
    assertTrue(WaveFile.matches(ChunkBytes.little().id("BW64").u32(4).id("WAVE").bytes()));
    assertFalse(WaveFile.matches(ChunkBytes.little().id("RIFF").u32(4).id("AVI ").bytes()));
    assertFalse(WaveFile.matches(ChunkBytes.little().id("FORM").u32(4).id("AIFF").bytes()));
    assertFalse(WaveFile.matches(ChunkBytes.little().id("RIFF").u32(4).bytes()));
  }

  @Test
  void chunksMayComeInAnyOrderEvenTheFormatAfterTheData() throws IOException {
    byte[] description = new byte[602];
    description[0] = 'K';
    description[338] = 7;
    byte[] file =
        riff()
            .chunk("LIST", (byte) 'I', (byte) 'N', (byte) 'F', (byte) 'O', (byte) 1)
            .chunk("data", TWO_FRAMES_16)
            .chunk("bext", description)
            .chunk("fmt ", format(1, 1, 48_000, 2, 16))
            .bytes();
    try (LinearSoundFile sound = open(file)) {
      assertArrayEquals(TWO_FRAMES, Samples.of(sound));
      assertEquals(Optional.of(new BroadcastInfo("K", 7)), sound.broadcast());
      assertEquals(List.of(), sound.mended());
    }
  }

  @Test
  void aDescriptionThatFillsItsFieldNeedsNoTerminator() throws IOException {
    byte[] payload = new byte[602];
    Arrays.fill(payload, 0, 256, (byte) 'x');
    payload[256] = 'o';
    byte[] file =
        riff().chunk("bext", payload).chunk("fmt ", mono16()).chunk("data", TWO_FRAMES_16).bytes();
    try (LinearSoundFile sound = open(file)) {
      assertEquals("x".repeat(256), sound.broadcast().orElseThrow().description());
    }
  }

  @Test
  void aBroadcastChunkThatMakesNoSenseIsPassedOver() throws IOException {
    byte[] huge = new byte[602];
    huge[345] = (byte) 0x80;
    byte[] withHuge =
        riff().chunk("bext", huge).chunk("fmt ", mono16()).chunk("data", TWO_FRAMES_16).bytes();
    byte[] withShort =
        riff()
            .chunk("bext", new byte[100])
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    assertMended(
        withHuge,
        TWO_FRAMES,
        "time reference says 9223372036854775808 samples: 'bext' chunk passed over");
    assertMended(withShort, TWO_FRAMES, "'bext' chunk has only 100 bytes: passed over");
  }

  @Test
  void aMissingPadByteIsMended() throws IOException {
    byte[] before =
        riff()
            .id("LIST")
            .u32(3)
            .id("abc")
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    assertMended(before, TWO_FRAMES, "no pad byte after 'LIST' chunk of odd size");
    byte[] atEnd =
        riff().chunk("fmt ", format(1, 1, 8000, 1, 8)).id("data").u32(1).raw((byte) 0xC0).bytes();
    assertMended(atEnd, new double[][] {{0.5}}, "no pad byte after 'data' chunk of odd size");
  }

  @Test
  void whatFollowsOnTheChunksIsPassedOver() throws IOException {
    byte[] file =
        riff().chunk("fmt ", mono16()).chunk("data", TWO_FRAMES_16).raw(new byte[100]).bytes();
    assertMended(file, TWO_FRAMES, "100 bytes that are no chunk after 'data': passed over");
    byte[] one =
        riff().chunk("fmt ", mono16()).chunk("data", TWO_FRAMES_16).raw(new byte[1]).bytes();
    assertMended(one, TWO_FRAMES, "1 byte that is no chunk after 'data': passed over");
    byte[] cut =
        riff()
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .id("LIST")
            .u32(99)
            .id("INFO")
            .bytes();
    assertMended(cut, TWO_FRAMES, "'LIST' chunk says 99 bytes, the file holds 4: passed over");
  }

  @Test
  void theFirstOfTwoChunksOfOneNameCounts() throws IOException {
    byte[] file =
        riff()
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .chunk("data", new byte[6])
            .bytes();
    assertMended(file, TWO_FRAMES, "second 'data' chunk: passed over");
  }

  @Test
  void aSizeOfTheWholeThatIsNotToldIsMended() throws IOException {
    byte[] file =
        ChunkBytes.little()
            .id("RIFF")
            .u32(0)
            .id("WAVE")
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    assertMended(file, TWO_FRAMES, "RIFF size says 0 bytes: passed over");
  }

  @Test
  void aWrongBlockAlignIsNotTrusted() throws IOException {
    byte[] file =
        riff().chunk("fmt ", format(1, 1, 48_000, 4, 16)).chunk("data", TWO_FRAMES_16).bytes();
    assertMended(
        file, TWO_FRAMES, "block align says 4 bytes for one sample of all channels: taken as 2");
  }

  @Test
  void aFrameThatIsCutOffIsLeftOut() throws IOException {
    byte[] file =
        riff()
            .chunk("fmt ", mono16())
            .chunk("data", new byte[] {0, 0x40, 0, (byte) 0x80, 0x7F})
            .bytes();
    assertMended(file, TWO_FRAMES, "last sample is cut off after 1 bytes: left out");
  }

  @Test
  void aDataChunkOfSizeZeroBeforeWholeChunksIsEmpty() {
    byte[] file = riff().chunk("fmt ", mono16()).chunk("data").chunk("LIST", new byte[12]).bytes();
    assertThrows(UnusableStem.Empty.class, () -> open(file));
    byte[] nothing = riff().chunk("fmt ", mono16()).chunk("data").bytes();
    assertThrows(UnusableStem.Empty.class, () -> open(nothing));
  }

  @Test
  void bitsThatDoNotFillTheirContainerAreLeftJustified() throws IOException {
    // 12 bits in 16: 0x4000 is half of full scale whatever the lowest four bits mean.
    byte[] file =
        riff().chunk("fmt ", format(1, 1, 48_000, 2, 12)).chunk("data", TWO_FRAMES_16).bytes();
    try (LinearSoundFile sound = open(file)) {
      assertArrayEquals(TWO_FRAMES, Samples.of(sound));
      assertEquals(16, sound.format().bits());
    }
  }

  @Test
  void anExtensibleFormatMayHoldFloats() throws IOException {
    byte[] header =
        ChunkBytes.little()
            .raw(format(0xFFFE, 1, 48_000, 4, 32))
            .u16(22)
            .u16(32)
            .u32(4)
            .u16(3)
            .raw(guidTail())
            .bytes();
    byte[] file = riff().chunk("fmt ", header).chunk("data", new byte[] {0, 0, 0x40, 0x3F}).bytes();
    try (LinearSoundFile sound = open(file)) {
      assertArrayEquals(new double[][] {{0.75}}, Samples.of(sound));
      assertEquals("float 32", sound.format().coding());
    }
  }

  @Test
  void aSizeOf32BitsThatIsNoMarkWinsOverTheWideOne() throws IOException {
    byte[] wide = ChunkBytes.little().u64(0).u64(2).u64(1).u32(0).bytes();
    byte[] file =
        ChunkBytes.little()
            .id("RF64")
            .u32(0xFFFF_FFFFL)
            .id("WAVE")
            .chunk("ds64", wide)
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    try (LinearSoundFile sound = open(file)) {
      assertEquals(
          new SoundFormat(Container.RF64, SoundFormat.Kind.INTEGER, 16, 48_000, 1, 2),
          sound.format());
      assertEquals(List.of(), sound.mended());
    }
  }

  @Test
  void wideSizesInAFileCalledRiffAreIgnored() throws IOException {
    byte[] wide = ChunkBytes.little().u64(0).u64(2).u64(1).u32(0).bytes();
    byte[] file =
        riff()
            .chunk("ds64", wide)
            .chunk("fmt ", mono16())
            .id("data")
            .u32(0xFFFF_FFFFL)
            .raw(TWO_FRAMES_16)
            .bytes();
    assertMended(
        file, TWO_FRAMES, "'data' chunk does not tell its size: the 4 bytes to the end are read");
  }

  @Test
  void wideSizesThatMakeNoSenseLeaveWhatIsThere() throws IOException {
    // 2^63 bytes of data, and a table that claims 2^32 - 1 entries.
    byte[] wide = ChunkBytes.little().u64(0).u64(Long.MIN_VALUE).u64(1).u32(0xFFFF_FFFFL).bytes();
    byte[] file =
        ChunkBytes.little()
            .id("BW64")
            .u32(0xFFFF_FFFFL)
            .id("WAVE")
            .chunk("ds64", wide)
            .chunk("fmt ", mono16())
            .id("data")
            .u32(0xFFFF_FFFFL)
            .raw(TWO_FRAMES_16)
            .bytes();
    assertMended(
        file,
        TWO_FRAMES,
        "'data' chunk says 9223372036854775808 bytes, the file holds 4: what is there is read");
    byte[] without =
        ChunkBytes.little()
            .id("RF64")
            .u32(0xFFFF_FFFFL)
            .id("WAVE")
            .chunk("fmt ", mono16())
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    assertMended(
        without,
        TWO_FRAMES,
        "no whole 'ds64' chunk where the file begins: sizes of 32 bits are used");
  }

  @ParameterizedTest
  @CsvSource({
    "0x0002, Microsoft ADPCM",
    "0x0006, A-law",
    "0x0007, mu-law",
    "0x0055, MPEG layer 3",
    "0xABCD, unknown"
  })
  void anotherCodingIsRefusedByNameAndNumber(String tag, String name) {
    byte[] file =
        riff()
            .chunk("fmt ", format(Integer.decode(tag), 1, 48_000, 2, 16))
            .chunk("data", TWO_FRAMES_16)
            .bytes();
    assertRefused(
        UnusableStem.NotReadHere.class,
        file,
        "is in a coding that is not read here ("
            + name
            + ", WAVE tag "
            + tag
            + "); export it as PCM or float");
  }

  @Test
  void anotherWidthIsRefused() {
    assertRefused(
        UnusableStem.NotReadHere.class,
        riff().chunk("fmt ", format(3, 1, 48_000, 2, 16)).chunk("data", TWO_FRAMES_16).bytes(),
        "has 16-bit float samples, which are not read here; export it as PCM of 16, 24 or 32 bits"
            + " or as float of 32 or 64");
    assertRefused(
        UnusableStem.NotReadHere.class,
        riff().chunk("fmt ", format(1, 1, 48_000, 8, 64)).chunk("data", new byte[8]).bytes(),
        "has 64-bit PCM samples, which are not read here; export it as PCM of 16, 24 or 32 bits"
            + " or as float of 32 or 64");
  }

  @Test
  void moreThanTwoChannelsAreRefusedWithTheirNumber() {
    assertRefused(
        UnusableStem.NotReadHere.class,
        riff().chunk("fmt ", format(1, 6, 48_000, 12, 16)).chunk("data", new byte[12]).bytes(),
        "has 6 channels, not 1 or 2; export it as stereo or as mono files");
  }

  @Test
  void aHeaderThatContradictsItselfIsDamaged() {
    byte[] data = TWO_FRAMES_16;
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", format(1, 0, 48_000, 2, 16)).chunk("data", data).bytes(),
        "says it has 0 channels; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", format(1, 1, 0, 2, 16)).chunk("data", data).bytes(),
        "says it has a sample rate of 0 Hz; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", format(1, 1, -1, 2, 16)).chunk("data", data).bytes(),
        "says it has a sample rate of 4294967295 Hz; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", format(1, 1, 48_000, 2, 0)).chunk("data", data).bytes(),
        "says it has 0 bits a sample; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("data", data).bytes(),
        "has no 'fmt ' chunk; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", mono16()).bytes(),
        "has no 'data' chunk; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", new byte[14]).chunk("data", data).bytes(),
        "has a 'fmt ' chunk of 14 bytes, not 16; export it again");
    assertRefused(
        UnusableStem.Damaged.class,
        riff().chunk("fmt ", format(0xFFFE, 1, 48_000, 2, 16)).chunk("data", data).bytes(),
        "has an extensible 'fmt ' chunk of 16 bytes, not 40; export it again");
  }

  @Test
  void whatIsNoWaveFileIsRefused() throws IOException {
    assertRefused(
        UnusableStem.NotSound.class,
        "parade order".getBytes(StandardCharsets.US_ASCII),
        "is not a WAVE file; leave it out or export it again");
    assertRefused(
        UnusableStem.Empty.class,
        new byte[0],
        "holds no audio (length 0); export it again or leave it out");
    assertThrows(UnusableStem.NotSound.class, () -> WaveFile.open(folder));
    assertThrows(NoSuchFileException.class, () -> WaveFile.open(folder.resolve("none.wav")));
  }

  @ParameterizedTest
  @EnumSource(names = {"FLOAT_32_LITTLE", "FLOAT_64_LITTLE"})
  void theFirstValueThatIsNotFiniteIsNamed(LinearCoding coding) throws IOException {
    for (double bad :
        new double[] {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY}) {
      for (int channels = 1; channels <= 2; channels++) {
        int frames = 100_000;
        Path path = folder.resolve("bad.wav");
        WaveLayout layout = WaveLayout.plain(coding, 48_000, channels, frames);
        try (var writer = layout.writeTo(Files.newOutputStream(path))) {
          writer.write(Samples.noise(1, channels, frames, 24), 0, frames);
        }
        poke(path, layout, 99_000, channels - 1, bad);
        poke(path, layout, 96_000, channels - 1, bad);
        try (LinearSoundFile sound = WaveFile.open(path);
            SoundReader reader = sound.openReader()) {
          double[][] into = new double[channels][frames];
          reader.read(0, 96_000, into, 0);
          UnusableStem.NotFinite refused =
              assertThrows(UnusableStem.NotFinite.class, () -> reader.read(0, frames, into, 0));
          assertEquals(96_000, refused.frame());
          assertEquals(
              "'bad.wav' holds a value that is not a number at sample 96000 (2.000 s); export it"
                  + " again",
              refused.getMessage());
        }
      }
    }
  }

  @Test
  void theLargestAndSmallestFloatsAreFinite() throws IOException {
    double[][] extremes = {{Float.MAX_VALUE, -Float.MAX_VALUE, Float.MIN_VALUE, -0.0}};
    Path path = folder.resolve("extremes.wav");
    try (var writer =
        WaveLayout.plain(LinearCoding.FLOAT_32_LITTLE, 48_000, 1, 4)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(extremes, 0, 4);
    }
    try (LinearSoundFile sound = WaveFile.open(path)) {
      assertArrayEquals(extremes, Samples.of(sound));
    }
  }

  @Test
  void aFileThatGotShorterIsNoticed() throws IOException {
    Path path = folder.resolve("growing.wav");
    int frames = 5000;
    try (var writer =
        WaveLayout.plain(LinearCoding.PCM_24_LITTLE, 48_000, 2, frames)
            .writeTo(Files.newOutputStream(path))) {
      writer.write(Samples.noise(2, 2, frames, 24), 0, frames);
    }
    try (LinearSoundFile sound = WaveFile.open(path);
        SoundReader reader = sound.openReader()) {
      try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "rw")) {
        file.setLength(file.length() - 1);
      }
      double[][] into = new double[2][frames];
      reader.read(0, frames - 1, into, 0);
      assertThrows(UnusableStem.Changed.class, () -> reader.read(frames - 1, 1, into, 0));
    }
  }

  @Test
  void aRangeOutsideTheFileOrTheBlockIsTheCallersFault() throws IOException {
    byte[] file = riff().chunk("fmt ", mono16()).chunk("data", TWO_FRAMES_16).bytes();
    try (LinearSoundFile sound = open(file);
        SoundReader reader = sound.openReader()) {
      double[][] into = new double[1][2];
      assertThrows(IndexOutOfBoundsException.class, () -> reader.read(1, 2, into, 0));
      assertThrows(IndexOutOfBoundsException.class, () -> reader.read(-1, 1, into, 0));
      assertThrows(IndexOutOfBoundsException.class, () -> reader.read(0, 2, into, 1));
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {5_000, 200_000})
  void thousandsOfChunksCostLittle(int count) throws IOException {
    ChunkBytes chunks = riff().chunk("fmt ", mono16());
    for (int i = 0; i < count; i++) {
      chunks.chunk("JUNK");
    }
    byte[] file = chunks.chunk("data", TWO_FRAMES_16).bytes();
    if (count < 10_000) {
      try (LinearSoundFile sound = open(file)) {
        assertArrayEquals(TWO_FRAMES, Samples.of(sound));
      }
    } else {
      assertRefused(UnusableStem.Damaged.class, file, "has no 'data' chunk; export it again");
    }
  }

  private static ChunkBytes riff() {
    return ChunkBytes.little().id("RIFF").u32(1000).id("WAVE");
  }

  private static byte[] mono16() {
    return format(1, 1, 48_000, 2, 16);
  }

  private static byte[] format(int tag, int channels, int rate, int blockAlign, int bits) {
    return ChunkBytes.little()
        .u16(tag)
        .u16(channels)
        .u32(rate)
        .u32((long) rate * blockAlign)
        .u16(blockAlign)
        .u16(bits)
        .bytes();
  }

  private static byte[] guidTail() {
    return HexFormat.ofDelimiter(" ").parseHex("00 00 00 00 10 00 80 00 00 AA 00 38 9B 71");
  }

  private LinearSoundFile open(byte[] file) throws IOException {
    return WaveFile.open(Files.write(folder.resolve("stem.wav"), file));
  }

  private void assertMended(byte[] file, double[][] samples, String line) throws IOException {
    try (LinearSoundFile sound = open(file)) {
      assertArrayEquals(samples, Samples.of(sound));
      assertEquals(List.of(line), sound.mended());
    }
  }

  private void assertRefused(Class<? extends UnusableStem> kind, byte[] file, String why) {
    UnusableStem refused = assertThrows(kind, () -> open(file));
    assertEquals("'stem.wav' " + why, refused.getMessage());
  }

  private static void poke(Path path, WaveLayout layout, int frame, int channel, double amplitude)
      throws IOException {
    int bytes = layout.coding().bytes();
    byte[] raw =
        bytes == 4
            ? ChunkBytes.little().u32(Float.floatToRawIntBits((float) amplitude)).bytes()
            : ChunkBytes.little().u64(Double.doubleToRawLongBits(amplitude)).bytes();
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "rw")) {
      file.seek(layout.header().length + ((long) frame * layout.channels() + channel) * bytes);
      file.write(raw);
    }
  }
}
