package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import cairn.io.files.WholeFile;
import cairn.io.files.XdgFolders;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class OpenSessionTest {

  private static boolean never(Path path) {
    return false;
  }

  private static boolean always(Path path) {
    return true;
  }

  @TempDir Path temp;

  private Path stems;
  private XdgFolders folders;

  @BeforeEach
  void makeFolders() throws IOException {
    stems = Files.createDirectory(temp.toRealPath().resolve("Parade, take 2"));
    folders = XdgFolders.of(Map.of("HOME", temp.toRealPath().resolve("home").toString()), "");
  }

  private SessionPlace place(Predicate<Path> writable) {
    return SessionPlace.of(stems, Optional.empty(), folders, writable);
  }

  private Path inFolder() {
    return stems.resolve(SessionFile.NAME);
  }

  private static OpenSession open(SessionPlace place) throws IOException {
    return OpenSession.open(place, List.of());
  }

  private List<String> names() throws IOException {
    try (Stream<Path> files = Files.list(stems)) {
      return files.map(p -> p.getFileName().toString()).sorted().toList();
    }
  }

  @Test
  void aNewSessionIsSavedInTheFolderAndFoundThere() throws IOException {
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      assertTrue(open.found().isEmpty());
      assertEquals(List.of(), open.lines());
      assertEquals(SessionPlace.Kind.FOLDER, open.place().kind());
      assertEquals(Optional.empty(), open.save(Sessions.full()));
      assertEquals(List.of(".cairn-session.json.lock", SessionFile.NAME), names());
    }
    assertEquals(List.of(SessionFile.NAME), names());
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      assertEquals(Sessions.full().withFolder("."), open.found().orElseThrow());
    }
  }

  @Test
  void aNamedFileIsTakenAndNamesTheFolder() throws IOException {
    Path named = temp.toRealPath().resolve("elsewhere.json");
    SessionPlace place =
        SessionPlace.of(stems, Optional.of(named), folders, OpenSessionTest::always);
    assertEquals(SessionPlace.Kind.NAMED, place.kind());
    try (OpenSession open = open(place)) {
      open.save(Sessions.fresh());
    }
    assertEquals(stems.toString(), SessionFile.read(named).folder());
    assertEquals(List.of(), names());
  }

  @Test
  void whereTheFolderCannotBeWrittenTheStateFolderIsTakenAndSaid() throws IOException {
    SessionFile.write(inFolder(), Sessions.full(), List.of());
    SessionPlace place = place(OpenSessionTest::never);
    assertEquals(SessionPlace.Kind.STATE, place.kind());
    Path sessions = temp.toRealPath().resolve("home/.local/state/cairn/sessions");
    assertEquals(sessions, place.file().getParent());
    assertTrue(
        place.file().getFileName().toString().matches("Parade-take-2-[0-9a-f]{16}\\.json"),
        place.file().toString());
    try (OpenSession open = open(place)) {
      // What lies in the folder is where it begins.
      assertEquals(Sessions.full(), open.found().orElseThrow());
      assertEquals(
          List.of(
              "'"
                  + stems
                  + "' cannot be written, so the session is kept in '"
                  + place.file()
                  + "'"),
          open.lines());
      open.save(Sessions.fresh());
    }
    assertEquals(Sessions.full(), SessionFile.read(inFolder()));
    assertEquals(Sessions.fresh().withFolder(stems.toString()), SessionFile.read(place.file()));
    try (OpenSession open = open(place(OpenSessionTest::never))) {
      assertEquals(Sessions.fresh().marks(), open.found().orElseThrow().marks());
    }
  }

  @Test
  void oncePossibleItGoesOnInTheFolder() throws IOException {
    try (OpenSession open = open(place(OpenSessionTest::never))) {
      open.save(Sessions.full());
    }
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      assertEquals(Sessions.full().marks(), open.found().orElseThrow().marks());
      assertEquals(1, open.lines().size());
      open.save(open.found().get());
    }
    assertEquals(".", SessionFile.read(inFolder()).folder());
  }

  @Test
  void twoFoldersOfOneNameHaveAFileEach() throws IOException {
    Path twin = Files.createDirectories(temp.resolve("b").resolve("Parade, take 2"));
    assertFalse(
        SessionPlace.of(twin, Optional.empty(), folders, OpenSessionTest::never)
            .file()
            .equals(place(OpenSessionTest::never).file()));
  }

  @Test
  void withoutAnyPlaceItIsReadOnlyAndSaid() throws IOException {
    SessionPlace place =
        SessionPlace.of(stems, Optional.empty(), XdgFolders.NONE, OpenSessionTest::never);
    try (OpenSession open = open(place)) {
      assertTrue(open.isReadOnly());
      assertEquals(
          List.of(
              "'"
                  + stems
                  + "' cannot be written, so nothing is saved; name a file elsewhere with"
                  + " --session"),
          open.lines());
      assertThrows(IOException.class, () -> open.save(Sessions.fresh()));
    }
    assertEquals(List.of(), names());
  }

  @Test
  void theSecondProgramReadsOnly() throws IOException {
    try (OpenSession first = open(place(OpenSessionTest::always))) {
      first.save(Sessions.full());
      try (OpenSession second = open(place(OpenSessionTest::always))) {
        assertTrue(second.isReadOnly());
        assertEquals(1, second.lines().size());
        assertEquals(Sessions.full().marks(), second.found().orElseThrow().marks());
        assertThrows(IOException.class, () -> second.save(Sessions.fresh()));
      }
      first.save(Sessions.fresh());
    }
    assertEquals(Sessions.fresh(), SessionFile.read(inFolder()));
  }

  @Test
  void aDamagedFileIsKeptUnderANewNameAndSaid() throws IOException {
    String damaged = "{\n  \"schema\": \"cairn-session/1\",\n  \"folder\": \".\",\n  \"sam";
    Files.writeString(inFolder(), damaged);
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      assertTrue(open.found().isEmpty());
      String line = open.lines().get(0);
      assertTrue(line.startsWith("'" + inFolder() + "' is damaged at line 4, column "), line);
      assertTrue(line.endsWith("; it is kept as '" + inFolder() + ".damaged-1'"), line);
      open.save(Sessions.fresh());
    }
    assertEquals(damaged, Files.readString(stems.resolve(SessionFile.NAME + ".damaged-1")));
    assertEquals(Sessions.fresh(), SessionFile.read(inFolder()));
  }

  @Test
  void aDamagedFileThatAnotherProgramHasOpenStaysWhereItIs() throws IOException {
    Files.writeString(inFolder(), "");
    try (SessionLock lock = SessionLock.of(inFolder());
        OpenSession open = open(place(OpenSessionTest::always))) {
      assertEquals(SessionLock.State.HELD, lock.state());
      assertTrue(open.isReadOnly());
      assertTrue(open.lines().get(1).endsWith("; it stays as it is"), open.lines().get(1));
    }
    assertEquals(List.of(SessionFile.NAME), names());
  }

  @Test
  void aNewerOneAndSomethingElseAreRefusedAndFreeAgain() throws IOException {
    for (String text : List.of("{\"schema\": \"cairn-session/9\"}", "RIFF")) {
      Files.writeString(inFolder(), text);
      assertThrows(UnusableSession.class, () -> open(place(OpenSessionTest::always)));
      assertEquals(text, Files.readString(inFolder()));
      assertEquals(List.of(SessionFile.NAME), names());
    }
  }

  @Test
  void whatSomebodyElseWroteMeanwhileIsKept() throws IOException {
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      open.save(Sessions.fresh());
      SessionFile.write(inFolder(), Sessions.full(), List.of());
      assertEquals(
          Optional.of(
              "somebody else wrote the session meanwhile; theirs is kept as '"
                  + inFolder()
                  + ".other-1'"),
          open.save(Sessions.fresh().withTipUsed("next")));
      assertEquals(Sessions.full(), SessionFile.read(stems.resolve(SessionFile.NAME + ".other-1")));
      assertEquals(Optional.empty(), open.save(Sessions.fresh()));
    }
  }

  @Test
  void whatHasNotChangedIsNotWritten() throws IOException {
    try (OpenSession open = open(place(OpenSessionTest::always))) {
      open.save(Sessions.full());
      Object before = Files.readAttributes(inFolder(), "unix:ino");
      FileTime modified = Files.getLastModifiedTime(inFolder());
      open.save(Sessions.full());
      assertEquals(before, Files.readAttributes(inFolder(), "unix:ino"));
      assertEquals(modified, Files.getLastModifiedTime(inFolder()));
    }
  }

  @Test
  void aFailedSaveKeepsTheOldFileAndTheNextOneCatchesUp() throws IOException {
    SessionPlace place = place(OpenSessionTest::always);
    try (OpenSession open = OpenSession.open(place, List.of(), SessionLock::of)) {
      open.save(Sessions.fresh());
      Path away = temp.resolve("away");
      Files.move(stems, away);
      String message =
          assertThrows(WholeFile.NotWritten.class, () -> open.save(Sessions.full())).getMessage();
      assertEquals(
          "'"
              + inFolder()
              + "' could not be written: its folder does not exist; make it first or name another",
          message);
      Files.move(away, stems);
      assertEquals(Sessions.fresh(), SessionFile.read(inFolder()));
      assertEquals(Optional.empty(), open.save(Sessions.full()));
    }
    assertEquals(Sessions.full().withFolder("."), SessionFile.read(inFolder()));
  }
}
