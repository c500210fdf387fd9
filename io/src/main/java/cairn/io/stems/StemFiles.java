package cairn.io.stems;

import cairn.collisions.port.SliceTaker;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.io.files.SafeText;
import cairn.io.sound.SoundFile;
import cairn.io.sound.SoundReader;
import cairn.io.sound.UnusableStem;
import java.io.Closeable;
import java.io.IOException;
import java.lang.invoke.MethodHandles;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/**
 * The open files of all stems of a set: where the samples come from. One file descriptor a file,
 * however many threads read.
 *
 * <p>Readers of different threads may be used side by side; a reader must not be used after the
 * files are closed. A thread that reads must not be interrupted: that would close the file under
 * all of them (work is cancelled through {@link cairn.collisions.port.Progress}).
 */
public final class StemFiles implements StemSource, Closeable {

  static {
    // Once descriptors have run out, no class can be loaded from a folder of classes either: what
    // tells of it is loaded before.
    try {
      MethodHandles.Lookup lookup = MethodHandles.lookup();
      lookup.ensureInitialized(SafeText.class);
      lookup.ensureInitialized(Reasons.class);
      lookup.ensureInitialized(Reasons.Named.class);
      lookup.ensureInitialized(UnusableFolder.TooManyFiles.class);
    } catch (IllegalAccessException e) {
      throw new ExceptionInInitializerError(e);
    }
  }

  /** Opens one file; another one in tests. */
  @FunctionalInterface
  interface Opener {
    SoundFile open(Path path) throws IOException;
  }

  /** What tells that a file is still the one that was opened. */
  private record Identity(long bytes, FileTime modified, Object fileKey) {
    static Identity of(Path path) throws IOException {
      BasicFileAttributes now = Files.readAttributes(path, BasicFileAttributes.class);
      return new Identity(now.size(), now.lastModifiedTime(), now.fileKey());
    }

    boolean isOf(Identity other) {
      return bytes == other.bytes
          && modified.equals(other.modified)
          && Objects.equals(fileKey, other.fileKey);
    }
  }

  /** One file, open. */
  private record Open(SoundFile file, Identity identity) {}

  /**
   * What a file is read ahead by: the first pass asks for 100 ms of each stem in turn, which would
   * be a system call for every 30 kB. With 28 kB a call, reading 2.2 GB out of the page cache takes
   * 0.31 s of a processor, with 128 kB 0.15 s (Linux 6.18 in a virtual machine).
   */
  private static final int AHEAD_BYTES = 128 * 1024;

  /** For all stems together, a thread. */
  private static final int ALL_AHEAD_BYTES = 8 * 1024 * 1024;

  private final StemSet set;

  /** One a path, per stem. */
  private final List<List<Open>> files;

  private StemFiles(StemSet set, List<List<Open>> files) {
    this.set = set;
    this.files = files;
  }

  /**
   * Opens all files of the stems.
   *
   * @throws UnusableStem.Changed if one does not hold any more what it held when the folder was
   *     read
   * @throws UnusableFolder.TooManyFiles if the system does not let so many be open
   * @throws IOException if one cannot be read; the message names it
   */
  public static StemFiles open(StemSet set) throws IOException {
    return open(set, StemProbe::open);
  }

  static StemFiles open(StemSet set, Opener opener) throws IOException {
    StemFiles all = new StemFiles(set, new ArrayList<>());
    try {
      for (StemFile stem : set.stems()) {
        List<Open> ofStem = new ArrayList<>();
        all.files.add(ofStem);
        for (Path path : stem.paths()) {
          ofStem.add(open(stem, path, opener));
        }
      }
      return all;
    } catch (UnusableStem | UnusableFolder e) {
      closeAfter(e, all);
      throw e;
    } catch (IOException e) {
      int opened = all.count();
      closeAfter(e, all);
      throw all.opensNow(opened, opener)
          ? new UnusableFolder.TooManyFiles(set.folder(), set.inputs().size(), opened, e)
          : e;
    }
  }

  private static Open open(StemFile stem, Path path, Opener opener) throws IOException {
    try {
      Identity identity = Identity.of(path);
      SoundFile file = opener.open(path);
      if (!sameSound(stem, file)) {
        file.close();
        throw new UnusableStem.Changed(path);
      }
      return new Open(file, identity);
    } catch (NoSuchFileException e) {
      throw new UnusableStem.Changed(path);
    } catch (IOException e) {
      throw Reasons.named(path, e);
    }
  }

  private static boolean sameSound(StemFile stem, SoundFile file) {
    return file.format().equals(stem.format());
  }

  /**
   * Whether the file that could not be opened can be, now that the others are closed: then it was
   * their number. The system's own words for it depend on the language that it speaks.
   */
  private boolean opensNow(int index, Opener opener) {
    if (index == 0) {
      return false;
    }
    try {
      opener.open(set.inputs().get(index)).close();
      return true;
    } catch (IOException e) {
      return false; // the first failure tells more
    }
  }

  private static void closeAfter(IOException failure, StemFiles all) {
    try {
      all.close();
    } catch (IOException e) {
      failure.addSuppressed(e);
    }
  }

  private int count() {
    return files.stream().mapToInt(List::size).sum();
  }

  /** The stems whose files these are. */
  public StemSet set() {
    return set;
  }

  @Override
  public StemReader openReader() {
    return new Reader();
  }

  /**
   * Makes sure that all files are still those that were opened: same size, same time of the last
   * change, same file.
   *
   * @throws UnusableStem.Changed for the first one that is not
   * @throws IOException if that cannot be told; the message names the file
   */
  public void verifyUnchanged() throws IOException {
    for (int k = 0; k < files.size(); k++) {
      for (int i = 0; i < files.get(k).size(); i++) {
        Path path = set.stems().get(k).paths().get(i);
        Identity now;
        try {
          now = Identity.of(path);
        } catch (NoSuchFileException e) {
          throw new UnusableStem.Changed(path);
        } catch (IOException e) {
          throw Reasons.named(path, e);
        }
        if (!now.isOf(files.get(k).get(i).identity())) {
          throw new UnusableStem.Changed(path);
        }
      }
    }
  }

  /** Closes all files, also if closing one fails. */
  @Override
  public void close() throws IOException {
    closeAll(files.stream().flatMap(List::stream).map(Open::file).toList());
  }

  private static void closeAll(List<? extends Closeable> all) throws IOException {
    IOException failure = null;
    for (Closeable each : all) {
      try {
        each.close();
      } catch (IOException e) {
        if (failure == null) {
          failure = e;
        } else {
          failure.addSuppressed(e);
        }
      }
    }
    if (failure != null) {
      throw failure;
    }
  }

  /** One thread's readers, opened when a stem is first read. */
  private final class Reader implements StemReader {

    private final int aheadBytes = Math.min(AHEAD_BYTES, ALL_AHEAD_BYTES / files.size());
    private final SoundReader[] first = new SoundReader[files.size()];
    private final SoundReader[] second = new SoundReader[files.size()];

    /** Channel 1 of the caller's block as the only channel of the right file. */
    private final double[][] right = new double[1][];

    @Override
    public void read(int stem, long firstFrame, int frames, double[][] into, int at)
        throws IOException {
      read(stem, 0, firstFrame, frames, into, at);
      if (files.get(stem).size() == 2) {
        right[0] = into[1];
        read(stem, 1, firstFrame, frames, right, at);
      }
    }

    @Override
    public void readSlices(
        int stem, long firstFrame, int frames, double[][] into, int at, SliceTaker taker)
        throws IOException {
      if (files.get(stem).size() == 2) {
        StemReader.super.readSlices(stem, firstFrame, frames, into, at, taker);
        return;
      }
      SoundReader reader = reader(stem, 0);
      try {
        reader.readSlices(firstFrame, frames, into, at, taker);
      } catch (IOException e) {
        throw named(stem, 0, e);
      }
    }

    /** Two files that are one stem are read as doubles. */
    @Override
    public int wholeBits(int stem) {
      List<Open> ofStem = files.get(stem);
      return ofStem.size() == 1 ? ofStem.get(0).file().wholeBits() : 0;
    }

    @Override
    public void readWhole(int stem, long firstFrame, int frames, int[][] words, SliceTaker taker)
        throws IOException {
      SoundReader reader = reader(stem, 0);
      try {
        reader.readWhole(firstFrame, frames, words, taker);
      } catch (IOException e) {
        throw named(stem, 0, e);
      }
    }

    /** The reader of a stem's file, opened when it is first asked for. */
    private SoundReader reader(int stem, int i) throws IOException {
      SoundReader[] readers = i == 0 ? first : second;
      if (readers[stem] == null) {
        readers[stem] = openReader(stem, i);
      }
      return readers[stem];
    }

    private IOException named(int stem, int i, IOException e) {
      return Reasons.named(set.stems().get(stem).paths().get(i), e);
    }

    private SoundReader openReader(int stem, int i) throws IOException {
      try {
        return files.get(stem).get(i).file().openReader(aheadBytes);
      } catch (IOException e) {
        throw named(stem, i, e);
      }
    }

    private void read(int stem, int i, long firstFrame, int frames, double[][] into, int at)
        throws IOException {
      SoundReader reader = reader(stem, i);
      try {
        reader.read(firstFrame, frames, into, at);
      } catch (IOException e) {
        throw named(stem, i, e);
      }
    }

    @Override
    public void close() throws IOException {
      List<Closeable> open = new ArrayList<>();
      for (int k = 0; k < first.length; k++) {
        if (first[k] != null) {
          open.add(first[k]);
        }
        if (second[k] != null) {
          open.add(second[k]);
        }
      }
      closeAll(open);
    }
  }
}
