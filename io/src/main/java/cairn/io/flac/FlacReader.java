package cairn.io.flac;

import cairn.collisions.port.SliceTaker;
import cairn.io.sound.SoundReader;
import java.io.IOException;
import java.nio.channels.ClosedChannelException;
import java.util.Objects;

/** One thread's way to the samples of a FLAC file. */
final class FlacReader implements SoundReader {

  private final FlacFile file;

  /** Takes a whole number to 1.0 = full scale: a power of two, so each product is exact. */
  private final double scale;

  private FrameStream stream;

  /** Where in the stream's samples {@link #hold} found its frame. */
  private int heldFrom;

  FlacReader(FlacFile file) {
    this.file = file;
    this.scale = 1.0 / (1L << (file.info().bits() - 1));
    this.stream = new FrameStream(file);
  }

  @Override
  public void read(long firstFrame, int frames, double[][] into, int at) throws IOException {
    begin(firstFrame, frames);
    for (int done = 0; done < frames; ) {
      int count = hold(firstFrame + done, frames - done);
      int[][] samples = stream.samples();
      for (int c = 0; c < samples.length; c++) {
        convert(samples[c], heldFrom, into[c], at + done, count, scale);
      }
      done += count;
    }
  }

  @Override
  public void readWhole(long firstFrame, int frames, int[][] words, SliceTaker taker)
      throws IOException {
    begin(firstFrame, frames);
    int shift = Integer.SIZE - file.info().bits();
    int count;
    for (int done = 0; done < frames; done += count) {
      count = Math.min(words[0].length, frames - done);
      for (int filled = 0; filled < count; ) {
        int some = hold(firstFrame + done + filled, count - filled);
        int[][] samples = stream.samples();
        for (int c = 0; c < samples.length; c++) {
          shift(samples[c], heldFrom, words[c], filled, some, shift);
        }
        filled += some;
      }
      taker.take(done, done + count, SliceTaker.UNKNOWN);
    }
  }

  private void begin(long firstFrame, int frames) throws IOException {
    Objects.checkFromIndexSize(firstFrame, frames, file.format().frames());
    if (stream == null) {
      throw new ClosedChannelException();
    }
  }

  /**
   * Has the stream hold {@code frame} on, at {@link #heldFrom} of its samples.
   *
   * @return how many frames, at most {@code wanted}
   */
  private int hold(long frame, int wanted) throws IOException {
    stream.moveTo(frame);
    heldFrom = FrameDecoder.LEAD + (int) (frame - stream.firstFrame());
    return (int) Math.min(wanted, stream.endFrame() - frame);
  }

  private static void shift(int[] samples, int from, int[] into, int at, int count, int shift) {
    for (int i = 0; i < count; i++) {
      into[at + i] = samples[from + i] << shift;
    }
  }

  private static void convert(
      int[] samples, int from, double[] into, int at, int count, double scale) {
    for (int i = 0; i < count; i++) {
      into[at + i] = samples[from + i] * scale;
    }
  }

  @Override
  public void close() {
    stream = null;
  }
}
