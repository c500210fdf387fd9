package cairn.io.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SessionLockTest {

  @TempDir Path temp;

  private Path folder;

  @BeforeEach
  void realFolder() throws IOException {
    folder = temp.toRealPath();
  }

  private Path file() {
    return folder.resolve(SessionFile.NAME);
  }

  private List<String> names() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(p -> p.getFileName().toString()).sorted().toList();
    }
  }

  @Test
  void theSecondInOneProgramIsToldAndTheThirdAfterItIsNot() throws IOException {
    try (SessionLock first = SessionLock.of(file())) {
      assertEquals(SessionLock.State.HELD, first.state());
      assertTrue(first.line().isEmpty());
      // That the second is closed must not free the first.
      for (int i = 0; i < 2; i++) {
        Path sameFile = folder.resolve(".").resolve(SessionFile.NAME);
        try (SessionLock second = SessionLock.of(sameFile)) {
          assertEquals(SessionLock.State.TAKEN, second.state());
          String line = second.line().orElseThrow();
          assertTrue(
              line.endsWith("is open in this program: read-only here, nothing is saved"), line);
        }
      }
    }
    try (SessionLock third = SessionLock.of(file())) {
      assertEquals(SessionLock.State.HELD, third.state());
    }
    assertEquals(List.of(), names());
  }

  @Test
  void anotherNameOfTheSameFileIsTheSameSession() throws IOException {
    Files.writeString(file(), "{}");
    Path link = Files.createSymbolicLink(folder.resolve("link.json"), file());
    try (SessionLock first = SessionLock.of(link);
        SessionLock second = SessionLock.of(file())) {
      assertEquals(SessionLock.State.HELD, first.state());
      assertEquals(SessionLock.State.TAKEN, second.state());
    }
  }

  @Test
  void anotherProgramIsNamedAndItsKillFreesTheSession() throws Exception {
    Process other = LockHolder.start(file(), SessionLock.State.HELD);
    try (SessionLock here = SessionLock.of(file())) {
      assertEquals(SessionLock.State.TAKEN, here.state());
      String line = here.line().orElseThrow();
      assertTrue(line.contains("is open in process " + other.pid()), line);
    } finally {
      other.destroyForcibly().waitFor();
    }
    // It could not tidy up, but its lock is gone with it.
    assertEquals(List.of(".cairn-session.json.lock"), names());
    try (SessionLock here = SessionLock.of(file())) {
      assertEquals(SessionLock.State.HELD, here.state());
      LockHolder.start(file(), SessionLock.State.TAKEN).destroyForcibly().waitFor();
      try (SessionLock again = SessionLock.of(file())) {
        assertEquals(SessionLock.State.TAKEN, again.state());
      }
      LockHolder.start(file(), SessionLock.State.TAKEN).destroyForcibly().waitFor();
    }
    assertEquals(List.of(), names());
  }

  @Test
  void aFileThatWasDeletedAndMadeAgainWhileItWasOpenedIsNotTrusted() throws IOException {
    Path lockFile = folder.resolve(".cairn-session.json.lock");
    Files.createFile(lockFile);
    int[] tries = {0};
    try (SessionLock lock =
        SessionLock.of(
            file(),
            channel -> {
              if (tries[0]++ == 0) {
                // The holder leaves, and a third program comes, between opening and locking.
                Files.move(lockFile, folder.resolve("gone"));
                Files.createFile(lockFile);
              }
              return channel.tryLock();
            })) {
      assertEquals(SessionLock.State.HELD, lock.state());
      assertEquals(2, tries[0]);
      assertTrue(Files.readString(lockFile).startsWith("process "));
    }
  }

  @Test
  void aPlaceWithoutLocksSaysSoAndGoesOn() throws IOException {
    try (SessionLock lock =
        SessionLock.of(
            file(),
            channel -> {
              throw new IOException("No locks available");
            })) {
      assertEquals(SessionLock.State.UNGUARDED, lock.state());
      assertEquals(
          "no lock for the session '" + file() + "' (no locks available): do not open it twice",
          lock.line().orElseThrow());
    }
    assertFalse(SessionLock.of(folder.resolve("none").resolve("x.json")).line().isEmpty());
  }
}
