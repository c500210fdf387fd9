package cairn.collisions;

import cairn.collisions.port.Progress;
import cairn.collisions.port.SliceTaker;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongToDoubleFunction;

/** Stems held in arrays: a session for tests. */
public final class ArrayStems implements StemSource {

  private final int sampleRateHz;
  private final List<Stem> stems = new ArrayList<>();
  private final List<double[][]> samples = new ArrayList<>();

  public ArrayStems(int sampleRateHz) {
    this.sampleRateHz = sampleRateHz;
  }

  /** Adds a mono stem. */
  public ArrayStems mono(String name, double... x) {
    return stem(name, new double[][] {x});
  }

  /** Adds a mono stem of so many frames, worked out frame by frame. */
  public ArrayStems mono(String name, int frames, LongToDoubleFunction x) {
    double[] channel = new double[frames];
    for (int n = 0; n < frames; n++) {
      channel[n] = x.applyAsDouble(n);
    }
    return mono(name, channel);
  }

  /** Adds a stem with one or two channels. */
  public ArrayStems stem(String name, double[][] channels) {
    stems.add(new Stem(name, channels.length, channels[0].length));
    samples.add(channels);
    return this;
  }

  public Session session() {
    return Session.atUnity(sampleRateHz, stems);
  }

  public double[][] samples(int k) {
    return samples.get(k);
  }

  /**
   * The same stems, read as whole numbers of so many bits where that is asked for, with anything in
   * the bits below.
   *
   * @param bits of each stem; 0 for none
   */
  public StemSource asWholeNumbers(int... bits) {
    return () ->
        new Reader() {
          @Override
          public int wholeBits(int stem) {
            return bits[stem];
          }

          @Override
          public void readWhole(
              int stem, long firstFrame, int frames, int[][] words, SliceTaker taker) {
            double[][] x = samples.get(stem);
            for (int from = 0, to; from < frames; from = to) {
              to = Math.min(frames, from + words[0].length);
              for (int c = 0; c < x.length; c++) {
                for (int n = from; n < to; n++) {
                  int word = (int) (x[c][(int) firstFrame + n] * 0x1p31);
                  words[c][n - from] = word | ((n * 0x9E3779B9) >>> bits[stem]);
                }
              }
              taker.take(from, to, SliceTaker.UNKNOWN);
            }
          }
        };
  }

  /** Analyses the stems at unity, on the caller's thread. */
  public Pass analyse(Settings settings) {
    return analyse(session(), settings);
  }

  /** Analyses the stems on the caller's thread. */
  public Pass analyse(Session session, Settings settings) {
    try {
      return new Analysis(session, this, Crew.ALONE, Progress.NONE).run(settings);
    } catch (IOException | Unanalysable e) {
      throw new AssertionError(e);
    }
  }

  @Override
  public StemReader openReader() {
    return new Reader();
  }

  private class Reader implements StemReader {
    @Override
    public void read(int stem, long firstFrame, int frames, double[][] into, int at) {
      double[][] x = samples.get(stem);
      for (int c = 0; c < x.length; c++) {
        System.arraycopy(x[c], Math.toIntExact(firstFrame), into[c], at, frames);
      }
    }

    @Override
    public void close() {}
  }
}
