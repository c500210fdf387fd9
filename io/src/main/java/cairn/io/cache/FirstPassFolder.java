package cairn.io.cache;

import cairn.collisions.PassMemory;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.line.FirstPass;
import cairn.collisions.line.HeldLine;
import cairn.collisions.line.WindowGrid;
import cairn.collisions.loudness.Metering;
import cairn.collisions.moment.OverLine;
import cairn.io.files.WholeFile;
import cairn.io.files.XdgFolders;
import cairn.io.stems.StemFiles;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;

/**
 * First passes over some open stems, and the moments over their lines, kept in the user's cache
 * folder. An entry holds for the stems exactly as they are ({@link EntryKey}); as the bus is the
 * sum of all of them, any change of any stem, fader or window makes the whole first pass run again.
 *
 * <p>Nothing here fails: the folder may be missing, full, read-only or deleted at any time.
 */
public final class FirstPassFolder implements PassMemory {

  /** All entries together have at most so many bytes: 256 MiB. */
  public static final long MOST_BYTES = 1L << 28;

  /**
   * A file that changed so shortly before it was read may change again within the same tick of a
   * coarse clock (2 s on FAT, the coarsest in use) and look the same: not kept.
   */
  private static final Duration TICK = Duration.ofSeconds(2);

  /** What was written aside and is older was left behind by a program that was killed. */
  private static final Duration ABANDONED = Duration.ofHours(1);

  private static final String FIRST_PASS = ".sum";
  private static final String MOMENTS = ".moments";

  private final Path folder;
  private final StemFiles files;
  private final InstantSource clock;
  private final long mostBytes;
  private final EntryKey opened;
  private final boolean settled;

  private FirstPassFolder(
      Path folder,
      StemFiles files,
      InstantSource clock,
      long mostBytes,
      EntryKey opened,
      boolean settled) {
    this.folder = folder;
    this.files = files;
    this.clock = clock;
    this.mostBytes = mostBytes;
    this.opened = opened;
    this.settled = settled;
  }

  /**
   * The memory for some stems; make it after they were opened and before they are read.
   *
   * @param folders the user's folders
   * @param files the open stems
   * @param clock tells the time of now
   * @return one that remembers nothing, where there is no cache folder
   */
  public static PassMemory of(XdgFolders folders, StemFiles files, InstantSource clock) {
    return of(folders, files, clock, MOST_BYTES);
  }

  static PassMemory of(XdgFolders folders, StemFiles files, InstantSource clock, long mostBytes) {
    if (folders.cache().isEmpty()) {
      return PassMemory.NONE;
    }
    try {
      Instant now = clock.instant();
      EntryKey opened = EntryKey.of(files.set());
      // The names that were looked at still lead to the files that are open.
      files.verifyUnchanged();
      return new FirstPassFolder(
          folders.cache().get().resolve("first-pass"),
          files,
          clock,
          mostBytes,
          opened,
          opened.lastChange().isBefore(now.minus(TICK)));
    } catch (IOException e) {
      return PassMemory.NONE; // whoever reads the stems will say what is wrong with them
    }
  }

  @Override
  public Optional<FirstPass.Measured> find(
      Session session, WindowGrid grid, PeakMode mode, Metering metering) {
    byte[] key = opened.of(session, grid, mode);
    return find(
        key,
        FIRST_PASS,
        bytes ->
            EntryFormat.read(
                bytes, key, session.sampleRateHz(), session.stems().size(), grid, metering));
  }

  @Override
  public Optional<OverLine> findMoments(Session session, HeldLine line) {
    byte[] key = opened.of(session, line);
    return find(key, MOMENTS, bytes -> Optional.of(MomentsFormat.read(bytes, key, session, line)));
  }

  /** What an entry holds. */
  @FunctionalInterface
  private interface Format<T> {
    Optional<T> read(byte[] bytes) throws IOException;
  }

  private <T> Optional<T> find(byte[] key, String ending, Format<T> format) {
    Path file = folder.resolve(EntryKey.fileName(key, ending));
    try {
      if (!Files.isRegularFile(file) || Files.size(file) > mostBytes) {
        return Optional.empty();
      }
      Optional<T> found = format.read(Files.readAllBytes(file));
      touch(file);
      return found;
    } catch (IOException e) {
      return Optional.empty(); // damaged or gone: made again
    }
  }

  /** The oldest go first, so what is used must look young. */
  private void touch(Path file) {
    try {
      Files.setLastModifiedTime(file, FileTime.from(clock.instant()));
    } catch (IOException e) {
      return; // it goes a little earlier, then
    }
  }

  @Override
  public void keep(Session session, WindowGrid grid, PeakMode mode, FirstPass.Measured measured) {
    byte[] key = opened.of(session, grid, mode);
    keep(key, FIRST_PASS, () -> EntryFormat.write(key, measured));
  }

  @Override
  public void keepMoments(Session session, HeldLine line, OverLine found) {
    byte[] key = opened.of(session, line);
    keep(key, MOMENTS, () -> MomentsFormat.write(key, found));
  }

  private void keep(byte[] key, String ending, Supplier<byte[]> entry) {
    try {
      if (!settled || !EntryKey.of(files.set()).sameFiles(opened)) {
        return;
      }
      files.verifyUnchanged();
      byte[] bytes = entry.get();
      if (bytes.length > mostBytes) {
        return;
      }
      XdgFolders.make(folder);
      Path file = folder.resolve(EntryKey.fileName(key, ending));
      WholeFile.write(file, true, files.set().inputs(), out -> out.write(bytes));
      touch(file);
      makeRoom(file);
    } catch (IOException | UncheckedIOException | ArithmeticException e) {
      return; // the next opening takes longer, that is all
    }
  }

  private record Entry(Path file, FileTime used, long bytes) {}

  /** Deletes the entries that were not used for longest, and what killed programs left. */
  private void makeRoom(Path fresh) throws IOException {
    List<Entry> entries = new ArrayList<>();
    long total = 0;
    FileTime abandoned = FileTime.from(clock.instant().minus(ABANDONED));
    try (Stream<Path> all = Files.list(folder)) {
      for (Path file : (Iterable<Path>) all::iterator) {
        BasicFileAttributes attributes = Files.readAttributes(file, BasicFileAttributes.class);
        String name = file.getFileName().toString();
        if (name.endsWith(FIRST_PASS) || name.endsWith(MOMENTS)) {
          entries.add(new Entry(file, attributes.lastModifiedTime(), attributes.size()));
          total += attributes.size();
        } else if (name.endsWith(".tmp")
            && attributes.lastModifiedTime().compareTo(abandoned) < 0) {
          Files.deleteIfExists(file);
        }
      }
    }
    entries.sort(Comparator.comparing(Entry::used));
    for (Entry entry : entries) {
      if (total <= mostBytes) {
        return;
      }
      if (!entry.file().equals(fresh)) {
        Files.deleteIfExists(entry.file());
        total -= entry.bytes();
      }
    }
  }
}
