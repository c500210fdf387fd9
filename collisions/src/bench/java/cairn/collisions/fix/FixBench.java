package cairn.collisions.fix;

import cairn.collisions.Analysis;
import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.Session;
import cairn.collisions.Settings;
import cairn.collisions.Stem;
import cairn.collisions.TimeRange;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemReader;
import cairn.collisions.signal.Crew;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * Fixes at one moment of a synthetic song of two seconds whose samples are in memory: decaying
 * tones that meet at one frame, over quiet noise.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class FixBench {

  private static final int RATE = 48_000;
  private static final int FRAMES = 2 * RATE;

  /** Number of stems. */
  @Param({"2", "16", "64"})
  public int stems;

  /** How far the line lies under the peak: a low one leaves many over frames, and partial fixes. */
  @Param({"0.5", "3"})
  public double dbUnderPeak;

  private FixFinder finder;
  private Excerpt excerpt;
  private Moment moment;

  /** Makes the song, its highest moment and the excerpt about that. */
  @Setup
  public void setUp() throws Exception {
    double[][][] y = song(stems);
    List<Stem> names = new ArrayList<>();
    for (int k = 0; k < stems; k++) {
      names.add(new Stem("stem " + k, 2, FRAMES));
    }
    Session session = Session.atUnity(RATE, names);
    Analysis analysis = new Analysis(session, () -> new ArrayReader(y), Crew.ALONE, Progress.NONE);
    double peak = analysis.run(Settings.DEFAULT).peak();
    Line line = new Line.Level(Decibels.ofAmplitude(peak) - dbUnderPeak);
    Pass pass = analysis.run(Settings.DEFAULT.withLine(line));
    finder = new FixFinder(session, pass.line(), FixLimits.DEFAULT);
    moment = pass.moments().get(0);
    TimeRange range = finder.excerptRange(moment);
    double[][][] part = new double[stems][2][];
    for (int k = 0; k < stems; k++) {
      for (int c = 0; c < 2; c++) {
        part[k][c] = Arrays.copyOfRange(y[k][c], (int) range.firstFrame(), (int) range.endFrame());
      }
    }
    excerpt = new Excerpt(range.firstFrame(), (int) range.frames(), part, part);
  }

  private static double[][][] song(int stems) {
    Random random = new Random(1);
    double[][][] y = new double[stems][2][FRAMES];
    for (int k = 0; k < stems; k++) {
      double hz = 60 * Math.pow(60, k / (double) stems);
      double fall = 2_000 + 4_000 * random.nextDouble();
      int start = RATE - random.nextInt(300);
      for (int n = 0; n < FRAMES; n++) {
        double hit =
            n < start
                ? 0
                : Math.exp((start - n) / fall) * Math.sin(2 * Math.PI * hz * (n - start) / RATE);
        for (int c = 0; c < 2; c++) {
          y[k][c][n] = (0.5 * hit + 0.002 * random.nextGaussian()) / Math.sqrt(stems);
        }
      }
    }
    return y;
  }

  private record ArrayReader(double[][][] y) implements StemReader {
    @Override
    public void read(int stem, long firstFrame, int frames, double[][] into, int at) {
      for (int c = 0; c < 2; c++) {
        System.arraycopy(y[stem][c], (int) firstFrame, into[c], at, frames);
      }
    }

    @Override
    public void close() {}
  }

  /** What one moment costs before any stem is looked at. */
  @Benchmark
  public FixesHere look() {
    return finder.at(excerpt, moment);
  }

  /** The least nudge of one stem, with all that must be worked out for it. */
  @Benchmark
  public Optional<Attempt> leastNudge() {
    return finder.at(excerpt, moment).leastNudge(0);
  }

  /** All fixes of all stems. */
  @Benchmark
  public List<Proposals> allFixes() {
    FixesHere here = finder.at(excerpt, moment);
    List<Proposals> all = new ArrayList<>(stems);
    for (int k = 0; k < stems; k++) {
      all.add(here.proposals(k));
    }
    return all;
  }
}
