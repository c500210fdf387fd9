package cairn.io.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Defaults and rules: XDG Base Directory Specification, version 0.8. */
class XdgFoldersTest {

  private static Optional<Path> path(String path) {
    return Optional.of(Path.of(path));
  }

  @Test
  void theVariablesComeFirst() {
    assertEquals(
        new XdgFolders(path("/s/cairn"), path("/c/cairn"), path("/k/cairn")),
        XdgFolders.of(
            Map.of(
                "XDG_STATE_HOME", "/s",
                "XDG_CONFIG_HOME", "/c",
                "XDG_CACHE_HOME", "/k",
                "HOME", "/home/ana"),
            ""));
  }

  @Test
  void unsetEmptyAndRelativeVariablesGiveTheUsualFoldersOfTheHome() {
    XdgFolders usual =
        new XdgFolders(
            path("/home/ana/.local/state/cairn"),
            path("/home/ana/.config/cairn"),
            path("/home/ana/.cache/cairn"));
    assertEquals(usual, XdgFolders.of(Map.of("HOME", "/home/ana"), "/elsewhere"));
    assertEquals(
        usual,
        XdgFolders.of(Map.of("XDG_STATE_HOME", "", "XDG_CACHE_HOME", "rel/cache"), "/home/ana"));
  }

  @Test
  void withoutAHomeThereAreNone() {
    assertEquals(XdgFolders.NONE, XdgFolders.of(Map.of("HOME", ""), ""));
    assertEquals(XdgFolders.NONE, XdgFolders.of(Map.of(), "?"));
  }

  @Test
  void foldersAreMadeForTheUserAlone(@TempDir Path folder) throws IOException {
    assumeTrue(FileSystems.getDefault().supportedFileAttributeViews().contains("posix"));
    Path deep = folder.resolve("a").resolve("b");
    XdgFolders.make(deep);
    XdgFolders.make(deep);
    for (Path made : new Path[] {deep, deep.getParent()}) {
      assertEquals("rwx------", PosixFilePermissions.toString(Files.getPosixFilePermissions(made)));
    }
  }
}
