package cairn.io.session;

import cairn.io.files.SafeText;
import cairn.io.files.XdgFolders;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * A session that is open in this program: found, locked, and saved after every change. For one
 * thread at a time.
 *
 * <p>No file is lost: one that is damaged, or that somebody else wrote meanwhile, gets a new name
 * before ours takes its place.
 */
public final class OpenSession implements Closeable {

  /** What tells that the file is still the one that was read or written last. */
  private record Identity(long bytes, FileTime modified, Object fileKey) {
    static Optional<Identity> of(Path file) throws IOException {
      try {
        BasicFileAttributes now = Files.readAttributes(file, BasicFileAttributes.class);
        return Optional.of(
            new Identity(
                now.size(),
                now.lastModifiedTime(),
                Objects.requireNonNullElse(now.fileKey(), "no keys here")));
      } catch (NoSuchFileException e) {
        return Optional.empty();
      }
    }
  }

  private final SessionPlace place;
  private final List<Path> inputs;
  private final SessionLock lock;
  private final boolean readOnly;
  private final Optional<SavedSession> found;
  private final List<String> lines;
  private final PrintedPasses passes = new PrintedPasses();
  private Optional<Identity> known;
  private SavedSession last;

  private OpenSession(
      SessionPlace place,
      List<Path> inputs,
      SessionLock lock,
      boolean readOnly,
      Optional<SavedSession> found,
      List<String> lines,
      Optional<Identity> known) {
    this.place = place;
    this.inputs = inputs;
    this.lock = lock;
    this.readOnly = readOnly;
    this.found = found;
    this.lines = List.copyOf(lines);
    this.known = known;
  }

  /**
   * Opens the session at a place, or begins one there.
   *
   * @param inputs the stems' files, which are never written
   * @throws UnusableSession if the file is too new, or something else: it stays as it is
   * @throws IOException if it cannot be read; the message names it
   */
  public static OpenSession open(SessionPlace place, Collection<Path> inputs) throws IOException {
    return open(place, inputs, SessionLock::of);
  }

  /** Locks a session file; another one in tests. */
  @FunctionalInterface
  interface Locking {
    SessionLock lock(Path file);
  }

  static OpenSession open(SessionPlace place, Collection<Path> inputs, Locking locking)
      throws IOException {
    List<String> lines = new ArrayList<>();
    place.line().ifPresent(lines::add);
    boolean readOnly = place.kind() == SessionPlace.Kind.NOWHERE;
    if (place.kind() == SessionPlace.Kind.STATE) {
      XdgFolders.make(place.file().getParent());
    }
    SessionLock lock = null;
    if (!readOnly) {
      lock = locking.lock(place.file());
      lock.line().ifPresent(lines::add);
      readOnly = lock.state() == SessionLock.State.TAKEN;
    }
    try {
      // Looked at before it is read: what comes in between then shows as a change.
      Optional<Identity> known = Identity.of(place.file());
      Path source = known.isPresent() ? place.file() : place.elsewhere().orElse(place.file());
      Optional<SavedSession> found = Optional.empty();
      try {
        found = Optional.of(SessionFile.read(source));
      } catch (NoSuchFileException e) {
        known = Optional.empty(); // a new session
      } catch (UnusableSession.Damaged e) {
        if (!readOnly && source.equals(place.file())) {
          Path aside = SessionFile.setAside(source, "damaged");
          known = Optional.empty();
          lines.add(e.getMessage() + "; it is kept as '" + SafeText.of(aside) + "'");
        } else {
          lines.add(e.getMessage() + "; it stays as it is");
        }
      }
      return new OpenSession(place, List.copyOf(inputs), lock, readOnly, found, lines, known);
    } catch (IOException | RuntimeException e) {
      if (lock != null) {
        lock.close();
      }
      throw e;
    }
  }

  /** Where it is kept. */
  public SessionPlace place() {
    return place;
  }

  /** What was there; empty: a new session. */
  public Optional<SavedSession> found() {
    return found;
  }

  /** Whether nothing can be saved: another program has it open, or there is no place for it. */
  public boolean isReadOnly() {
    return readOnly;
  }

  /** What is to be said about opening it, a line each, safe to show. */
  public List<String> lines() {
    return lines;
  }

  /**
   * Saves, whole or not at all; does nothing if nothing has changed since the last time. After a
   * failure the file is as it was, and the next call tries again.
   *
   * @return what is to be said, safe to show; empty: nothing
   * @throws IOException if it is read-only or cannot be written; one line
   */
  public Optional<String> save(SavedSession session) throws IOException {
    if (readOnly) {
      throw new IOException("the session is read-only here, nothing is saved");
    }
    SavedSession fresh = session.withFolder(place.folder());
    if (fresh.equals(last)) {
      return Optional.empty();
    }
    Optional<String> line = Optional.empty();
    Optional<Identity> there = Identity.of(place.file());
    if (there.isPresent() && !there.equals(known)) {
      Path aside = SessionFile.setAside(place.file(), "other");
      line =
          Optional.of(
              "somebody else wrote the session meanwhile; theirs is kept as '"
                  + SafeText.of(aside)
                  + "'");
    }
    SessionFile.write(place.file(), fresh, inputs, passes);
    known = Identity.of(place.file());
    last = fresh;
    return line;
  }

  /** Lets other programs write it. What was not saved is lost. */
  @Override
  public void close() throws IOException {
    if (lock != null) {
      lock.close();
    }
  }
}
