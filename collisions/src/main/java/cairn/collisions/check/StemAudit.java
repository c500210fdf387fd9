package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.Stem;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.Toll;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** What the samples of one stem tell about its health, before any fader. */
public final class StemAudit {

  private static final int READ_FRAMES = 16_384;

  /** A run that quantising makes of a slow wave's crest is left by one step of this size. */
  private static final double LEAST_STEP = 0x1p-15;

  /** Below, a crest is too near the noise to be told from a flat top. */
  private static final double QUIET = 0.01;

  private static final int LEAST_RUN = 3;

  /**
   * Flat tops.
   *
   * @param runs how many
   * @param longest frames of the longest
   * @param firstFrame where the first one begins; 0 if there is none
   * @param level the absolute value that they stand at, linear
   */
  public record FlatTops(long runs, long longest, long firstFrame, double level) {
    static final FlatTops NONE = new FlatTops(0, 0, 0, 0);

    /** Both together, of the level of the higher one. */
    FlatTops and(FlatTops that) {
      if (runs == 0 || that.runs == 0) {
        return runs == 0 ? that : this;
      }
      return new FlatTops(
          runs + that.runs,
          Math.max(longest, that.longest),
          Math.min(firstFrame, that.firstFrame),
          Math.max(level, that.level));
    }
  }

  private final double peak;
  private final double offset;
  private final FlatTops flatTops;
  private final double[] powers;
  private final int stretchFrames;

  private StemAudit(
      double peak, double offset, FlatTops flatTops, double[] powers, int stretchFrames) {
    this.peak = peak;
    this.offset = offset;
    this.flatTops = flatTops;
    this.powers = powers;
    this.stretchFrames = stretchFrames;
  }

  /** Largest absolute sample, linear; over 1 only in floating point. */
  public double peak() {
    return peak;
  }

  /** The constant offset: the mean of the channel where it is larger, linear, with its sign. */
  public double offset() {
    return offset;
  }

  /** Stretches of three equal samples or more at the highest or the lowest value. */
  public FlatTops flatTops() {
    return flatTops;
  }

  /** Frames of a stretch of {@link #addPowersTo}, 100 ms. */
  public int stretchFrames() {
    return stretchFrames;
  }

  /** Number of such stretches. */
  public int stretches() {
    return powers.length;
  }

  /** Adds the power of both channels in each stretch, from frame 0 on, to {@code sums[i]}. */
  public void addPowersTo(double[] sums) {
    for (int i = 0; i < powers.length; i++) {
      sums[i] += powers[i];
    }
  }

  /** Either what was found, or why the stem cannot be read. */
  public record Outcome(Optional<StemAudit> audit, Optional<IOException> failure) {}

  /**
   * Reads all stems once.
   *
   * @param quanta per stem the step between two values, 2^(1 − bits), or 0 in floating point
   */
  public static List<Outcome> ofAll(
      Session session, StemSource source, double[] quanta, Crew crew, Progress progress)
      throws IOException {
    long frames = session.stems().stream().mapToLong(Stem::frames).sum();
    Toll toll = new Toll(progress, Progress.Step.SUM, frames);
    Outcome[] outcomes = new Outcome[session.stems().size()];
    crew.share(
        outcomes.length,
        () -> {
          StemReader reader = source.openReader();
          return new Crew.Worker() {
            @Override
            public void work(int k) {
              try {
                outcomes[k] =
                    new Outcome(
                        Optional.of(
                            of(
                                session.stems().get(k),
                                k,
                                reader,
                                quanta[k],
                                session.sampleRateHz(),
                                toll)),
                        Optional.empty());
              } catch (IOException e) {
                outcomes[k] = new Outcome(Optional.empty(), Optional.of(e));
              }
            }

            @Override
            public void close() throws IOException {
              reader.close();
            }
          };
        });
    return List.of(outcomes);
  }

  private static StemAudit of(
      Stem stem, int k, StemReader reader, double quantum, int sampleRateHz, Toll toll)
      throws IOException {
    double[][] block = Block.stereo(READ_FRAMES);
    Channel[] channels = new Channel[stem.channels()];
    Arrays.setAll(channels, c -> new Channel(quantum));
    int stretch = Math.max(1, sampleRateHz / 10);
    double[] powers = new double[Math.toIntExact((stem.frames() + stretch - 1) / stretch)];
    double peak = 0;
    for (long first = 0; first < stem.frames(); first += READ_FRAMES) {
      int frames = (int) Math.min(READ_FRAMES, stem.frames() - first);
      reader.read(k, first, frames, block, 0);
      for (int c = 0; c < channels.length; c++) {
        peak = Math.max(peak, Block.peak(block[c], 0, frames));
        channels[c].take(block[c], frames);
        addPowers(powers, block[c], first, frames, stretch, channels.length == 1 ? 2 : 1);
      }
      toll.pay(frames);
    }
    FlatTops flatTops = FlatTops.NONE;
    double offset = 0;
    for (int c = 0; c < channels.length; c++) {
      flatTops = flatTops.and(channels[c].flatTops());
      double mean = channels[c].sum / stem.frames();
      offset = Math.abs(mean) > Math.abs(offset) ? mean : offset;
    }
    return new StemAudit(peak, offset, flatTops, powers, stretch);
  }

  private static void addPowers(
      double[] powers, double[] x, long first, int frames, int stretch, int times) {
    for (int i = 0; i < frames; ) {
      int place = (int) ((first + i) / stretch);
      int end = (int) Math.min(frames, (place + 1L) * stretch - first);
      double power = 0;
      for (; i < end; i++) {
        power += x[i] * x[i];
      }
      powers[place] += times * power;
    }
  }

  /** One channel as it comes by. */
  private static final class Channel {
    private final double least;
    private final double rail;
    private final Tops highest = new Tops();
    private final Tops lowest = new Tops();
    private double sum;
    private long frame;

    /** The value that runs, how often it came so far, and the step up to it. */
    private double value;

    private long run;
    private double stepBefore;

    Channel(double quantum) {
      double step = Math.max(quantum, LEAST_STEP);
      least = 2.5 * step;
      rail = 1 - step;
    }

    void take(double[] x, int frames) {
      double total = sum;
      for (int i = 0; i < frames; i++) {
        double v = x[i];
        total += v;
        if (v == value) {
          run++;
        } else {
          endRun(i, v);
        }
      }
      sum = total;
      frame += frames;
    }

    private void endRun(int i, double next) {
      double step = Math.abs(next - value);
      Tops tops = value > 0 ? highest : lowest;
      double level = Math.abs(value);
      if (level > tops.peak) {
        tops.peak = level;
      }
      if (run >= LEAST_RUN
          && level >= tops.peak
          && level > QUIET
          && (level >= rail || Math.max(step, stepBefore) > least)) {
        tops.add(level, frame + i - run, run);
      }
      stepBefore = step;
      value = next;
      run = 1;
    }

    FlatTops flatTops() {
      endRun(0, 0);
      return highest.result().and(lowest.result());
    }
  }

  /** Flat tops on one side of zero. */
  private static final class Tops {
    private double peak;
    private double level;
    private long runs;
    private long longest;
    private long firstFrame;

    void add(double newLevel, long first, long run) {
      if (newLevel > level) {
        level = newLevel;
        runs = 0;
        longest = 0;
        firstFrame = first;
      }
      runs++;
      longest = Math.max(longest, run);
    }

    FlatTops result() {
      return runs > 0 && level == peak
          ? new FlatTops(runs, longest, firstFrame, level)
          : FlatTops.NONE;
    }
  }
}
