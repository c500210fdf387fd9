package cairn.io.stems;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import cairn.io.sound.UnusableStem;
import java.io.IOException;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.channels.ServerSocketChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Links, pipes and other traps: no input makes the program read outside the named folder. */
@Timeout(60)
class FolderWalkTest {

  @TempDir Path temp;
  private Path song;
  private Path outside;

  @BeforeEach
  void makeTheFolders() throws IOException {
    song = Files.createDirectory(temp.toRealPath().resolve("parade"));
    outside = Files.createDirectory(temp.toRealPath().resolve("outside"));
    mono("kick.wav");
    Waves.mono(outside.resolve("secret.wav"), 48_000, 10);
  }

  private Path mono(String name) throws IOException {
    return Waves.mono(song.resolve(name), 48_000, 10);
  }

  private Path link(String name, Path target) throws IOException {
    Path link = song.resolve(name);
    Files.createDirectories(link.getParent());
    return Files.createSymbolicLink(link, target);
  }

  private StemSet scan(Path... inputs) throws IOException {
    return StemFolder.scan(List.of(inputs), ScanOptions.DEFAULT);
  }

  private static List<String> paths(StemSet set) {
    return set.stems().stream().map(StemFile::relativePath).toList();
  }

  private static List<String> skipped(StemSet set) {
    return set.skipped().stream().map(s -> s.shown() + ": " + s.reason()).toList();
  }

  private String loop() {
    return assertThrows(UnusableFolder.LinkLoop.class, () -> scan(song)).getMessage();
  }

  private String loopAt(String link) {
    return "'"
        + link
        + "' in '"
        + song
        + "' is a symbolic link that leads round in a circle; remove it, or name the stems one by"
        + " one";
  }

  @Test
  void aLinkOutOfTheFolderIsNotFollowedButListed() throws IOException {
    link("a.wav", outside.resolve("secret.wav"));
    link("b.wav", Path.of("../outside/secret.wav"));
    link("more", outside);
    link("up", Path.of(".."));
    link("hop", Path.of("more"));
    StemSet set = scan(song);
    assertEquals(List.of("kick.wav"), paths(set));
    assertEquals(
        List.of(
            "a.wav: a link out of the folder",
            "b.wav: a link out of the folder",
            "hop: a link out of the folder",
            "more: a link out of the folder",
            "up: a link out of the folder"),
        skipped(set));
  }

  @Test
  void aFolderWhoseNameBeginsAlikeIsOutsideToo() throws IOException {
    Path neighbour = temp.toRealPath().resolve("parade 2");
    Waves.mono(neighbour.resolve("low.wav"), 48_000, 10);
    link("low.wav", neighbour.resolve("low.wav"));
    assertEquals(List.of("low.wav: a link out of the folder"), skipped(scan(song)));
  }

  @Test
  void whatWasNamedMayItselfBeALink() throws IOException {
    Path folderLink = Files.createSymbolicLink(temp.resolve("named"), song);
    assertEquals(List.of("kick.wav"), paths(scan(folderLink)));
    Path fileLink = link("alias.wav", outside.resolve("secret.wav"));
    assertEquals(List.of("alias.wav"), paths(scan(fileLink)));
  }

  @Test
  void aLinkWithinTheFolderIsFollowedAndEachFileFoundOnceByItsRealName() throws IOException {
    link("again.wav", song.resolve("kick.wav"));
    mono("drums/caixa.wav");
    link("a drums", song.resolve("drums"));
    assertEquals(List.of("drums/caixa.wav", "kick.wav"), paths(scan(song)));
  }

  @Test
  void aLinkToAHiddenPlaceWithinTheFolderGivesTheStemItsName() throws IOException {
    mono(".pool/0001.wav");
    mono(".pool/set/0002.wav");
    link("surdo.wav", Path.of(".pool/0001.wav"));
    link("drums", Path.of(".pool/set"));
    assertEquals(List.of("drums/0002.wav", "kick.wav", "surdo.wav"), paths(scan(song)));
  }

  @Test
  void aLinkToAFolderThatItLiesInIsRefused() throws IOException {
    link("drums/again", Path.of(".."));
    assertEquals(loopAt("drums/again"), loop());
  }

  @Test
  void aLinkToItselfIsRefused() throws IOException {
    link("x.wav", Path.of("x.wav"));
    assertEquals(loopAt("x.wav"), loop());
  }

  @Test
  void linksThatLeadToEachOtherAreRefused() throws IOException {
    link("a", Path.of("b/x"));
    link("b", Path.of("a/y"));
    assertEquals(loopAt("a"), loop());
  }

  @Test
  void aCircleOverTwoFoldersIsRefused() throws IOException {
    mono("a/one.wav");
    mono("b/two.wav");
    link("a/to b", Path.of("../b"));
    link("b/to a", Path.of("../a"));
    assertEquals(loopAt("b/to a"), loop());
  }

  @Test
  void aCircleBehindALinkToAHiddenPlaceIsRefused() throws IOException {
    mono(".pool/sub/one.wav");
    link("way in", Path.of(".pool/sub"));
    link(".pool/sub/up", Path.of("..")); // to .pool, which holds sub
    assertEquals(loopAt("way in/up"), loop());
  }

  @Test
  void aNamedLinkThatLeadsRoundIsRefused() throws IOException {
    Path link = link("x", Path.of("x"));
    assertEquals(
        loopAt("x"), assertThrows(UnusableFolder.LinkLoop.class, () -> scan(link)).getMessage());
  }

  /** 2 to the power of 30 ways lead through it, 31 folders are walked. */
  @Test
  void aMazeOfLinksTakesNoLongerThanItsFolders() throws IOException {
    for (int i = 0; i < 30; i++) {
      Path next = Path.of("..", String.format("%02d", i + 1));
      link(String.format("%02d/left", i), next);
      link(String.format("%02d/right", i), next);
    }
    mono("30/end.wav");
    assertEquals(List.of("30/end.wav", "kick.wav"), paths(scan(song)));
  }

  @Test
  void aLinkToNothingIsListed() throws IOException {
    link("gone.txt", Path.of("not there"));
    assertEquals(List.of("gone.txt: a link to nothing"), skipped(scan(song)));
  }

  @Test
  void aPipeAndASocketAreNeverOpenedButListed() throws IOException, InterruptedException {
    Path pipe = song.resolve("pipe.wav");
    makePipe(pipe);
    link("to pipe.wav", pipe);
    try (ServerSocketChannel socket = ServerSocketChannel.open(StandardProtocolFamily.UNIX)) {
      socket.bind(UnixDomainSocketAddress.of(song.resolve("s.wav")));
      StemSet set = scan(song); // opening the pipe would wait for ever
      assertEquals(List.of("kick.wav"), paths(set));
      assertEquals(
          List.of(
              "pipe.wav: a pipe, socket or device",
              "s.wav: a pipe, socket or device",
              "to pipe.wav: a link to a pipe, socket or device"),
          skipped(set));
    }
    assertEquals(
        "'pipe.wav' is a pipe, socket or device, not a file; name a sound file",
        assertThrows(UnusableStem.NotSound.class, () -> scan(pipe)).getMessage());
  }

  private static void makePipe(Path pipe) throws IOException, InterruptedException {
    Process process;
    try {
      process = new ProcessBuilder("mkfifo", pipe.toString()).start();
    } catch (IOException e) {
      assumeTrue(false, "there is no mkfifo here: " + e.getMessage());
      return;
    }
    assertEquals(0, process.waitFor());
  }

  @Test
  void codePointsAreComparedAsNumbers() {
    assertTrue(FolderWalk.compareCodePoints("\uffe0", "🥁") < 0);
    assertTrue("\uffe0".compareTo("🥁") > 0, "units compare the other way");
    assertTrue(FolderWalk.compareCodePoints("a", "ab") < 0);
    assertTrue(FolderWalk.compareCodePoints("🥁a", "🥁b") < 0);
    assertEquals(0, FolderWalk.compareCodePoints("🥁", "🥁"));
  }
}
