package cairn.io.sound;

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

  /**
   * What is read at once. Measured with 24-bit stereo (Linux, OpenJDK 17, two cores): from 128 to
   * 512 KiB within the noise, 32 and 64 KiB a tenth to a fifth slower.
   */
  private static final int SLICE_BYTES = 256 * 1024;

  /**
   * One buffer a thread, not one a reader: a session of a hundred stems has hundreds of readers,
   * and a buffer that all of them share stays in the cache.
   */
  private static final ThreadLocal<byte[]> RAW =
      ThreadLocal.withInitial(() -> new byte[SLICE_BYTES + LinearCoding.PADDING_BYTES]);

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
  public SoundReader openReader() {
    return new Reader();
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }

  private final class Reader implements SoundReader {

    @Override
    public void read(long firstFrame, int frames, double[][] into, int at) throws IOException {
      SoundFormat format = layout.format();
      int channels = format.channels();
      Objects.checkFromIndexSize(firstFrame, frames, format.frames());
      for (int c = 0; c < channels; c++) {
        Objects.checkFromIndexSize(at, frames, into[c].length);
      }
      byte[] raw = RAW.get();
      int frameBytes = layout.frameBytes();
      int sliceFrames = SLICE_BYTES / frameBytes;
      for (int done = 0; done < frames; ) {
        int count = Math.min(sliceFrames, frames - done);
        long first = firstFrame + done;
        fetch(raw, layout.firstByte() + first * frameBytes, count * frameBytes);
        if (!layout.coding().decode(raw, channels, count, into, at + done)) {
          int bad = firstNotFinite(into, channels, at + done);
          throw new UnusableStem.NotFinite(path, first + bad, format.sampleRateHz());
        }
        done += count;
      }
    }

    private void fetch(byte[] raw, long position, int bytes) throws IOException {
      ByteBuffer buffer = ByteBuffer.wrap(raw, 0, bytes);
      while (buffer.hasRemaining()) {
        if (channel.read(buffer, position + buffer.position()) < 0) {
          throw new UnusableStem.Changed(path);
        }
      }
    }

    private int firstNotFinite(double[][] into, int channels, int at) {
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
      // The channel belongs to the file, the buffer to the thread.
    }
  }
}
