package cairn.io.cache;

import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.io.stems.StemFile;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.util.HexFormat;
import java.util.zip.CRC32C;

/**
 * What a first pass depends on, as one hash (SHA-256): of every file its real path, the system's
 * key of it (the inode), size, time of the last change of its content and of its attributes, and a
 * CRC-32C of its first {@value #HEADER_BYTES} bytes; of every stem its files, channels, length,
 * gain factor with polarity and mono gain, offset, and whether it is on the bus; what levels are
 * read from, the sample rate and the edges of all windows, which hold range and beats.
 *
 * <p>Moments depend on line and average peak of each window besides.
 *
 * <p>The bus is a sum, so a change of one stem needs all of them again: there is one key for the
 * whole, none for a stem.
 */
final class EntryKey {

  static final int HEADER_BYTES = 4096;

  static final int BYTES = 32;

  private final byte[] files;
  private final Instant lastChange;

  private EntryKey(byte[] files, Instant lastChange) {
    this.files = files;
    this.lastChange = lastChange;
  }

  /** Looks at all files of a set as they are now. */
  static EntryKey of(StemSet set) throws IOException {
    MessageDigest hash = sha256();
    Instant lastChange = Instant.MIN;
    for (StemFile stem : set.stems()) {
      putLong(hash, stem.paths().size());
      for (Path path : stem.paths()) {
        BasicFileAttributes attributes = Files.readAttributes(path, BasicFileAttributes.class);
        FileTime changed = attributesChanged(path, attributes);
        putText(hash, path.toRealPath().toString());
        putText(hash, String.valueOf(attributes.fileKey()));
        putLong(hash, attributes.size());
        putInstant(hash, attributes.lastModifiedTime().toInstant());
        putInstant(hash, changed.toInstant());
        try (InputStream in = Files.newInputStream(path)) {
          CRC32C header = new CRC32C();
          header.update(in.readNBytes(HEADER_BYTES));
          putLong(hash, header.getValue());
        }
        lastChange = later(lastChange, attributes.lastModifiedTime().toInstant());
        lastChange = later(lastChange, changed.toInstant());
      }
    }
    return new EntryKey(hash.digest(), lastChange);
  }

  /** When the attributes were changed last, which nobody can set back; else as the content. */
  private static FileTime attributesChanged(Path path, BasicFileAttributes attributes)
      throws IOException {
    if (path.getFileSystem().supportedFileAttributeViews().contains("unix")
        && Files.getAttribute(path, "unix:ctime") instanceof FileTime changed) {
      return changed;
    }
    return attributes.lastModifiedTime();
  }

  private static Instant later(Instant a, Instant b) {
    return a.isAfter(b) ? a : b;
  }

  /** When the last one of the files was changed. */
  Instant lastChange() {
    return lastChange;
  }

  /** Whether the files are the same. */
  boolean sameFiles(EntryKey other) {
    return MessageDigest.isEqual(files, other.files);
  }

  /** The key of a first pass over these files. */
  byte[] of(Session session, WindowGrid grid, PeakMode mode) {
    MessageDigest hash = sha256();
    hash.update(files);
    putText(hash, mode.name());
    putLong(hash, session.sampleRateHz());
    putLong(hash, session.stems().size());
    for (int k = 0; k < session.stems().size(); k++) {
      putLong(hash, session.stems().get(k).channels());
      putLong(hash, session.stems().get(k).frames());
      putLong(hash, Double.doubleToLongBits(session.openFactor(k)));
      putLong(hash, session.isOnBus(k) ? 1 : 0);
      putLong(hash, session.faders().get(k).offset());
    }
    putLong(hash, grid.windows());
    for (int j = 0; j < grid.windows(); j++) {
      putLong(hash, grid.firstFrame(j));
    }
    putLong(hash, grid.range().endFrame());
    return hash.digest();
  }

  /** The key of the moments over a line, of a first pass over these files. */
  byte[] of(Session session, HeldLine line) {
    MessageDigest hash = sha256();
    hash.update(of(session, line.grid(), line.mode()));
    ByteBuffer levels = ByteBuffer.allocate(2 * Double.BYTES * line.grid().windows());
    for (int j = 0; j < line.grid().windows(); j++) {
      levels.putDouble(line.level(j)).putDouble(line.averagePeak().at(j));
    }
    hash.update(levels.flip());
    return hash.digest();
  }

  /** The name of the file of a key. */
  static String fileName(byte[] key, String ending) {
    return HexFormat.of().formatHex(key) + ending;
  }

  private static void putInstant(MessageDigest hash, Instant instant) {
    putLong(hash, instant.getEpochSecond());
    putLong(hash, instant.getNano());
  }

  private static void putText(MessageDigest hash, String text) {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    putLong(hash, bytes.length);
    hash.update(bytes);
  }

  private static void putLong(MessageDigest hash, long number) {
    hash.update(ByteBuffer.allocate(Long.BYTES).putLong(number).flip());
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
