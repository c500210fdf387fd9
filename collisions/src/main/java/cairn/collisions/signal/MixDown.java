package cairn.collisions.signal;

import cairn.collisions.Session;
import cairn.collisions.port.SliceTaker;
import cairn.collisions.port.StemReader;
import java.io.Closeable;
import java.io.IOException;

/**
 * Sums stems to the bus, block by block; definitions.md, 1. For one thread.
 *
 * <p>Stems are added in session order, product then sum, in double precision, so the bus is the
 * same to the bit whatever the blocks and the threads.
 */
public final class MixDown implements StemsOnBus, Closeable {

  private final Session session;
  private final StemReader reader;
  private final int stems;
  private final double[] openFactor;
  private final boolean[] onBus;
  private double[][] samples = Block.stereo(0);
  private final Adder adder = new Adder();
  private final WholeSum wholeSum;
  private final double[] wholePeak;

  /** Takes over the reader and closes it with itself. */
  public MixDown(Session session, StemReader reader) {
    this.session = session;
    this.reader = reader;
    stems = session.stems().size();
    openFactor = new double[stems];
    onBus = new boolean[stems];
    for (int k = 0; k < stems; k++) {
      openFactor[k] = session.openFactor(k);
      onBus[k] = session.isOnBus(k);
    }
    wholeSum = new WholeSum(session, reader, onBus, openFactor);
    wholePeak = new double[stems];
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
    sum(firstFrame, frames, bus, stemPeak, StemTap.NONE);
  }

  /** The same, and lets {@code tap} listen to each stem, if it listens at all. */
  public void sum(long firstFrame, int frames, double[][] bus, double[] stemPeak, StemTap tap)
      throws IOException {
    int whole = tap.listens() ? 0 : wholeSum.sum(firstFrame, frames, bus, wholePeak);
    for (int k = 0; k < whole; k++) {
      raise(stemPeak, k, wholePeak[k]);
    }
    if (whole == 0) {
      Block.clear(bus, 0, frames);
    }
    for (int k = whole; k < stems; k++) {
      double peak = add(k, firstFrame, frames, bus);
      int from = firstInside(session, k, firstFrame, frames);
      int to = Math.max(from, endInside(session, k, firstFrame, frames));
      boolean mono = session.stems().get(k).channels() == 1;
      tap.take(k, samples[0], mono ? samples[0] : samples[1], from, to, frames, peak);
      raise(stemPeak, k, peak);
    }
  }

  /** Rounding keeps order, so the largest product is that of the largest sample. */
  private void raise(double[] stemPeak, int k, double peak) {
    stemPeak[k] = Math.max(stemPeak[k], Math.abs(openFactor[k]) * peak);
  }

  /**
   * Writes {@code y[0 : 2][0 : frames]}, stem {@code k} as it stands on the bus: {@code y_k[c][n] =
   * g_k · x_k[c][n − o_k]}; silence if it is not on the bus.
   */
  @Override
  public void stemOnBus(int k, long firstFrame, int frames, double[][] y) throws IOException {
    Block.clear(y, 0, frames);
    if (!onBus[k]) {
      return;
    }
    int from = firstInside(session, k, firstFrame, frames);
    int to = endInside(session, k, firstFrame, frames);
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
    int from = firstInside(session, k, firstFrame, frames);
    int to = endInside(session, k, firstFrame, frames);
    if (from >= to) {
      return 0;
    }
    if (samples[0].length < frames) {
      samples = Block.stereo(frames);
    }
    adder.start(k, bus);
    long inFile = firstFrame + from - session.faders().get(k).offset();
    reader.readSlices(k, inFile, to - from, samples, from, adder);
    return adder.peak;
  }

  /** Adds slices of one stem to the bus and keeps their largest absolute sample. */
  private final class Adder implements SliceTaker {
    private double[][] bus;
    private boolean mono;
    private boolean heard;
    private double factor;
    double peak;

    void start(int k, double[][] newBus) {
      bus = newBus;
      mono = session.stems().get(k).channels() == 1;
      heard = onBus[k];
      factor = openFactor[k];
      peak = 0;
    }

    @Override
    public void take(int from, int to, double slicePeak) {
      double[] left = samples[0];
      double[] right = mono ? left : samples[1];
      if (slicePeak == UNKNOWN) {
        peak = Math.max(peak, Block.peak(left, from, to));
        if (!mono) {
          peak = Math.max(peak, Block.peak(right, from, to));
        }
      } else {
        peak = Math.max(peak, slicePeak);
      }
      if (heard) {
        Block.add(bus[0], left, factor, from, to);
        Block.add(bus[1], right, factor, from, to);
      }
    }
  }

  /** First frame of the block that lies in the stem's file; may be past the block's end. */
  static int firstInside(Session session, int k, long firstFrame, int frames) {
    long start = session.faders().get(k).offset() - firstFrame;
    return (int) Math.min(frames, Math.max(0, start));
  }

  /**
   * Frame of the block after the last one that lies in the stem's file; may be before its start.
   */
  static int endInside(Session session, int k, long firstFrame, int frames) {
    long end = session.faders().get(k).offset() + session.stems().get(k).frames() - firstFrame;
    return (int) Math.min(frames, Math.max(0, end));
  }

  @Override
  public void close() throws IOException {
    reader.close();
  }
}
