package cairn.demo;

/**
 * A stretch of one stem about a moment's peak frame, both channels, and the fixes of
 * definitions.md, 4 on it. Floats hold 24 bits exactly.
 */
final class Slice {

  static final int BEFORE = 8_000;
  static final int AFTER = 30_000;

  private static final int CELL = 48;
  private static final int REST = 8;
  private static final int RAMP = 96;

  final int firstFrame;
  final float[][] samples;

  Slice(double[][] stem, int peakFrame) {
    firstFrame = peakFrame - BEFORE;
    samples = new float[2][BEFORE + AFTER];
    for (int c = 0; c < 2; c++) {
      double[] from = stem[Math.min(c, stem.length - 1)];
      for (int i = 0; i < samples[c].length; i++) {
        int n = firstFrame + i;
        samples[c][i] = n >= 0 && n < from.length ? (float) from[n] : 0;
      }
    }
  }

  double at(int n, int channel) {
    int i = n - firstFrame;
    return i < 0 || i >= samples[0].length ? 0 : samples[channel][i];
  }

  private double cell(int cell) {
    double highest = 0;
    for (int i = BEFORE + cell * CELL; i < BEFORE + (cell + 1) * CELL; i++) {
      highest = Math.max(highest, Math.max(Math.abs(samples[0][i]), Math.abs(samples[1][i])));
    }
    return highest;
  }

  private double rest(int firstCell) {
    double highest = 0;
    for (int cell = firstCell; cell < firstCell + REST; cell++) {
      highest = Math.max(highest, cell(cell));
    }
    return highest;
  }

  /** The hit {@code [start, end)} where it has a rest on both sides; null if it is sustained. */
  int[] hit() {
    double height = 0;
    for (int cell = -10; cell <= 9; cell++) {
      height = Math.max(height, cell(cell));
    }
    int before = -REST;
    while (before >= -100 && rest(before) > height / 10) {
      before--;
    }
    int after = 1;
    while (after <= 500 && rest(after) > height / 10) {
      after++;
    }
    if (before < -100 || after > 500) {
      return null;
    }
    int peakFrame = firstFrame + BEFORE;
    int half = REST * CELL / 2;
    return new int[] {peakFrame + before * CELL + half, peakFrame + after * CELL + half};
  }

  private static double weight(int n, int[] hit) {
    double u = Math.min((n + 0.5 - hit[0]) / RAMP, (hit[1] - n - 0.5) / RAMP) + 0.5;
    return 0.5 - 0.5 * Math.cos(Math.PI * Math.max(0, Math.min(1, u)));
  }

  /** Whether a nudge of at most 144 frames (3 ms) either way, or a trim up to 3 dB, clears. */
  boolean canBeCleared(double[][] bus, Brute brute, Brute.Moment moment) {
    int[] hit = hit();
    if (hit == null) {
      return false;
    }
    for (int d = 1; d <= 144; d++) {
      if (clears(bus, brute, moment, hit, d, 1) || clears(bus, brute, moment, hit, -d, 1)) {
        return true;
      }
    }
    return clears(bus, brute, moment, hit, 0, Math.pow(10, -3 / 20.0));
  }

  private boolean clears(
      double[][] bus, Brute brute, Brute.Moment moment, int[] hit, int nudge, double factor) {
    int from = moment.firstOver() - Brute.G;
    int end = moment.lastOver() + Brute.G + 1;
    for (int n = from; n < end; n++) {
      if (level(bus, n, hit, nudge, factor) > brute.line) {
        return false;
      }
    }
    for (int n = hit[0] - RAMP; n < hit[1] + RAMP; n++) {
      if (level(bus, n, hit, nudge, factor) > Math.max(brute.line, brute.p[n])) {
        return false;
      }
    }
    return true;
  }

  private double level(double[][] bus, int n, int[] hit, int nudge, double factor) {
    double weight = weight(n, hit);
    double highest = 0;
    for (int c = 0; c < 2; c++) {
      double moved = factor * at(n - nudge, c) - at(n, c);
      highest = Math.max(highest, Math.abs(bus[c][n] + weight * moved));
    }
    return highest;
  }
}
