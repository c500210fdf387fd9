package cairn.io.flac;

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

  FlacReader(FlacFile file) {
    this.file = file;
    this.scale = 1.0 / (1L << (file.info().bits() - 1));
    this.stream = new FrameStream(file);
  }

  @Override
  public void read(long firstFrame, int frames, double[][] into, int at) throws IOException {
    Objects.checkFromIndexSize(firstFrame, frames, file.format().frames());
    if (stream == null) {
      throw new ClosedChannelException();
    }
    long frame = firstFrame;
    long endFrame = firstFrame + frames;
    int target = at;
    while (frame < endFrame) {
      stream.moveTo(frame);
      int count = (int) (Math.min(endFrame, stream.endFrame()) - frame);
      int from = FrameDecoder.LEAD + (int) (frame - stream.firstFrame());
      int[][] samples = stream.samples();
      for (int c = 0; c < samples.length; c++) {
        convert(samples[c], from, into[c], target, count, scale);
      }
      frame += count;
      target += count;
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
