package cairn.collisions.fix;

import cairn.collisions.Decibels;
import cairn.collisions.signal.Block;
import java.util.List;
import java.util.Optional;

/** The highest ceiling that clears a moment; definitions.md, 4. */
final class LeastClip {

  private LeastClip() {}

  static Optional<Attempt> find(Trial trial) {
    Scene scene = trial.scene;
    int from = scene.index(scene.firstOver);
    int to = scene.index(scene.lastOver + 1);
    double largest = largestInSpan(trial);
    if (largest == 0) {
      return Optional.empty();
    }
    long mostLobeFrames = scene.limits.lobeFrames(scene.sampleRateHz);
    double lowest = lowest(largest);
    Attempt best = null;
    int changedFrom = from;
    int changedTo = to;
    for (int tenths = firstUnder(largest); ceiling(tenths) >= lowest; tenths--) {
      Clip clip = new Clip(trial.stem, scene.firstOver, scene.lastOver + 1, tenths);
      // What a higher ceiling cut off lies within the lobes of this one, and still beyond it.
      Change change =
          Lobes.cut(
              clip, scene.sampleRateHz, trial.changed, scene.excerpt.firstFrame(), scene.range);
      changedFrom = scene.index(change.fromFrame());
      changedTo = scene.index(change.toFrame());
      if (change.lobeTooLong() || change.longestLobeFrames() > mostLobeFrames) {
        break;
      }
      trial.assess(changedFrom, changedTo, false);
      if (trial.louder) {
        break;
      }
      if (trial.clears()) {
        best = new Attempt(clip, true, trial.left, change, List.of());
        break;
      }
      if (trial.lowers() && (best == null || trial.left < best.leftLevel())) {
        best = new Attempt(clip, false, trial.left, change, List.of());
      }
    }
    trial.restore(changedFrom, changedTo);
    return Optional.ofNullable(best);
  }

  /** Whether a ceiling lies under the largest sample in the span, by at most 24 dB. */
  static boolean tries(Trial trial, int ceilingTenthsDb) {
    double largest = largestInSpan(trial);
    double ceiling = ceiling(ceilingTenthsDb);
    return ceiling < largest && ceiling >= lowest(largest);
  }

  private static double largestInSpan(Trial trial) {
    int from = trial.scene.index(trial.scene.firstOver);
    int to = trial.scene.index(trial.scene.lastOver + 1);
    return Math.max(Block.peak(trial.y[0], from, to), Block.peak(trial.y[1], from, to));
  }

  private static double lowest(double largest) {
    return largest * Decibels.toFactor(-FixLimits.DEEPEST_TENTHS_DB / 10.0);
  }

  /** The highest whole tenth of a dBFS that lies under an amplitude. */
  private static int firstUnder(double amplitude) {
    int tenths = (int) Math.floor(Decibels.ofAmplitude(amplitude) * 10) + 1;
    while (ceiling(tenths) >= amplitude) {
      tenths--;
    }
    return tenths;
  }

  private static double ceiling(int tenthsDb) {
    return Decibels.toFactor(tenthsDb / 10.0);
  }
}
