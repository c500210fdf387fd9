package cairn.collisions;

import static org.junit.jupiter.api.Assertions.assertEquals;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.time.TempoMap;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/**
 * definitions.md, 1 to 3, a second time: whole arrays, one plain loop after another, nothing shared
 * with the program but its records. Slow, and meant to be compared with the text line by line.
 */
final class BruteForce {

  final int sampleRateHz;
  final int from;
  final int to;
  final double[][][] y;
  final double[][] bus;
  final double[] p;
  final List<Integer> edges = new ArrayList<>();
  final double[] windowPeak;

  /** Empty if the windows asked for are silent. */
  final Optional<double[]> averagePeak;

  private final Line line;
  private final boolean truePeak;

  private double at(double[] x, int n, double instant) {
    return SlowInstants.at(x, n, instant, from, to);
  }

  private double instant(double[] x, int n) {
    return truePeak ? SlowInstants.instant(x, n, from, to) : 0;
  }

  private double level(double[] x, int n) {
    return Math.abs(at(x, n, instant(x, n)));
  }

  BruteForce(ArrayStems stems, Session session, Settings settings) {
    sampleRateHz = session.sampleRateHz();
    line = settings.line();
    int length = 0;
    boolean anySolo = false;
    for (int k = 0; k < session.stems().size(); k++) {
      int offset = (int) session.faders().get(k).offset();
      length = Math.max(length, stems.samples(k)[0].length + Math.max(0, offset));
      anySolo |= session.faders().get(k).soloed();
    }
    from = settings.range().map(r -> (int) r.firstFrame()).orElse(0);
    to = Math.min(length, settings.range().map(r -> (int) r.endFrame()).orElse(length));

    y = new double[session.stems().size()][2][length];
    bus = new double[2][length];
    p = new double[length];
    for (int k = 0; k < y.length; k++) {
      Fader fader = session.faders().get(k);
      double[][] x = stems.samples(k);
      double g = (fader.reversed() ? -1 : 1) * Math.pow(10, fader.gainDb() / 20);
      g *= x.length == 1 ? Math.pow(10, session.monoGainDb() / 20) : 1;
      g = fader.muted() || (anySolo && !fader.soloed()) ? 0 : g;
      for (int c = 0; c < 2; c++) {
        for (int n = from; n < to; n++) {
          int i = n - (int) fader.offset();
          double[] channel = x[Math.min(c, x.length - 1)];
          y[k][c][n] = i >= 0 && i < channel.length ? g * channel[i] : 0;
          bus[c][n] += y[k][c][n];
        }
      }
    }
    truePeak = settings.mode() == PeakMode.TRUE_PEAK;
    for (int n = from; n < to; n++) {
      p[n] = Math.max(level(bus[0], n), level(bus[1], n));
    }

    cut(settings.beatWindows());
    windowPeak = new double[edges.size() - 1];
    for (int j = 0; j < windowPeak.length; j++) {
      for (int n = edges.get(j); n < edges.get(j + 1); n++) {
        windowPeak[j] = Math.max(windowPeak[j], p[n]);
      }
    }
    averagePeak = averagePeak(settings);
  }

  private void cut(Optional<TempoMap> tempo) {
    edges.add(from);
    if (tempo.isEmpty()) {
      int window = (int) Math.floor(0.5 * sampleRateHz + 0.5);
      for (int n = from + window; n < to; n += window) {
        edges.add(n);
      }
    } else {
      for (long beat = -10_000; beat < 10_000; beat++) {
        double t = tempo.get().barOneSeconds() + beat * tempo.get().beatSeconds();
        long edge = (long) Math.floor(sampleRateHz * t + 0.5);
        if (edge > from && edge < to) {
          edges.add((int) edge);
        }
      }
    }
    edges.add(to);
  }

  private boolean[] gated(int first, int end) {
    boolean[] passed = new boolean[windowPeak.length];
    double sum = 0;
    int count = 0;
    for (int j = first; j < end; j++) {
      if (windowPeak[j] > Math.pow(10, -70 / 20.0)) {
        sum += windowPeak[j];
        count++;
      }
    }
    for (int j = first; j < end; j++) {
      passed[j] =
          windowPeak[j] > Math.pow(10, -70 / 20.0)
              && windowPeak[j] > sum / count * Math.pow(10, -10 / 20.0);
    }
    return passed;
  }

  private double mean(boolean[] passed, int first, int end) {
    double sum = 0;
    int count = 0;
    for (int j = Math.max(0, first); j < Math.min(passed.length, end); j++) {
      sum += passed[j] ? windowPeak[j] : 0;
      count += passed[j] ? 1 : 0;
    }
    return sum / count;
  }

  /** One a window; NaN of no windows at all is silence. */
  private Optional<double[]> averagePeak(Settings settings) {
    int windows = windowPeak.length;
    int[] loud = settings.section().map(this::named).orElseGet(this::loudPart);
    int first = settings.baseline() == Baseline.LOUD ? loud[0] : 0;
    int end = settings.baseline() == Baseline.LOUD ? loud[1] : windows;
    boolean[] passed = gated(first, end);
    double overall = mean(passed, first, end);
    double[] a = new double[windows];
    for (int j = 0; j < windows; j++) {
      double local = mean(passed, j - 16, j + 17);
      a[j] = settings.baseline() == Baseline.LOCAL && !Double.isNaN(local) ? local : overall;
    }
    return Double.isNaN(overall) ? Optional.empty() : Optional.of(a);
  }

  int[] loudPart() {
    double[] windowEnergy = new double[windowPeak.length];
    for (int j = 0; j < windowEnergy.length; j++) {
      for (int n = edges.get(j); n < edges.get(j + 1); n++) {
        windowEnergy[j] += bus[0][n] * bus[0][n] + bus[1][n] * bus[1][n];
      }
    }
    int least = 30 * sampleRateHz;
    int[] loudest = {0, windowPeak.length};
    double greatest = -1;
    for (int first = 0; first < windowPeak.length; first++) {
      for (int end = first + 1; end <= windowPeak.length; end++) {
        if (edges.get(end) - edges.get(first) >= least) {
          double energy = 0;
          for (int j = first; j < end; j++) {
            energy += windowEnergy[j];
          }
          // Sums of other order differ in the last digits: only a clear win counts.
          if (energy > greatest * (1 + 1e-12)) {
            greatest = energy;
            loudest = new int[] {first, end};
          }
          break;
        }
      }
    }
    return loudest;
  }

  private int[] named(TimeRange section) {
    int first = -1;
    int end = -1;
    for (int j = 0; j < windowPeak.length; j++) {
      if (edges.get(j) >= section.firstFrame() && edges.get(j + 1) <= section.endFrame()) {
        first = first < 0 ? j : first;
        end = j + 1;
      }
    }
    if (first >= 0) {
      return new int[] {first, end};
    }
    for (int j = 0; j < windowPeak.length; j++) {
      if (edges.get(j) < section.endFrame() && edges.get(j + 1) > section.firstFrame()) {
        first = first < 0 ? j : first;
        end = j + 1;
      }
    }
    return new int[] {first, end};
  }

  int windowOf(int n) {
    int j = 0;
    while (edges.get(j + 1) <= n) {
      j++;
    }
    return j;
  }

  /** {@code T[n]}, linear, for every frame looked at. */
  double[] line() {
    double[] t = new double[p.length];
    for (int j = 0; j < windowPeak.length; j++) {
      double a = averagePeak.orElseThrow()[j];
      double level =
          line instanceof Line.Margin margin
              ? a * Math.pow(10, margin.marginDb() / 20)
              : Math.pow(10, ((Line.Level) line).levelDb() / 20);
      for (int n = edges.get(j); n < edges.get(j + 1); n++) {
        t[n] = level;
      }
    }
    return t;
  }

  /** All moments, by rank. */
  List<Moment> moments() {
    double[] t = line();
    int gap = (int) Math.floor(0.035 * sampleRateHz + 0.5);
    List<List<Integer>> groups = new ArrayList<>();
    int lastOver = Integer.MIN_VALUE / 2;
    for (int n = from; n < to; n++) {
      if (p[n] > t[n]) {
        if (n - lastOver > gap) {
          groups.add(new ArrayList<>());
        }
        groups.get(groups.size() - 1).add(n);
        lastOver = n;
      }
    }
    List<Moment> moments = new ArrayList<>();
    for (List<Integer> group : groups) {
      moments.add(explain(group, t, gap));
    }
    moments.sort(
        Comparator.comparingDouble((Moment m) -> -m.peak() / m.averagePeak())
            .thenComparingLong(Moment::peakFrame));
    List<Moment> ranked = new ArrayList<>();
    for (Moment m : moments) {
      ranked.add(withRank(m, ranked.size() + 1));
    }
    return ranked;
  }

  private Moment explain(List<Integer> over, double[] t, int gap) {
    int peakFrame = over.get(0);
    int longest = 0;
    int run = 0;
    for (int i = 0; i < over.size(); i++) {
      peakFrame = p[over.get(i)] > p[peakFrame] ? over.get(i) : peakFrame;
      run = i > 0 && over.get(i) == over.get(i - 1) + 1 ? run + 1 : 1;
      longest = Math.max(longest, run);
    }
    int first = over.get(0);
    int last = over.get(over.size() - 1);
    int c = level(bus[0], peakFrame) >= level(bus[1], peakFrame) ? 0 : 1;
    double e = instant(bus[c], peakFrame);
    List<Contribution> contributions = new ArrayList<>();
    for (int k = 0; k < y.length; k++) {
      double near = 0;
      for (int n = Math.max(from, peakFrame - gap); n <= Math.min(to - 1, peakFrame + gap); n++) {
        near = Math.max(near, Math.max(level(y[k][0], n), level(y[k][1], n)));
      }
      double without = 0;
      for (int channel = 0; channel < 2; channel++) {
        double[] rest = new double[p.length];
        for (int n = Math.max(from, first - 6); n < Math.min(to, last + 7); n++) {
          rest[n] = bus[channel][n] - y[k][channel][n];
        }
        for (int n = first; n <= last; n++) {
          without = Math.max(without, level(rest, n));
        }
      }
      double there = at(y[k][c], peakFrame, e);
      double a = at(bus[c], peakFrame, e) < 0 ? -there : there;
      a = a == 0 ? 0 : a;
      contributions.add(new Contribution(k, a, a / p[peakFrame], near, without));
    }
    contributions.sort(
        Comparator.comparingDouble((Contribution a) -> -a.amplitude())
            .thenComparingInt(Contribution::stem));
    double averagePeakThere = averagePeak.orElseThrow()[windowOf(peakFrame)];
    double lineThere = t[peakFrame];
    int depth = 1;
    double sum = contributions.get(0).amplitude();
    if (sum <= lineThere) {
      do {
        sum += contributions.get(depth).amplitude();
        depth++;
      } while (sum <= Math.min(averagePeakThere, lineThere));
    }
    return new Moment(
        0,
        peakFrame,
        c,
        p[peakFrame],
        averagePeakThere,
        lineThere,
        first,
        last,
        over.size(),
        longest,
        depth,
        last - first + 1 > Math.floor(100.0 * sampleRateHz / 1000),
        contributions,
        0,
        1,
        e);
  }

  static Moment withRank(Moment m, int rank) {
    return new Moment(
        rank,
        m.peakFrame(),
        m.channel(),
        m.peak(),
        m.averagePeak(),
        m.line(),
        m.firstOver(),
        m.lastOver(),
        m.overFrames(),
        m.longestRun(),
        m.depth(),
        m.isLong(),
        m.contributions(),
        rank,
        1,
        m.instant());
  }

  /** Equal in all but the last digits of average peak and line, which are sums of other order. */
  static void assertSame(List<Moment> expected, List<Moment> actual, String seed) {
    assertEquals(expected.size(), actual.size(), () -> "number of moments, " + seed);
    for (int i = 0; i < expected.size(); i++) {
      Moment e = expected.get(i);
      Moment a = actual.get(i);
      assertEquals(e.averagePeak(), a.averagePeak(), 1e-12 * e.averagePeak(), seed);
      assertEquals(e.line(), a.line(), 1e-12 * e.line(), seed);
      Moment alike =
          new Moment(
              a.rank(),
              a.peakFrame(),
              a.channel(),
              a.peak(),
              e.averagePeak(),
              e.line(),
              a.firstOver(),
              a.lastOver(),
              a.overFrames(),
              a.longestRun(),
              a.depth(),
              a.isLong(),
              a.contributions(),
              a.rank(),
              1,
              a.instant());
      assertEquals(e, alike, seed);
    }
  }
}
