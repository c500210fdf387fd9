package cairn.io.sound;

import cairn.collisions.port.SliceTaker;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * A sound file whose samples lie uncompressed in one stretch. One file descriptor serves all its
 * readers. Interrupting a thread that reads closes the file for all of them, as always with {@link
 * FileChannel}: cancel by asking, not by interrupting.
 */
public final class LinearSoundFile implements SoundFile {

  /** What is read at once where more is asked for than is read ahead. */
  private static final int FETCH_BYTES = 256 * 1024;

  /**
   * What is decoded at once: from this array on the heap, always from its start. A loop whose first
   * byte is a variable keeps its bounds checks and takes twice as long.
   */
  private static final int SLICE_BYTES = 16 * 1024;

  /**
   * Frames of a slice: two channels of them, decoded, stay in a processor's first cache while they
   * are measured and added.
   */
  private static final int SLICE_FRAMES = 1024;

  private static final SliceTaker NOBODY = (from, to, peak) -> {};

  /** Buffers of one thread; all its readers share them, so that they stay in the cache. */
  private static final ThreadLocal<Buffers> BUFFERS = ThreadLocal.withInitial(Buffers::new);

  private static final class Buffers {
    /** Outside the heap: the system writes into it, and nothing is copied twice. */
    final ByteBuffer fetched = ByteBuffer.allocateDirect(FETCH_BYTES);

    final byte[] slice =
        new byte[LinearCoding.LEAD_BYTES + SLICE_BYTES + LinearCoding.PADDING_BYTES];
  }

  private final Path path;
  private final FileChannel channel;
  private final Layout layout;

  private LinearSoundFile(Path path, FileChannel channel, Layout layout) {
    this.path = path;
    this.channel = channel;
    this.layout = layout;
  }

  /**
   * Where the samples are and what they mean.
   *
   * @param format what the file holds, at least one frame
   * @param coding how a sample is written
   * @param firstByte position of frame 0 in the file
   * @param broadcast the {@code bext} chunk, where there is one
   * @param mended as in {@link SoundFile#mended}
   */
  public record Layout(
      SoundFormat format,
      LinearCoding coding,
      long firstByte,
      Optional<BroadcastInfo> broadcast,
      List<String> mended) {

    public Layout {
      Objects.requireNonNull(format, "format");
      Objects.requireNonNull(coding, "coding");
      Objects.requireNonNull(broadcast, "broadcast");
      mended = List.copyOf(mended);
    }

    /** Size of one frame in bytes. */
    public int frameBytes() {
      return format.channels() * coding.bytes();
    }
  }

  /** Reads a header of one file format. */
  @FunctionalInterface
  public interface HeaderParser {
    /**
     * The layout of the file.
     *
     * @throws UnusableStem if it cannot be used; the one line says why
     */
    Layout parse(HeaderBytes header) throws IOException;
  }

  /**
   * Opens {@code path} and parses its header.
   *
   * @param order the byte order of the header's numbers
   * @throws UnusableStem if the file cannot be used; the one line says why
   * @throws IOException if it cannot be read
   */
  public static LinearSoundFile open(Path path, ByteOrder order, HeaderParser parser)
      throws IOException {
    // Opening a pipe would wait for its other end.
    if (!Files.readAttributes(path, BasicFileAttributes.class).isRegularFile()) {
      throw new UnusableStem.NotSound(path, "is not a file; leave it out");
    }
    FileChannel channel = FileChannel.open(path, StandardOpenOption.READ);
    try {
      Layout layout = parser.parse(new HeaderBytes(path, channel, order));
      return new LinearSoundFile(path, channel, layout);
    } catch (IOException | RuntimeException e) {
      channel.close();
      throw e;
    }
  }

  @Override
  public Path path() {
    return path;
  }

  @Override
  public SoundFormat format() {
    return layout.format();
  }

  @Override
  public Optional<BroadcastInfo> broadcast() {
    return layout.broadcast();
  }

  @Override
  public List<String> mended() {
    return layout.mended();
  }

  /** Where the samples are. */
  public Layout layout() {
    return layout;
  }

  @Override
  public int wholeBits() {
    return layout.coding().wholeBits();
  }

  @Override
  public SoundReader openReader() {
    return new Reader(0);
  }

  @Override
  public SoundReader openReader(int aheadBytes) {
    return new Reader(aheadBytes);
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }

  private final class Reader implements SoundReader {

    private final int channels = layout.format().channels();
    private final int frameBytes = layout.frameBytes();
    private final int aheadFrames;

    /** Frames {@code [aheadFirst, aheadEnd)} of the file; allocated when first of use. */
    private ByteBuffer ahead;

    private long aheadFirst;
    private long aheadEnd;

    /** Where a read goes on if it goes forwards. */
    private long next = -1;

    private boolean forwards;

    /** What {@link #hold} found: frames in a buffer, the first of them {@code heldFrom}. */
    private ByteBuffer held;

    private int heldFrom;

    Reader(int aheadBytes) {
      aheadFrames = aheadBytes / frameBytes;
    }

    @Override
    public void read(long firstFrame, int frames, double[][] into, int at) throws IOException {
      readSlices(firstFrame, frames, into, at, NOBODY);
    }

    @Override
    public void readSlices(long firstFrame, int frames, double[][] into, int at, SliceTaker taker)
        throws IOException {
      checkRange(firstFrame, frames, into, at + frames);
      begin(firstFrame, frames);
      Buffers buffers = BUFFERS.get();
      for (int done = 0; done < frames; ) {
        int count = hold(buffers, firstFrame + done, frames - done);
        decodeSlices(firstFrame + done, count, buffers.slice, into, at + done, taker);
        done += count;
      }
    }

    @Override
    public void readWhole(long firstFrame, int frames, int[][] words, SliceTaker taker)
        throws IOException {
      Objects.checkFromIndexSize(firstFrame, frames, layout.format().frames());
      begin(firstFrame, frames);
      Buffers buffers = BUFFERS.get();
      int most = SLICE_BYTES / frameBytes;
      int filled = 0;
      int count;
      for (int done = 0; done < frames; done += count) {
        count = hold(buffers, firstFrame + done, frames - done);
        int some;
        for (int used = 0; used < count; used += some) {
          some = Math.min(Math.min(most, words[0].length - filled), count - used);
          int from = (heldFrom + used) * frameBytes;
          held.get(from, buffers.slice, LinearCoding.LEAD_BYTES, some * frameBytes);
          layout.coding().decodeWhole(buffers.slice, channels, some, words, filled);
          filled += some;
          int end = done + used + some;
          if (filled == words[0].length || end == frames) {
            taker.take(end - filled, end, SliceTaker.UNKNOWN);
            filled = 0;
          }
        }
      }
    }

    /** Notes whether frames are read that follow those read last. */
    private void begin(long firstFrame, int frames) {
      forwards = firstFrame == next;
      next = firstFrame + frames;
      if (!forwards) {
        aheadEnd = 0;
      }
    }

    /**
     * Has {@link #held} hold frames from {@code first} on, at {@link #heldFrom}.
     *
     * @return how many, at most {@code wanted}
     */
    private int hold(Buffers buffers, long first, int wanted) throws IOException {
      if (forwards && first >= aheadEnd && wanted < aheadFrames) {
        fetchAhead(first);
      }
      if (first < aheadEnd) {
        held = ahead;
        heldFrom = (int) (first - aheadFirst);
        return (int) Math.min(wanted, aheadEnd - first);
      }
      int count = Math.min(wanted, FETCH_BYTES / frameBytes);
      fetch(buffers.fetched, first, count);
      held = buffers.fetched;
      heldFrom = 0;
      return count;
    }

    /** Decodes the first {@code frames} of what is held, which is frame {@code first} on. */
    private void decodeSlices(
        long first, int frames, byte[] slice, double[][] into, int at, SliceTaker taker)
        throws UnusableStem {
      int most = Math.min(SLICE_FRAMES, SLICE_BYTES / frameBytes);
      for (int done = 0; done < frames; done += most) {
        int count = Math.min(most, frames - done);
        held.get((heldFrom + done) * frameBytes, slice, 0, count * frameBytes);
        double peak = layout.coding().decode(slice, channels, count, into, at + done);
        if (Double.isNaN(peak)) {
          long bad = first + done + firstNotFinite(into, at + done);
          throw new UnusableStem.NotFinite(path, bad, layout.format().sampleRateHz());
        }
        taker.take(at + done, at + done + count, peak);
      }
    }

    private void checkRange(long firstFrame, int frames, double[][] into, int end) {
      Objects.checkFromIndexSize(firstFrame, frames, layout.format().frames());
      for (int c = 0; c < channels; c++) {
        Objects.checkFromToIndex(0, end, into[c].length);
      }
    }

    /** Fetches what follows {@code first}, as much as may be held. */
    private void fetchAhead(long first) throws IOException {
      if (ahead == null) {
        ahead = ByteBuffer.allocateDirect(aheadFrames * frameBytes);
      }
      int count = (int) Math.min(aheadFrames, layout.format().frames() - first);
      aheadEnd = 0;
      fetch(ahead, first, count);
      aheadFirst = first;
      aheadEnd = first + count;
    }

    private void fetch(ByteBuffer buffer, long firstFrame, int frames) throws IOException {
      long position = layout.firstByte() + firstFrame * frameBytes;
      buffer.clear().limit(frames * frameBytes);
      while (buffer.hasRemaining()) {
        if (channel.read(buffer, position + buffer.position()) < 0) {
          throw new UnusableStem.Changed(path);
        }
      }
    }

    private int firstNotFinite(double[][] into, int at) {
      for (int i = 0; ; i++) {
        for (int c = 0; c < channels; c++) {
          if (!Double.isFinite(into[c][at + i])) {
            return i;
          }
        }
      }
    }

    @Override
    public void close() {
      // The channel belongs to the file, the shared buffers to the thread.
      ahead = null;
      aheadEnd = 0;
    }
  }
}
