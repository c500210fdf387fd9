package cairn.collisions;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.time.TempoMap;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;

/**
 * Stems, faders and settings drawn from a seed: tones and noise in sections of other levels, some
 * silent, with short spikes of which some meet. At low rates, so that half a minute is few frames.
 */
final class RandomSong {

  static final List<Baseline> BASELINES = List.of(Baseline.LOUD, Baseline.SONG, Baseline.LOCAL);

  private static final int[] RATES = {8_000, 11_025};

  final String seed;
  final ArrayStems stems;
  final Session session;
  final Settings settings;
  private final Random random;

  RandomSong(long seed) {
    this.seed = "seed " + seed;
    random = new Random(seed);
    int fs = RATES[random.nextInt(RATES.length)];
    int frames = fs * 3 + random.nextInt(fs * (random.nextInt(3) == 0 ? 42 : 12));
    int[] meetings = random.ints(1 + random.nextInt(12), 0, frames).toArray();
    stems = new ArrayStems(fs);
    int count = 1 + random.nextInt(6);
    for (int k = 0; k < count; k++) {
      int length = Math.max(1, frames - (random.nextBoolean() ? 0 : random.nextInt(frames)));
      double[][] x = new double[1 + random.nextInt(2)][];
      for (int c = 0; c < x.length; c++) {
        x[c] = channel(fs, length, meetings);
      }
      stems.stem("stem " + k, x);
    }
    List<Fader> faders = new ArrayList<>();
    for (int k = 0; k < count; k++) {
      faders.add(
          new Fader(
              random.nextInt(3) == 0 ? random.nextDouble() * 12 - 6 : 0,
              random.nextInt(3) == 0,
              random.nextInt(8) == 0,
              random.nextInt(12) == 0,
              random.nextInt(3) == 0 ? random.nextInt(2 * fs) - fs : 0));
    }
    double monoGainDb = random.nextBoolean() ? 0 : -3;
    session = new Session(fs, monoGainDb, stems.session().stems(), faders);
    settings = settings(session.frames());
  }

  private double[] channel(int fs, int frames, int[] meetings) {
    double[] x = new double[frames];
    double turn = 2 * Math.PI * (40 + random.nextInt(400)) / fs;
    double level = 0;
    for (int n = 0; n < frames; n++) {
      if (n % (fs * 2) == 0) {
        level = random.nextInt(5) == 0 ? 0 : 0.02 + 0.2 * random.nextDouble();
      }
      x[n] = level * (0.7 * Math.sin(turn * n) + 0.3 * (2 * random.nextDouble() - 1));
    }
    for (int meeting : meetings) {
      if (random.nextInt(3) != 0) {
        spike(x, meeting);
      }
    }
    for (int i = random.nextInt(6); i > 0; i--) {
      spike(x, random.nextInt(frames));
    }
    return x;
  }

  private void spike(double[] x, int at) {
    double height = (random.nextInt(6) == 0 ? -1 : 1) * (0.1 + 0.7 * random.nextDouble());
    int end = Math.min(x.length, at + 1 + random.nextInt(5));
    for (int n = at; n < end; n++) {
      x[n] += height;
    }
  }

  private Settings settings(long frames) {
    Line line =
        random.nextInt(3) == 0
            ? new Line.Level(-20 + 18 * random.nextDouble())
            : new Line.Margin(-1 + 4 * random.nextDouble());
    return new Settings(
        range(frames),
        random.nextInt(3) == 0
            ? Optional.of(new TempoMap(90 + random.nextInt(60), 3, 4, 5 * random.nextDouble() - 1))
            : Optional.empty(),
        BASELINES.get(random.nextInt(3)),
        Optional.empty(),
        line);
  }

  private Optional<TimeRange> range(long frames) {
    if (random.nextInt(3) != 0) {
      return Optional.empty();
    }
    long from = random.nextInt((int) frames / 2);
    return Optional.of(new TimeRange(from, from + 1 + random.nextInt((int) frames)));
  }

  /** The same without what moves or cuts stems: no offset, no range, windows of 500 ms. */
  RandomSong plain(Baseline baseline, Line line) {
    return new RandomSong(
        this,
        stems,
        session.faders().stream().map(f -> f.withOffset(0)).toList(),
        Settings.DEFAULT.withBaseline(baseline).withLine(line));
  }

  /** The same with other stems of the same kind. */
  RandomSong with(ArrayStems other) {
    return new RandomSong(this, other, session.faders(), settings);
  }

  /** The same with other faders. */
  RandomSong with(List<Fader> faders) {
    return new RandomSong(this, stems, faders, settings);
  }

  private RandomSong(RandomSong from, ArrayStems stems, List<Fader> faders, Settings settings) {
    seed = from.seed;
    random = from.random;
    this.stems = stems;
    this.settings = settings;
    Session session = stems.session();
    this.session =
        new Session(session.sampleRateHz(), from.session.monoGainDb(), session.stems(), faders);
  }

  BruteForce bruteForce() {
    return new BruteForce(stems, session, settings);
  }
}
