package cairn.io.files;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributeView;
import java.security.SecureRandom;
import java.util.Collection;
import java.util.HexFormat;

/**
 * Writes a file whole or not at all: aside in the same folder, flushed to disk, then moved into
 * place in one step. Whoever looks sees the old file or the new one, also after a power cut. What
 * goes wrong leaves the old file as it was and no half-written one behind.
 */
public final class WholeFile {

  private static final SecureRandom RANDOM = new SecureRandom();

  private WholeFile() {}

  /** Writes the bytes of the file; the stream is buffered, flushed and closed by the caller. */
  @FunctionalInterface
  public interface Content {
    /** Writes all bytes. */
    void writeTo(OutputStream out) throws IOException;
  }

  /** Writes the file through a channel, in any order; the channel is closed by the caller. */
  @FunctionalInterface
  public interface ChannelContent {
    /** Writes all bytes. */
    void writeTo(SeekableByteChannel out) throws IOException;
  }

  /** The file was not written; one line: which, why, what to do. The old one is as it was. */
  public static final class NotWritten extends IOException {
    private static final long serialVersionUID = 1L;

    private NotWritten(Path target, String what) {
      super("'" + SafeText.of(target) + "' " + what);
    }

    private NotWritten(Path target, String what, IOException cause) {
      super("'" + SafeText.of(target) + "' " + what, cause);
    }
  }

  /**
   * Writes {@code target}.
   *
   * @param target the file; its folder must be there
   * @param force whether an existing file may be replaced; its permissions are kept
   * @param inputs files that are never replaced, whatever {@code force} says, nor are other names
   *     of theirs
   * @param content writes the bytes
   * @throws NotWritten if the target exists and {@code force} is not set, is an input, is no plain
   *     file, or cannot be written
   * @throws IOException what {@code content} throws of its own, as it is
   */
  public static void write(Path target, boolean force, Collection<Path> inputs, Content content)
      throws IOException {
    writeChannel(
        target,
        force,
        inputs,
        channel -> {
          // Closing the stream would close the channel before it is forced: only flushed here.
          OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel), 1 << 16);
          content.writeTo(out);
          out.flush();
        });
  }

  /**
   * Like {@link #write}, for formats that go back to fill in a size.
   *
   * @param target the file; its folder must be there
   * @param force whether an existing file may be replaced; its permissions are kept
   * @param inputs files that are never replaced
   * @param content writes the bytes
   * @throws NotWritten as for {@link #write}
   */
  public static void writeChannel(
      Path target, boolean force, Collection<Path> inputs, ChannelContent content)
      throws IOException {
    if (target.getFileName() == null) {
      throw new NotWritten(target, "is a folder; name a file");
    }
    refuse(target, force, inputs);
    // A link stays a link: the file that it leads to is replaced.
    Path place = Files.exists(target) ? target.toRealPath() : target.toAbsolutePath();
    Path folder = place.getParent();
    byte[] random = new byte[8];
    RANDOM.nextBytes(random);
    // Hidden, so that a scan of the folder passes over it; short, so that any target's name will
    // do.
    Path aside = folder.resolve(".cairn-" + HexFormat.of().formatHex(random) + ".tmp");
    try {
      try (Aside out = Aside.open(aside)) {
        content.writeTo(out);
        out.force();
      }
      refuse(target, force, inputs); // things may have changed while we wrote
      try {
        if (force) {
          keepPermissions(place, aside);
          Files.move(
              aside, place, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        } else {
          moveWithoutReplacing(target, aside, place);
        }
      } catch (NotWritten e) {
        throw e;
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    } catch (WriteFailed e) {
      throw new NotWritten(target, "could not be written: " + reason(e.failure), e.failure);
    } finally {
      Files.deleteIfExists(aside); // there no more if it was moved
    }
    flushFolder(folder);
  }

  private static void refuse(Path target, boolean force, Collection<Path> inputs)
      throws IOException {
    for (Path input : inputs) {
      if (Files.exists(target) && Files.exists(input) && Files.isSameFile(target, input)) {
        throw new NotWritten(target, "is one of the inputs, which are never changed; name another");
      }
    }
    if (Files.isDirectory(target)) {
      throw new NotWritten(target, "is a folder; name a file");
    }
    if (Files.exists(target) && !Files.isRegularFile(target)) {
      throw new NotWritten(target, "is no plain file; name another");
    }
    if (!force && Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
      throw alreadyThere(target);
    }
  }

  private static NotWritten alreadyThere(Path target) {
    return new NotWritten(target, "is already there; name another, or replace it with --force");
  }

  /**
   * A second name fails if the place is taken, a move would not tell: so nothing that came into
   * being meanwhile is lost. Where the file system has no second names the check before must do.
   */
  private static void moveWithoutReplacing(Path target, Path aside, Path place) throws IOException {
    try {
      Files.createLink(place, aside);
    } catch (FileAlreadyExistsException e) {
      throw alreadyThere(target);
    } catch (UnsupportedOperationException | FileSystemException e) {
      Files.move(aside, place, StandardCopyOption.ATOMIC_MOVE);
      return;
    }
    Files.delete(aside);
  }

  private static void keepPermissions(Path old, Path aside) throws IOException {
    PosixFileAttributeView view =
        Files.getFileAttributeView(aside, PosixFileAttributeView.class, LinkOption.NOFOLLOW_LINKS);
    if (view != null && Files.exists(old)) {
      view.setPermissions(Files.getPosixFilePermissions(old));
    }
  }

  /**
   * Makes the move itself last through a power cut. Some systems cannot open a folder; the file is
   * in place by then, so that is no failure.
   */
  private static void flushFolder(Path folder) {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException e) {
      return;
    }
  }

  private static String reason(IOException e) {
    if (e instanceof NoSuchFileException) {
      return "its folder does not exist; make it first or name another";
    }
    if (e instanceof AccessDeniedException) {
      return "no permission to write there; name another place";
    }
    String reason = e instanceof FileSystemException f ? f.getReason() : e.getMessage();
    return SafeText.of(reason == null ? e.getClass().getSimpleName() : reason)
        + "; free some space or name another place";
  }

  /** Tells a failure to write from one of the content's own, such as an input that is damaged. */
  private static final class WriteFailed extends IOException {
    private static final long serialVersionUID = 1L;
    private final IOException failure;

    WriteFailed(IOException failure) {
      super(failure);
      this.failure = failure;
    }
  }

  /** The file written aside; every failure of it is a {@link WriteFailed}. */
  private static final class Aside implements SeekableByteChannel {
    private final FileChannel channel;

    private Aside(FileChannel channel) {
      this.channel = channel;
    }

    static Aside open(Path path) throws WriteFailed {
      try {
        return new Aside(
            FileChannel.open(
                path,
                StandardOpenOption.CREATE_NEW,
                StandardOpenOption.READ,
                StandardOpenOption.WRITE));
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    void force() throws WriteFailed {
      try {
        channel.force(true);
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public int read(ByteBuffer into) throws WriteFailed {
      try {
        return channel.read(into);
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public int write(ByteBuffer from) throws WriteFailed {
      try {
        return channel.write(from);
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public long position() throws WriteFailed {
      try {
        return channel.position();
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public Aside position(long newPosition) throws WriteFailed {
      try {
        channel.position(newPosition);
        return this;
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public long size() throws WriteFailed {
      try {
        return channel.size();
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public Aside truncate(long size) throws WriteFailed {
      try {
        channel.truncate(size);
        return this;
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }

    @Override
    public boolean isOpen() {
      return channel.isOpen();
    }

    @Override
    public void close() throws WriteFailed {
      try {
        channel.close();
      } catch (IOException e) {
        throw new WriteFailed(e);
      }
    }
  }
}
