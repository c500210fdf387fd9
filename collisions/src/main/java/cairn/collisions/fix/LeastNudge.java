package cairn.collisions.fix;

import cairn.collisions.signal.Block;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;

/**
 * The smallest nudge that clears a moment; definitions.md, 4.
 *
 * <p>All distances are first tried on the over frames, which end most of them, then on the
 * neighbourhood; only those that survive are assessed on the whole range. Each distance carries a
 * level that is no higher than what it would leave; for a partial nudge the lowest of these is
 * worked out further until it is known.
 */
final class LeastNudge {

  private static final int BLOCK_FRAMES = 256;

  /** So many of the highest over frames mostly tell how high a nudge leaves the moment. */
  private static final int FIRST_OVER_FRAMES = 64;

  /** How far the level of a distance has been worked out. */
  private static final int BEGUN = 0;

  private static final int NEAR = 1;
  private static final int KNOWN = 2;

  private final Trial trial;
  private final Scene scene;
  private final Hit hit;
  private final Edges edges;
  private final int most;
  private final int from;
  private final int to;
  private final double[] weight;

  /** The stem with {@code most} frames of silence on either side. */
  private final double[][] padded;

  /** The over frames, the highest first. */
  private final int[] overFrames;

  /** Channel and instant at which each of them is highest before any fix. */
  private final int[] overChannel;

  private final int[] overInstant;

  /** The bus after a nudge about an over frame. */
  private final double[] window;

  /** One channel of the neighbourhood after a nudge, {@code reach} frames wider. */
  private final double[] wide;

  /** Blocks of the range that could become louder at all: first frames. */
  private final int[] risky;

  /** The highest line in the neighbourhood. */
  private final double highestLine;

  /**
   * @param most longest nudge that will be tried, in frames
   */
  LeastNudge(Trial trial, Hit hit, int most) {
    this.trial = trial;
    this.scene = trial.scene;
    this.hit = hit;
    this.most = most;
    edges =
        Edges.of(
            scene, trial.members, new Nudge(trial.stem, hit.startFrame(), hit.endFrame(), 1), most);
    int cell = HitFinder.cellFrames(scene.sampleRateHz);
    from = scene.index(hit.startFrame() - cell);
    to = Math.max(from, scene.index(hit.endFrame() + cell));
    weight = new double[scene.excerpt.frames()];
    double[] w = new double[to - from];
    Weight.fill(
        w, scene.excerpt.firstFrame() + from, w.length, hit.startFrame(), hit.endFrame(), cell);
    System.arraycopy(w, 0, weight, from, w.length);
    int frames = scene.excerpt.frames();
    padded = new double[2][frames + 2 * most];
    for (int c = 0; c < 2; c++) {
      System.arraycopy(trial.y[c], 0, padded[c], most, frames);
    }
    overFrames = overFrames();
    overChannel = new int[overFrames.length];
    overInstant = new int[overFrames.length];
    window = new double[2 * scene.reach + 1];
    if (scene.reach > 0) {
      findInstants();
    }
    wide = new double[scene.reach == 0 ? 0 : scene.nearEnd - scene.near + 2 * scene.reach];
    risky = riskyBlocks();
    highestLine = Block.peak(scene.line, scene.near, scene.nearEnd);
  }

  /** The least nudge; empty if none clears or lowers the moment. */
  Optional<Attempt> find() {
    Optional<Attempt> found = search();
    trial.restore(from, to);
    return found;
  }

  /** Whether the nudge by {@code d} frames, at most the longest, is allowed and clears. */
  boolean clears(int d) {
    if (!edges.allow(d) || overFramesLevel(d) >= 0) {
      return false;
    }
    assess(d);
    trial.restore(from, to);
    return trial.clears();
  }

  /** Distance of candidate {@code j}: 1, −1, 2, −2 and so on. */
  private static int distance(int j) {
    int size = j / 2 + 1;
    return j % 2 == 0 ? size : -size;
  }

  private Optional<Attempt> search() {
    if (most < 1 || isSilentAtPeak()) {
      return Optional.empty();
    }
    int candidates = 2 * most;
    double[] level = new double[candidates];
    byte[] progress = new byte[candidates];
    for (int j = 0; j < candidates; j++) {
      int d = distance(j);
      if (!edges.allow(d)) {
        level[j] = Double.POSITIVE_INFINITY;
        progress[j] = KNOWN;
        continue;
      }
      level[j] = overFramesLevel(d);
      if (level[j] < 0) {
        // No over frame is surely left over, but others may be, or become louder.
        double near = nearLevel(d) - scene.rounding;
        if (near > highestLine) {
          level[j] = near;
          progress[j] = NEAR;
          continue;
        }
        if (isSurelyLouder(d)) {
          level[j] = Double.POSITIVE_INFINITY;
          progress[j] = KNOWN;
          continue;
        }
        assess(d);
        if (trial.clears()) {
          return Optional.of(attempt(d, true));
        }
        level[j] = trial.louder ? Double.POSITIVE_INFINITY : trial.left;
        progress[j] = KNOWN;
      }
    }
    return partial(level, progress);
  }

  /** Whether no nudge can change the peak frame. */
  private boolean isSilentAtPeak() {
    int peak = scene.index(scene.peakFrame) + most;
    int first = Math.max(0, peak - most - scene.reach);
    int end = Math.min(padded[0].length, peak + most + scene.reach + 1);
    return Block.peak(padded[0], first, end) == 0 && Block.peak(padded[1], first, end) == 0;
  }

  private Optional<Attempt> partial(double[] level, byte[] progress) {
    while (true) {
      int lowest = 0;
      for (int j = 1; j < level.length; j++) {
        boolean tied = level[j] == level[lowest];
        if (level[j] < level[lowest]
            || (tied && progress[j] < KNOWN && progress[lowest] == KNOWN)) {
          lowest = j;
        }
      }
      if (!(level[lowest] < scene.oldPeak)) {
        return Optional.empty();
      }
      int d = distance(lowest);
      if (progress[lowest] == KNOWN) {
        assess(d);
        return Optional.of(attempt(d, false));
      }
      if (progress[lowest] == BEGUN) {
        level[lowest] = Math.max(level[lowest], nearLevel(d) - scene.rounding);
        progress[lowest] = NEAR;
      } else {
        boolean louder = isSurelyLouder(d);
        if (!louder) {
          assess(d);
          louder = trial.louder;
        }
        level[lowest] = louder ? Double.POSITIVE_INFINITY : trial.left;
        progress[lowest] = KNOWN;
      }
    }
  }

  /**
   * A level that the nudge leaves at least, from the over frames; −1 if none of them is surely over
   * after it.
   */
  private double overFramesLevel(int d) {
    double highest = -1;
    for (int j = 0; j < overFrames.length; j++) {
      if (j == FIRST_OVER_FRAMES && highest > 0) {
        return highest;
      }
      int i = overFrames[j];
      double quick = scene.reach == 0 ? quickLevel(i, d) : quickAtInstant(j, d);
      double level = quick - scene.rounding;
      if (level > highest && level > scene.line[i]) {
        highest = level;
      }
    }
    return highest;
  }

  private double quickLevel(int i, int d) {
    double level = 0;
    for (int c = 0; c < 2; c++) {
      double y = padded[c][most + i];
      double moved = y + weight[i] * (padded[c][most + i - d] - y);
      level = Math.max(level, Math.abs(trial.rest[c][i] + moved));
    }
    return level;
  }

  /** What the nudge leaves at the channel and instant at which an over frame is highest now. */
  private double quickAtInstant(int j, int d) {
    int reach = scene.reach;
    int c = overChannel[j];
    Arrays.fill(window, 0);
    int first = overFrames[j] - reach;
    int end = Math.min(scene.excerpt.frames(), overFrames[j] + reach + 1);
    for (int i = Math.max(0, first); i < end; i++) {
      window[i - first] = quickSample(c, i, d);
    }
    return Math.abs(scene.reading.at(window, reach, overInstant[j]));
  }

  private double quickSample(int c, int i, int d) {
    double y = padded[c][most + i];
    return trial.rest[c][i] + (y + weight[i] * (padded[c][most + i - d] - y));
  }

  private void findInstants() {
    for (int j = 0; j < overFrames.length; j++) {
      double highest = -1;
      for (int c = 0; c < 2; c++) {
        double[] about = FixesHere.about(scene.excerpt.bus()[c], overFrames[j], scene.reach);
        int instant = scene.reading.instantAt(about, scene.reach);
        double level = Math.abs(scene.reading.at(about, scene.reach, instant));
        if (level > highest) {
          highest = level;
          overChannel[j] = c;
          overInstant[j] = instant;
        }
      }
    }
  }

  /** The highest level that the nudge leaves in the neighbourhood, quick. */
  private double nearLevel(int d) {
    double peak = 0;
    for (int c = 0; c < 2; c++) {
      peak =
          scene.reach == 0
              ? Math.max(peak, nearLevel(trial.rest[c], padded[c], d))
              : nearInstants(c, d, peak);
    }
    return peak;
  }

  /** The larger of {@code highest} and the levels of one channel, instants and all. */
  private double nearInstants(int c, int d, double highest) {
    int reach = scene.reach;
    int first = scene.near - reach;
    int end = Math.min(scene.excerpt.frames(), scene.nearEnd + reach);
    for (int i = Math.max(0, first); i < end; i++) {
      wide[i - first] = quickSample(c, i, d);
    }
    return scene.reading.peak(wide, reach, wide.length - reach, highest);
  }

  private double nearLevel(double[] rest, double[] y, int d) {
    double peak = 0;
    int end = scene.nearEnd;
    int shift = most - d;
    double[] w = weight;
    for (int i = scene.near; i < end; i++) {
      double stays = y[i + most];
      double level = Math.abs(rest[i] + (stays + w[i] * (y[i + shift] - stays)));
      // A branch that is hardly ever taken; the larger of two would wait for the one before.
      if (level > peak) {
        peak = level;
      }
    }
    return peak;
  }

  private boolean isSurelyLouder(int d) {
    double slack = scene.rounding;
    for (int block : risky) {
      int end = Math.min(to, block + BLOCK_FRAMES);
      for (int i = block; i < end; i++) {
        if (quickLevel(i, d) > scene.bound[i] + slack) {
          return true;
        }
      }
    }
    return false;
  }

  /** A block can only become louder where the rest and the stem near it pass the line together. */
  private int[] riskyBlocks() {
    int[] blocks = new int[(to - from + BLOCK_FRAMES - 1) / BLOCK_FRAMES];
    int count = 0;
    for (int block = from; block < to; block += BLOCK_FRAMES) {
      int end = Math.min(to, block + BLOCK_FRAMES);
      double highest = 0;
      for (int c = 0; c < 2; c++) {
        highest =
            Math.max(
                highest,
                Block.peak(trial.rest[c], block, end)
                    + Block.peak(padded[c], block, end + 2 * most));
      }
      double lowestLine = Double.POSITIVE_INFINITY;
      for (int i = block; i < end; i++) {
        lowestLine = Math.min(lowestLine, scene.line[i]);
      }
      if (highest > lowestLine) {
        blocks[count] = block;
        count++;
      }
    }
    return Arrays.copyOf(blocks, count);
  }

  private int[] overFrames() {
    double[] levels = scene.excerpt.levels();
    return IntStream.range(scene.near, scene.nearEnd)
        .filter(i -> levels[i] > scene.line[i])
        .boxed()
        .sorted(Comparator.comparingDouble((Integer i) -> levels[i]).reversed())
        .mapToInt(Integer::intValue)
        .toArray();
  }

  private void assess(int d) {
    for (int c = 0; c < 2; c++) {
      double[] y = padded[c];
      double[] changed = trial.changed[c];
      int shift = most - d;
      for (int i = from; i < to; i++) {
        double stays = y[i + most];
        changed[i] = stays + weight[i] * (y[i + shift] - stays);
      }
    }
    trial.trying(new Nudge(trial.stem, hit.startFrame(), hit.endFrame(), d));
    trial.assess(from, to, false);
  }

  private Attempt attempt(int d, boolean cleared) {
    long first = scene.excerpt.firstFrame();
    return new Attempt(
        new Nudge(trial.stem, hit.startFrame(), hit.endFrame(), d),
        cleared,
        trial.left,
        Change.of(first + from, first + to),
        List.of());
  }
}
