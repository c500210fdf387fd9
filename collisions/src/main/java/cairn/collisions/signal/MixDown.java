package cairn.collisions.signal;

import cairn.collisions.Fader;
import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.collisions.port.StemReader;
import java.io.Closeable;
import java.io.IOException;

/**
 * Sums stems to the bus, block by block; definitions.md, 1. For one thread.
 *
 * <p>Stems are added in session order, product then sum, in double precision, so the bus is the
 * same to the bit whatever the blocks and the threads.
 */
public final class MixDown implements Closeable {

  private final Session session;
  private final StemReader reader;
  private final int stems;
  private final double[] openFactor;
  private final boolean[] onBus;
  private final int maxFrames;
  private final double[][] samples;

  /**
   * Takes over the reader and closes it with itself.
   *
   * @param maxFrames the longest block that will be asked for, in frames
   */
  public MixDown(Session session, StemReader reader, int maxFrames) {
    this.session = session;
    this.reader = reader;
    this.maxFrames = maxFrames;
    stems = session.stems().size();
    openFactor = new double[stems];
    onBus = new boolean[stems];
    for (int k = 0; k < stems; k++) {
      openFactor[k] = session.openFactor(k);
      onBus[k] = session.isOnBus(k);
    }
    samples = Block.stereo(maxFrames);
  }

  /**
   * Writes {@code bus[0 : 2][0 : frames]}, the bus from {@code firstFrame} on; silence before frame
   * 0 and after the last stem's end.
   */
  public void sum(long firstFrame, int frames, double[][] bus) throws IOException {
    Block.clear(bus, 0, frames);
    for (int k = 0; k < stems; k++) {
      if (onBus[k]) {
        add(k, firstFrame, frames, bus);
      }
    }
  }

  /**
   * As {@link #sum}, and raises {@code stemPeak[k]} to the largest level of each stem in the block,
   * with mute and solo left aside.
   */
  public void sum(long firstFrame, int frames, double[][] bus, double[] stemPeak)
      throws IOException {
    Block.clear(bus, 0, frames);
    for (int k = 0; k < stems; k++) {
      double peak = add(k, firstFrame, frames, bus);
      // Rounding keeps order, so the largest product is that of the largest sample.
      stemPeak[k] = Math.max(stemPeak[k], Math.abs(openFactor[k]) * peak);
    }
  }

  /**
   * Writes {@code y[0 : 2][0 : frames]}, stem {@code k} as it stands on the bus: {@code y_k[c][n] =
   * g_k · x_k[c][n − o_k]}; silence if it is not on the bus.
   */
  public void stemOnBus(int k, long firstFrame, int frames, double[][] y) throws IOException {
    Block.clear(y, 0, frames);
    if (!onBus[k]) {
      return;
    }
    int from = firstInside(k, firstFrame, frames);
    int to = endInside(k, firstFrame, frames);
    if (from >= to) {
      return;
    }
    reader.read(k, firstFrame + from - session.faders().get(k).offset(), to - from, y, from);
    if (session.stems().get(k).channels() == 1) {
      System.arraycopy(y[0], from, y[1], from, to - from);
    }
    Block.scale(y[0], y[0], openFactor[k], from, to);
    Block.scale(y[1], y[1], openFactor[k], from, to);
  }

  /** Adds a stem to the bus if it is heard there; the largest absolute sample of its file part. */
  private double add(int k, long firstFrame, int frames, double[][] bus) throws IOException {
    if (frames > maxFrames) {
      throw new IllegalArgumentException(
          "frames must be <= maxFrames: frames=" + frames + ", maxFrames=" + maxFrames);
    }
    int from = firstInside(k, firstFrame, frames);
    int to = endInside(k, firstFrame, frames);
    if (from >= to) {
      return 0;
    }
    Stem stem = session.stems().get(k);
    Fader fader = session.faders().get(k);
    reader.read(k, firstFrame + from - fader.offset(), to - from, samples, from);
    double[] left = samples[0];
    double[] right = stem.channels() == 1 ? left : samples[1];
    if (onBus[k]) {
      Block.add(bus[0], left, openFactor[k], from, to);
      Block.add(bus[1], right, openFactor[k], from, to);
    }
    double peak = Block.peak(left, from, to);
    return stem.channels() == 1 ? peak : Math.max(peak, Block.peak(right, from, to));
  }

  /** First frame of the block that lies in the stem's file; may be past the block's end. */
  private int firstInside(int k, long firstFrame, int frames) {
    long start = session.faders().get(k).offset() - firstFrame;
    return (int) Math.min(frames, Math.max(0, start));
  }

  private int endInside(int k, long firstFrame, int frames) {
    long end = session.faders().get(k).offset() + session.stems().get(k).frames() - firstFrame;
    return (int) Math.min(frames, Math.max(0, end));
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
