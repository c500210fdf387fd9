package cairn.collisions.fix;

import cairn.collisions.Decibels;
import cairn.collisions.PeakMode;
import cairn.collisions.Session;
import cairn.collisions.SlowInstants;
import cairn.collisions.line.HeldLine;
import cairn.collisions.moment.Moment;
import java.util.Arrays;
import java.util.Optional;

/**
 * Section 4 of definitions.md written down once more, in the plainest way: the whole session in
 * memory, every candidate tried on every frame, every bus summed afresh in stem order. It shares no
 * code with what it checks.
 */
final class SlowFixes {

  /** {@code 2·ceil(3 ms) + 2}. */
  private static final int REST_CELLS = 8;

  private final Session session;
  private final double[][][] y;
  private final HeldLine line;
  private final Moment moment;
  private final int frames;
  private final int cell;
  private final int gap;
  private final int wider;
  private final double[] before;
  private final double[] allowed;

  SlowFixes(Session session, double[][][] y, HeldLine line, Moment moment) {
    this.session = session;
    this.y = y;
    this.line = line;
    this.moment = moment;
    frames = y[0][0].length;
    cell = (int) Math.floor(0.001 * session.sampleRateHz() + 0.5);
    gap = (int) Math.floor(0.035 * session.sampleRateHz() + 0.5);
    // In true-peak mode levels are compared 6 frames wider than samples change.
    wider = line.mode() == PeakMode.TRUE_PEAK ? 6 : 0;
    before = levels(-1, null, 0, frames);
    allowed = new double[frames];
    for (int n = 0; n < frames; n++) {
      allowed[n] = line.levelAt(n);
      for (int m = Math.max(0, n - gap); m <= Math.min(frames - 1, n + gap); m++) {
        allowed[n] = Math.max(allowed[n], before[m]);
      }
    }
  }

  /** What a changed stem comes to. */
  record Found(int amount, boolean cleared, double left, int from, int to, int longestLobe) {}

  /** All of {@code p}; only that of {@code [from, to)} is worked out. */
  private double[] levels(int changedStem, double[][] changed, int from, int to) {
    double[] levels = new double[frames];
    for (int c = 0; c < 2; c++) {
      double[] b = new double[frames];
      for (int n = Math.max(0, from - wider); n < Math.min(frames, to + wider); n++) {
        for (int k = 0; k < y.length; k++) {
          b[n] += k == changedStem ? changed[c][n] : y[k][c][n];
        }
      }
      for (int n = from; n < to; n++) {
        double level = wider > 0 ? SlowInstants.level(b, n) : Math.abs(b[n]);
        levels[n] = Math.max(levels[n], level);
      }
    }
    return levels;
  }

  private double sample(int k, int c, long n) {
    return n < 0 || n >= frames ? 0 : y[k][c][(int) n];
  }

  private double cellLevel(int k, int i) {
    double level = 0;
    for (int j = 0; j < cell; j++) {
      long n = moment.peakFrame() + (long) i * cell + j;
      level = Math.max(level, Math.abs(sample(k, 0, n)));
      level = Math.max(level, Math.abs(sample(k, 1, n)));
    }
    return level;
  }

  private double restLevel(int k, int first) {
    double level = 0;
    for (int i = first; i < first + REST_CELLS; i++) {
      level = Math.max(level, cellLevel(k, i));
    }
    return level;
  }

  Hit hit(int k) {
    double h = 0;
    for (int i = -10; i <= 9; i++) {
      h = Math.max(h, cellLevel(k, i));
    }
    Integer start = null;
    for (int i = -100; i + REST_CELLS - 1 < 0; i++) {
      if (restLevel(k, i) <= h / 10) {
        start = i;
      }
    }
    boolean sustained = start == null;
    if (start == null) {
      start = -100;
      for (int i = -100; i + REST_CELLS - 1 < 0; i++) {
        start = restLevel(k, i) <= restLevel(k, start) ? i : start;
      }
    }
    Integer end = null;
    for (int i = 500; i >= 1; i--) {
      if (restLevel(k, i) <= h / 10) {
        end = i;
      }
    }
    sustained |= end == null;
    if (end == null) {
      end = 500;
      for (int i = 500; i >= 1; i--) {
        end = restLevel(k, i) <= restLevel(k, end) ? i : end;
      }
    }
    long middle = (long) Math.floor(REST_CELLS * cell / 2.0);
    long startFrame = moment.peakFrame() + (long) start * cell + middle;
    long endFrame = moment.peakFrame() + (long) end * cell + middle;
    return new Hit(startFrame, endFrame, sustained);
  }

  private double weight(int n, long start, long end) {
    double f = 2.0 * cell;
    double u = Math.min((n + 0.5 - start) / f, (end - n - 0.5) / f) + 0.5;
    u = Math.max(0, Math.min(1, u));
    return 0.5 - 0.5 * Math.cos(Math.PI * u);
  }

  private double[][] copy(int k) {
    return new double[][] {y[k][0].clone(), y[k][1].clone()};
  }

  private Optional<Found> judge(int k, double[][] changed, int from, int to, int amount, int lobe) {
    int nearFrom = (int) Math.max(0, moment.firstOver() - gap);
    int nearTo = (int) Math.min(frames, moment.lastOver() + gap + 1);
    int first = Math.max(0, from - wider);
    int end = Math.min(frames, to + wider);
    double[] after = levels(k, changed, Math.min(first, nearFrom), Math.max(end, nearTo));
    for (int n = first; n < end; n++) {
      if (after[n] > allowed[n]) {
        return Optional.empty();
      }
    }
    boolean over = false;
    double left = 0;
    for (int n = nearFrom; n < nearTo; n++) {
      over |= after[n] > line.levelAt(n);
      left = Math.max(left, after[n]);
    }
    return Optional.of(new Found(amount, !over, left, from, to, lobe));
  }

  private Optional<Found> better(Optional<Found> best, Optional<Found> next) {
    if (next.isEmpty() || (!next.get().cleared() && next.get().left() >= moment.peak())) {
      return best;
    }
    return best.isEmpty() || next.get().left() < best.get().left() ? next : best;
  }

  Optional<Found> nudge(int k, int most) {
    Hit hit = hit(k);
    if (hit.sustained()) {
      return Optional.empty();
    }
    Optional<Found> best = Optional.empty();
    for (int size = 1; size <= most; size++) {
      for (int d : new int[] {size, -size}) {
        if (pushesOut(k, hit, d)) {
          continue;
        }
        Optional<Found> found = nudgedBy(k, hit, d);
        if (found.isPresent() && found.get().cleared()) {
          return found;
        }
        best = better(best, found);
      }
    }
    return best;
  }

  private boolean pushesOut(int k, Hit hit, int d) {
    long first = Math.max(0, session.faders().get(k).offset());
    long last = session.faders().get(k).offset() + session.stems().get(k).frames() - 1;
    boolean sound = false;
    if (d < 0 && hit.startFrame() - cell < first) {
      for (long n = first; n < first - d; n++) {
        sound |= sample(k, 0, n) != 0 || sample(k, 1, n) != 0;
      }
    }
    if (d > 0 && hit.endFrame() + cell > last) {
      for (long n = last; n > last - d; n--) {
        sound |= sample(k, 0, n) != 0 || sample(k, 1, n) != 0;
      }
    }
    return sound;
  }

  private Optional<Found> nudgedBy(int k, Hit hit, int d) {
    double[][] changed = copy(k);
    int from = frames;
    int to = 0;
    for (int n = 0; n < frames; n++) {
      double w = weight(n, hit.startFrame(), hit.endFrame());
      if (w > 0) {
        from = Math.min(from, n);
        to = n + 1;
        for (int c = 0; c < 2; c++) {
          changed[c][n] = y[k][c][n] + w * (sample(k, c, (long) n - d) - y[k][c][n]);
        }
      }
    }
    return judge(k, changed, from, to, d, 0);
  }

  Optional<Found> trim(int k) {
    Hit hit = hit(k);
    long start = Math.min(hit.startFrame(), moment.firstOver());
    long end = Math.max(hit.endFrame(), moment.lastOver() + 1);
    Optional<Found> best = Optional.empty();
    for (int tenths = 1; tenths <= 240; tenths++) {
      double[][] changed = copy(k);
      int from = frames;
      int to = 0;
      for (int n = 0; n < frames; n++) {
        double w = weight(n, start, end);
        if (w > 0) {
          from = Math.min(from, n);
          to = n + 1;
          for (int c = 0; c < 2; c++) {
            changed[c][n] = y[k][c][n] * (1 - w * (1 - Decibels.toFactor(-tenths / 10.0)));
          }
        }
      }
      Optional<Found> found = judge(k, changed, from, to, tenths, 0);
      if (found.isEmpty()) {
        return best;
      }
      if (found.get().cleared()) {
        return found;
      }
      best = better(best, found);
    }
    return best;
  }

  Optional<Found> clip(int k) {
    int first = (int) moment.firstOver();
    int last = (int) moment.lastOver();
    double largest = 0;
    for (int n = first; n <= last; n++) {
      largest = Math.max(largest, Math.max(Math.abs(y[k][0][n]), Math.abs(y[k][1][n])));
    }
    Optional<Found> best = Optional.empty();
    for (int tenths = 400; tenths > -4000; tenths--) {
      double ceiling = Decibels.toFactor(tenths / 10.0);
      if (ceiling >= largest || ceiling < largest * Decibels.toFactor(-24)) {
        continue;
      }
      double[][] changed = copy(k);
      int from = first;
      int to = last + 1;
      int longest = 0;
      for (int c = 0; c < 2; c++) {
        for (int sign : new int[] {1, -1}) {
          for (int n = 0; n < frames; n++) {
            int start = n;
            while (n < frames && sign * y[k][c][n] > ceiling) {
              n++;
            }
            if (n > start && start <= last && n > first) {
              Arrays.fill(changed[c], start, n, sign * ceiling);
              from = Math.min(from, start);
              to = Math.max(to, n);
              longest = Math.max(longest, n - start);
            }
          }
        }
      }
      Optional<Found> found = judge(k, changed, from, to, tenths, longest);
      if (found.isEmpty()) {
        return best;
      }
      if (found.get().cleared()) {
        return found;
      }
      best = better(best, found);
    }
    return best;
  }
}
