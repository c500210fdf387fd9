package cairn.io.sound;

import java.io.Closeable;
import java.io.IOException;
import java.io.OutputStream;
import java.util.Objects;

/**
 * Writes a header and then uncompressed frames to a stream, from front to back, never seeking: the
 * number of frames is settled beforehand. Writes no dither.
 */
public final class LinearSoundWriter implements Closeable {

  private static final int SLICE_BYTES = 64 * 1024;

  private final OutputStream out;
  private final LinearCoding coding;
  private final int channels;
  private final long frames;
  private final byte[] raw = new byte[SLICE_BYTES];
  private long written;
  private long beyondFullScale;

  /**
   * Writes {@code header} to {@code out}.
   *
   * @param out where to write; this writer closes it
   * @param frames how many frames will be written
   */
  public LinearSoundWriter(
      OutputStream out, byte[] header, LinearCoding coding, int channels, long frames)
      throws IOException {
    this.out = out;
    this.coding = coding;
    this.channels = channels;
    this.frames = frames;
    out.write(header);
  }

  /**
   * Writes {@code block[0 : channels][at : at + count]}, 1.0 = full scale. In whole numbers a value
   * becomes the nearest one, halves upwards; beyond full scale it becomes full scale, which {@link
   * #beyondFullScale} counts.
   *
   * @throws IllegalArgumentException if a value is not finite, or too large for the float it
   *     becomes
   * @throws IllegalStateException if these are more frames than were announced
   */
  public void write(double[][] block, int at, int count) throws IOException {
    for (int c = 0; c < channels; c++) {
      Objects.checkFromIndexSize(at, count, block[c].length);
    }
    if (count > frames - written) {
      throw new IllegalStateException(
          "must not write more frames than announced: frames="
              + frames
              + ", written="
              + written
              + ", count="
              + count);
    }
    int frameBytes = channels * coding.bytes();
    int sliceFrames = SLICE_BYTES / frameBytes;
    for (int done = 0; done < count; ) {
      int slice = Math.min(sliceFrames, count - done);
      beyondFullScale += coding.encode(block, at + done, slice, channels, raw);
      out.write(raw, 0, slice * frameBytes);
      done += slice;
    }
    written += count;
    if (written == frames && count > 0 && (frames & frameBytes & 1) == 1) {
      out.write(0);
    }
  }

  /** How many samples so far lay beyond full scale and were brought to it. */
  public long beyondFullScale() {
    return beyondFullScale;
  }

  /**
   * Closes the stream.
   *
   * @throws IllegalStateException if fewer frames were written than announced; the file is then not
   *     what its header says
   */
  @Override
  public void close() throws IOException {
    out.close();
    if (written != frames) {
      throw new IllegalStateException(
          "must write all frames announced: frames=" + frames + ", written=" + written);
    }
  }
}
