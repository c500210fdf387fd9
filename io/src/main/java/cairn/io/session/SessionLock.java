package cairn.io.session;

import cairn.io.files.SafeText;
import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/**
 * Sees to it that one program alone writes a session: a lock of the operating system on a hidden
 * file beside it, {@code .cairn-session.json.lock}. The system gives it back when the program ends,
 * in whatever way, so a file that was left behind blocks nobody.
 *
 * <p>Locks of a system belong to a process, and are lost when it closes the file by any other
 * handle. So within one program a set of held paths comes first, and the file is opened only by
 * whoever is in it.
 */
public final class SessionLock implements Closeable {

  /** How it went. */
  public enum State {
    /** This program alone may write. */
    HELD,
    /** Another program, or another part of this one, writes. */
    TAKEN,
    /** The place knows no locks: nobody is kept out. */
    UNGUARDED
  }

  /** Tries to lock; null: another program has it. */
  @FunctionalInterface
  interface Locker {
    FileLock tryLock(FileChannel channel) throws IOException;
  }

  /** Characters of the holder's description that are looked at. */
  private static final int HOLDER_BYTES = 200;

  private static final Set<Path> HELD_HERE = ConcurrentHashMap.newKeySet();

  private final State state;
  private final Path lockFile;
  private final FileChannel channel;
  private final Optional<String> line;

  private SessionLock(State state, Path lockFile, FileChannel channel, Optional<String> line) {
    this.state = state;
    this.lockFile = lockFile;
    this.channel = channel;
    this.line = line;
  }

  /**
   * Tries to become the one that writes.
   *
   * @param sessionFile the session file, which need not be there; its folder must
   */
  public static SessionLock of(Path sessionFile) {
    return of(sessionFile, FileChannel::tryLock);
  }

  static SessionLock of(Path sessionFile, Locker locker) {
    Path file;
    try {
      file =
          Files.exists(sessionFile)
              ? sessionFile.toRealPath()
              : sessionFile.toAbsolutePath().getParent().toRealPath().resolve(name(sessionFile));
    } catch (IOException e) {
      return unguarded(sessionFile, sessionFile, e);
    }
    Path lockFile = file.resolveSibling("." + file.getFileName() + ".lock");
    if (!HELD_HERE.add(lockFile)) {
      return new SessionLock(
          State.TAKEN, lockFile, null, Optional.of(taken(sessionFile, "this program")));
    }
    SessionLock lock = null;
    try {
      lock = lock(sessionFile, lockFile, locker);
    } finally {
      if (lock == null || lock.state != State.HELD) {
        HELD_HERE.remove(lockFile);
      }
    }
    return lock;
  }

  private static Path name(Path file) {
    return file.getFileName();
  }

  private static SessionLock lock(Path sessionFile, Path lockFile, Locker locker) {
    try {
      while (true) {
        Object before = identity(lockFile);
        FileChannel channel =
            FileChannel.open(lockFile, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
        boolean keep = false;
        try {
          if (locker.tryLock(channel) == null) {
            String holder = holder(lockFile);
            return new SessionLock(
                State.TAKEN, lockFile, null, Optional.of(taken(sessionFile, holder)));
          }
          // Whoever held it may have deleted the file between our two looks at its name, and a
          // third may have made another one: then ours is nobody's. Only a file that was there
          // before it was opened, and is there still, is the one that is open: while it is, its
          // identity goes to no other.
          if (before != null && before.equals(identity(lockFile))) {
            sign(channel);
            keep = true;
            return new SessionLock(State.HELD, lockFile, channel, Optional.empty());
          }
        } finally {
          if (!keep) {
            channel.close();
          }
        }
      }
    } catch (IOException e) {
      return unguarded(sessionFile, lockFile, e);
    }
  }

  /** What tells one file from the next of its name; null: there is none. */
  private static Object identity(Path file) throws IOException {
    try {
      BasicFileAttributes attributes = Files.readAttributes(file, BasicFileAttributes.class);
      return Objects.requireNonNullElse(attributes.fileKey(), "no keys here");
    } catch (NoSuchFileException e) {
      return null;
    }
  }

  private static void sign(FileChannel channel) throws IOException {
    String text = "process " + ProcessHandle.current().pid() + host() + "\n";
    channel.truncate(0);
    channel.write(ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8)));
  }

  private static String host() {
    try {
      return " on " + Files.readString(Path.of("/proc/sys/kernel/hostname")).strip();
    } catch (IOException | RuntimeException e) {
      return "";
    }
  }

  /** Whoever signed the lock file; another program holds it, so it may be opened here. */
  private static String holder(Path lockFile) {
    try {
      byte[] bytes = Files.readAllBytes(lockFile);
      String text =
          new String(bytes, 0, Math.min(bytes.length, HOLDER_BYTES), StandardCharsets.UTF_8)
              .strip();
      return text.startsWith("process ") ? SafeText.of(text) : "another program";
    } catch (IOException e) {
      return "another program";
    }
  }

  private static String taken(Path sessionFile, String holder) {
    return "the session '"
        + SafeText.of(sessionFile)
        + "' is open in "
        + holder
        + ": read-only here, nothing is saved";
  }

  private static SessionLock unguarded(Path sessionFile, Path lockFile, IOException e) {
    String reason = e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
    return new SessionLock(
        State.UNGUARDED,
        lockFile,
        null,
        Optional.of(
            "no lock for the session '"
                + SafeText.of(sessionFile)
                + "' ("
                + SafeText.of(reason).toLowerCase(Locale.ROOT)
                + "): do not open it twice"));
  }

  /** How it went. */
  public State state() {
    return state;
  }

  /** What is to be said, safe to show; empty while it is held. */
  public Optional<String> line() {
    return line;
  }

  /** Lets others write; does nothing the second time. The lock file is deleted. */
  @Override
  public void close() throws IOException {
    if (state != State.HELD || !channel.isOpen()) {
      return;
    }
    try (channel) {
      // While it is still locked; see the look at the identity above.
      Files.deleteIfExists(lockFile);
    } finally {
      HELD_HERE.remove(lockFile);
    }
  }
}
