package cairn.io.flac;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is wrong with a file is named with its time; what can be mended is mended and said. */
class FlacDamageTest {

  /** Ten blocks of 4096 and one of 40: 41 000 frames, 0.854 s at 48 000 Hz. */
  private static final int FRAMES = 41_000;

  @TempDir Path folder;

  private final int[][] sound = Sounds.parade(2, FRAMES, 24, 11);
  private byte[] good;
  private List<Integer> offsets;

  @BeforeEach
  void writeAGoodFile() throws IOException {
    Path path = Sounds.write(folder.resolve("good.flac"), sound, 24);
    good = Files.readAllBytes(path);
    offsets = Sounds.frameOffsets(path);
  }

  private Path put(byte[] bytes) throws IOException {
    return Sounds.put(folder.resolve("surdo.flac"), bytes);
  }

  private static byte[] join(byte[]... parts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte[] part : parts) {
      out.writeBytes(part);
    }
    return out.toByteArray();
  }

  private byte[] frame(int n) {
    return Arrays.copyOfRange(good, offsets.get(n), offsets.get(n + 1));
  }

  private byte[] upTo(int offset) {
    return Arrays.copyOf(good, offset);
  }

  private String damage(byte[] bytes) {
    return assertThrows(
            UnusableStem.Damaged.class,
            () -> {
              try (FlacFile file = FlacFile.open(put(bytes))) {
                Sounds.readAll(file, 10_000);
              }
            })
        .getMessage();
  }

  @Test
  void theFileHasElevenFrames() {
    assertEquals(12, offsets.size());
    assertEquals(good.length, offsets.get(11));
  }

  /** Frame 5 starts at 5 · 4096 = 20 480; 20 480 / 48 000 = 0.427 s. */
  @Test
  void aDamagedFrameIsNamedWithItsTimeAndTheOthersAreRead() throws IOException {
    byte[] bytes = good.clone();
    bytes[offsets.get(5) + 3_000] ^= 0x10;
    try (FlacFile file = FlacFile.open(put(bytes));
        SoundReader reader = file.openReader()) {
      Sounds.assertSame(
          Sounds.cut(sound, 0, 20_480), Sounds.read(file, reader, 0, 20_480), "before");
      for (int at : new int[] {20_480, 22_000, 24_575}) {
        UnusableStem.Damaged e =
            assertThrows(
                UnusableStem.Damaged.class, () -> Sounds.read(file, reader, at, 1), "at " + at);
        assertEquals(
            "'surdo.flac' is damaged at sample 20480 (0.427 s), byte "
                + offsets.get(5)
                + ": the block's checksum is wrong; copy or export it again",
            e.getMessage());
      }
      assertThrows(UnusableStem.Damaged.class, () -> Sounds.read(file, reader, 20_000, 10_000));
      Sounds.assertSame(
          Sounds.cut(sound, 24_576, FRAMES),
          Sounds.read(file, reader, 24_576, FRAMES - 24_576),
          "after");
      Sounds.assertSame(
          Sounds.cut(sound, 20_000, 20_480), Sounds.read(file, reader, 20_000, 480), "again");
    }
  }

  @Test
  void aDamagedFrameHeaderIsDamage() {
    byte[] bytes = good.clone();
    bytes[offsets.get(5) + 4] ^= 0x01;
    assertTrue(damage(bytes).contains("sample 20480 (0.427 s)"), damage(bytes));
    bytes = good.clone();
    bytes[offsets.get(5)] = 0;
    assertTrue(damage(bytes).contains("no block starts there"), damage(bytes));
  }

  @Test
  void aMissingFrameIsDamageAndNotShiftedSound() {
    byte[] bytes =
        join(upTo(offsets.get(5)), Arrays.copyOfRange(good, offsets.get(6), good.length));
    assertEquals(
        "'surdo.flac' is damaged at sample 20480 (0.427 s), byte "
            + offsets.get(5)
            + ": a block that starts at sample 24576 stands there; copy or export it again",
        damage(bytes));
  }

  @Test
  void framesOutOfOrderAreDamage() {
    byte[] bytes =
        join(
            upTo(offsets.get(5)),
            frame(6),
            frame(5),
            Arrays.copyOfRange(good, offsets.get(7), good.length));
    assertTrue(damage(bytes).contains("a block that starts at sample 24576"), damage(bytes));
  }

  /** Cut inside frame 7, which starts at 28 672 = 0.597 s; 41 000 / 48 000 = 0.854 s. */
  @Test
  void aFileThatEndsEarlyIsDamageWhenItIsOpened() throws IOException {
    String expected =
        "'surdo.flac' ends early, at sample 28672 (0.597 s) of 41000 (0.854 s); copy or export it"
            + " again";
    for (int end :
        new int[] {offsets.get(7), offsets.get(7) + 1, offsets.get(7) + 9, offsets.get(8) - 1}) {
      Path path = put(upTo(end));
      UnusableStem.Damaged e =
          assertThrows(UnusableStem.Damaged.class, () -> FlacFile.open(path), "end " + end);
      assertEquals(expected, e.getMessage());
    }
  }

  @Test
  void aFileThatEndsInItsMetadataIsDamage() {
    for (int end : new int[] {4, 7, 20, 41}) {
      assertTrue(damage(upTo(end)).startsWith("'surdo.flac' "), "end " + end);
    }
    assertTrue(damage(upTo(42)).contains("ends early, at sample 0 (0.000 s) of 41000"));
  }

  @Test
  void anotherMd5IsFoundWhenItIsAskedFor() throws IOException {
    byte[] bytes = good.clone();
    bytes[30] ^= 1;
    try (FlacFile file = FlacFile.open(put(bytes))) {
      Sounds.assertSame(sound, Sounds.readAll(file, 5_000), "samples");
      UnusableStem.Damaged e = assertThrows(UnusableStem.Damaged.class, file::verifyMd5);
      assertEquals(
          "'surdo.flac' holds other samples than its MD5 checksum says; export it again",
          e.getMessage());
    }
  }

  @Test
  void whatFollowsTheLastSampleIsLeftOutAndSaid() throws IOException {
    try (FlacFile file = FlacFile.open(put(join(good, new byte[1_000])))) {
      assertEquals(List.of("1000 bytes follow the last sample: left out"), file.mended());
      Sounds.assertSame(sound, Sounds.readAll(file, 9_999), "samples");
      assertTrue(file.verifyMd5());
    }
    byte[] more = good.clone();
    Sounds.setFrames(more, 8_192);
    try (FlacFile file = FlacFile.open(put(more))) {
      assertEquals(8_192, file.format().frames());
      assertEquals(
          List.of(good.length - offsets.get(2) + " bytes follow the last sample: left out"),
          file.mended());
      Sounds.assertSame(Sounds.cut(sound, 0, 8_192), Sounds.readAll(file, 5_000), "samples");
    }
    Sounds.setFrames(more, 8_000);
    try (FlacFile file = FlacFile.open(put(more))) {
      assertEquals(
          List.of("header says 8000 samples, the last block goes on to 8192: the rest is left out"),
          file.mended());
      Sounds.assertSame(Sounds.cut(sound, 0, 8_000), Sounds.readAll(file, 5_000), "samples");
    }
  }

  @Test
  void anUnknownLengthIsCountedFromTheLastFrame() throws IOException {
    byte[] bytes = good.clone();
    Sounds.setFrames(bytes, 0);
    try (FlacFile file = FlacFile.open(put(bytes))) {
      assertEquals(FRAMES, file.format().frames());
      assertEquals(List.of(), file.mended());
      Sounds.assertSame(sound, Sounds.readAll(file, 9_999), "samples");
      assertTrue(file.verifyMd5());
    }
    byte[] tag = new byte[128];
    System.arraycopy("TAGparade".getBytes(StandardCharsets.US_ASCII), 0, tag, 0, 9);
    try (FlacFile file = FlacFile.open(put(join(bytes, tag)))) {
      assertEquals(FRAMES, file.format().frames());
      assertEquals(List.of("128 bytes follow the last sample: left out"), file.mended());
    }
    // A recording that was interrupted in frame 7.
    try (FlacFile file = FlacFile.open(put(Arrays.copyOf(bytes, offsets.get(8) - 5)))) {
      assertEquals(28_672, file.format().frames());
      assertEquals(
          List.of(
              "the header does not say the length, and the last block is cut off: read up to"
                  + " sample 28672 (0.597 s)"),
          file.mended());
    }
    bytes[offsets.get(10) + 30] ^= 1;
    assertTrue(damage(bytes).contains("is damaged at sample 40960 (0.853 s)"), damage(bytes));
  }

  /** ID3v2.4, 3.1: the length is written in four groups of seven bits. */
  @Test
  void aLeadingTagIsPassedOver() throws IOException {
    byte[] tag = new byte[10 + 300];
    System.arraycopy(new byte[] {'I', 'D', '3', 4, 0, 0, 0, 0, 2, 44}, 0, tag, 0, 10);
    byte[] bytes = join(tag, good);
    assertTrue(FlacFile.matches(Arrays.copyOf(bytes, 400)));
    assertFalse(FlacFile.matches(Arrays.copyOf(bytes, 300)));
    Path path = put(bytes);
    assertTrue(FlacFile.matches(path));
    try (FlacFile file = FlacFile.open(path)) {
      assertEquals(
          List.of("a tag of 310 bytes stands before the FLAC mark: passed over"), file.mended());
      Sounds.assertSame(sound, Sounds.readAll(file, 9_999), "samples");
    }
  }

  @Test
  void anotherKindOfFileIsNoFlacFile() throws IOException {
    for (String text : List.of("", "fLa", "RIFF....WAVE", "ID3", "OggS....")) {
      byte[] bytes = text.getBytes(StandardCharsets.US_ASCII);
      Path path = put(bytes);
      assertFalse(FlacFile.matches(bytes), text);
      assertFalse(FlacFile.matches(path), text);
      UnusableStem.NotSound e =
          assertThrows(UnusableStem.NotSound.class, () -> FlacFile.open(path), text);
      assertEquals("'surdo.flac' is no FLAC file; leave it out", e.getMessage());
    }
  }

  /** STREAMINFO holds the number of channels less one in three bits: 5 means six. */
  @Test
  void sixChannelsAreRefused() throws IOException {
    byte[] bytes = good.clone();
    bytes[20] = (byte) ((bytes[20] & 0xF1) | 5 << 1);
    Path path = put(bytes);
    UnusableStem.NotReadHere e =
        assertThrows(UnusableStem.NotReadHere.class, () -> FlacFile.open(path));
    assertEquals(
        "'surdo.flac' has 6 channels, only mono and stereo are read; export it again as mono or"
            + " stereo",
        e.getMessage());
  }

  @Test
  void aFileThatIsCutWhileItIsOpenHasChanged() throws IOException {
    Path path = put(good);
    try (FlacFile file = FlacFile.open(path);
        SoundReader reader = file.openReader()) {
      Sounds.read(file, reader, 0, 10);
      Files.write(path, upTo(offsets.get(3)));
      assertThrows(UnusableStem.Changed.class, () -> Sounds.read(file, reader, 10, FRAMES - 10));
    }
  }

  @Test
  void aReaderThatIsClosedSaysSo() throws IOException {
    try (FlacFile file = FlacFile.open(put(good))) {
      SoundReader reader = file.openReader();
      reader.close();
      assertThrows(IOException.class, () -> Sounds.read(file, reader, 0, 1));
      SoundReader other = file.openReader();
      assertThrows(IndexOutOfBoundsException.class, () -> Sounds.read(file, other, FRAMES, 1));
    }
  }
}
