package cairn.io.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeFileTest {

  @TempDir Path folder;

  private static WholeFile.Content text(String text) {
    return out -> out.write(text.getBytes(StandardCharsets.UTF_8));
  }

  private List<String> names() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(p -> p.getFileName().toString()).sorted().toList();
    }
  }

  private String refusal(Path target, boolean force, List<Path> inputs) {
    return assertThrows(
            WholeFile.NotWritten.class, () -> WholeFile.write(target, force, inputs, text("new")))
        .getMessage();
  }

  @Test
  void writesTheFileAndLeavesNothingElse() throws IOException {
    WholeFile.write(folder.resolve("cues.csv"), false, List.of(), text("rank\r\n"));
    assertEquals("rank\r\n", Files.readString(folder.resolve("cues.csv")));
    assertEquals(List.of("cues.csv"), names());
  }

  @Test
  void aNewFileHasTheUsualPermissions() throws IOException {
    assumeTrue(FileSystems.getDefault().supportedFileAttributeViews().contains("posix"));
    Path usual = Files.createFile(folder.resolve("usual"));
    Path target = folder.resolve("cues.csv");
    WholeFile.write(target, false, List.of(), text("x"));
    assertEquals(Files.getPosixFilePermissions(usual), Files.getPosixFilePermissions(target));
  }

  @Test
  void anExistingFileStaysWithoutForce() throws IOException {
    Path target = Files.writeString(folder.resolve("cues.csv"), "old");
    assertEquals(
        "'" + target + "' is already there; name another, or replace it with --force",
        refusal(target, false, List.of()));
    assertEquals("old", Files.readString(target));
    assertEquals(List.of("cues.csv"), names());
  }

  @Test
  void aFileThatCameIntoBeingMeanwhileStaysWithoutForce() throws IOException {
    Path target = folder.resolve("cues.csv");
    assertThrows(
        WholeFile.NotWritten.class,
        () ->
            WholeFile.write(
                target, false, List.of(), out -> Files.writeString(target, "somebody else's")));
    assertEquals("somebody else's", Files.readString(target));
    assertEquals(List.of("cues.csv"), names());
  }

  @Test
  void forceReplacesAndKeepsThePermissions() throws IOException {
    assumeTrue(FileSystems.getDefault().supportedFileAttributeViews().contains("posix"));
    Path target = Files.writeString(folder.resolve("cues.csv"), "old");
    Files.setPosixFilePermissions(target, PosixFilePermissions.fromString("rw-rw----"));
    WholeFile.write(target, true, List.of(), text("new"));
    assertEquals("new", Files.readString(target));
    assertEquals("rw-rw----", PosixFilePermissions.toString(Files.getPosixFilePermissions(target)));
  }

  @Test
  void anInputIsNeverReplacedUnderAnyOfItsNames() throws IOException {
    Path input = Files.writeString(folder.resolve("kick.wav"), "sound");
    Path link = Files.createSymbolicLink(folder.resolve("link.wav"), input);
    Path twin = Files.createLink(folder.resolve("twin.wav"), input);
    Path roundabout = folder.resolve("x").resolve("..").resolve("kick.wav");
    Files.createDirectory(folder.resolve("x"));
    for (Path target : List.of(input, link, twin, roundabout)) {
      assertEquals(
          "'" + target + "' is one of the inputs, which are never changed; name another",
          refusal(target, true, List.of(input)));
      assertEquals("sound", Files.readString(target));
    }
  }

  @Test
  void aFailureHalfWayLeavesTheOldFileAndNoOther() throws IOException {
    Path target = Files.writeString(folder.resolve("cues.csv"), "old");
    IOException own = new IOException("'kick.wav' changed while it was read");
    IOException thrown =
        assertThrows(
            IOException.class,
            () ->
                WholeFile.write(
                    target,
                    true,
                    List.of(),
                    out -> {
                      out.write(new byte[200_000]);
                      throw own;
                    }));
    assertSame(own, thrown, "what went wrong with an input is not blamed on the output");
    assertEquals("old", Files.readString(target));
    assertEquals(List.of("cues.csv"), names());
  }

  /** A write that fails half-way, here since the channel is closed, as one on a full disk does. */
  @Test
  void aFailureToWriteIsOneLineWithTheWayOut() throws IOException {
    Path target = Files.writeString(folder.resolve("cues.csv"), "old");
    WholeFile.NotWritten thrown =
        assertThrows(
            WholeFile.NotWritten.class,
            () ->
                WholeFile.writeChannel(
                    target,
                    true,
                    List.of(),
                    out -> {
                      out.write(ByteBuffer.wrap(new byte[] {1}));
                      out.close();
                      out.write(ByteBuffer.wrap(new byte[] {2}));
                    }));
    assertEquals(
        "'"
            + target
            + "' could not be written: ClosedChannelException; free some space or name another"
            + " place",
        thrown.getMessage());
    assertEquals("old", Files.readString(target));
    assertEquals(List.of("cues.csv"), names());
  }

  @Test
  void aChannelMayGoBackToFillInASize() throws IOException {
    Path target = folder.resolve("bus.wav");
    WholeFile.writeChannel(
        target,
        false,
        List.of(),
        out -> {
          out.write(ByteBuffer.wrap(new byte[] {0, 7, 8}));
          out.position(0);
          out.write(ByteBuffer.wrap(new byte[] {2}));
          assertEquals(3, out.size());
        });
    assertEquals(List.of((byte) 2, (byte) 7, (byte) 8), boxed(Files.readAllBytes(target)));
  }

  private static List<Byte> boxed(byte[] bytes) {
    return List.of(bytes[0], bytes[1], bytes[2]);
  }

  @Test
  void aLinkStaysALinkAndItsFileIsReplaced() throws IOException {
    Path real = Files.writeString(folder.resolve("real.csv"), "old");
    Path link = Files.createSymbolicLink(folder.resolve("link.csv"), real);
    WholeFile.write(link, true, List.of(), text("new"));
    assertTrue(Files.isSymbolicLink(link));
    assertEquals("new", Files.readString(real));
  }

  @Test
  void aFolderADeviceAndAMissingFolderAreRefused() throws IOException {
    assertEquals("'" + folder + "' is a folder; name a file", refusal(folder, true, List.of()));
    Path missing = folder.resolve("not there").resolve("cues.csv");
    assertEquals(
        "'"
            + missing
            + "' could not be written: its folder does not exist; make it first or name another",
        refusal(missing, true, List.of()));
    Path device = Path.of("/dev/null");
    assumeTrue(Files.exists(device));
    assertEquals("'/dev/null' is no plain file; name another", refusal(device, true, List.of()));
    assertFalse(Files.isRegularFile(device));
  }
}
