package cairn.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * The formulas of definitions.md, 1 to 4, worked out the plain way on a bus in memory: sample peak,
 * baseline {@code loud}, margin 1.0 dB, 48 kHz. Shares nothing with the song's own reckoning.
 */
final class Brute {

  static final int G = 1680;
  private static final int WINDOW = 24_000;

  /** A moment: first and last over frame, both inclusive, and its peak frame. */
  record Moment(int firstOver, int lastOver, int peakFrame) {}

  final double[] p;
  final double average;
  final double line;
  final int loudFrom;
  final List<Moment> moments = new ArrayList<>();

  Brute(double[] left, double[] right) {
    p = new double[left.length];
    int windows = (p.length - 1) / WINDOW + 1;
    double[] w = new double[windows];
    double[] energy = new double[windows];
    for (int n = 0; n < p.length; n++) {
      p[n] = Math.max(Math.abs(left[n]), Math.abs(right[n]));
      w[n / WINDOW] = Math.max(w[n / WINDOW], p[n]);
      energy[n / WINDOW] += left[n] * left[n] + right[n] * right[n];
    }
    int loudest = 0;
    for (int j = 1; j + 60 <= windows; j++) {
      if (sum(energy, j) > sum(energy, loudest)) {
        loudest = j;
      }
    }
    loudFrom = loudest * WINDOW;
    double m1 = gatedMean(w, loudest, Math.pow(10, -70 / 20.0));
    average = gatedMean(w, loudest, Math.max(Math.pow(10, -70 / 20.0), m1 * Math.pow(10, -0.5)));
    line = average * Math.pow(10, 1 / 20.0);
    findMoments();
  }

  private static double sum(double[] energy, int first) {
    double sum = 0;
    for (int j = first; j < first + 60; j++) {
      sum += energy[j];
    }
    return sum;
  }

  private static double gatedMean(double[] w, int first, double gate) {
    double sum = 0;
    int kept = 0;
    for (int j = first; j < first + 60; j++) {
      if (w[j] > gate) {
        sum += w[j];
        kept++;
      }
    }
    return sum / kept;
  }

  private void findMoments() {
    int first = -1;
    int last = -1;
    int peak = -1;
    for (int n = 0; n < p.length; n++) {
      if (p[n] <= line) {
        continue;
      }
      if (first >= 0 && n - last > G) {
        moments.add(new Moment(first, last, peak));
        first = -1;
      }
      if (first < 0) {
        first = n;
        peak = n;
      }
      last = n;
      peak = p[n] > p[peak] ? n : peak;
    }
    if (first >= 0) {
      moments.add(new Moment(first, last, peak));
    }
  }

  /** The moment with this peak frame, or null. */
  Moment at(int peakFrame) {
    for (Moment moment : moments) {
      if (moment.peakFrame == peakFrame) {
        return moment;
      }
    }
    return null;
  }

  double excessDb(Moment moment) {
    return 20 * Math.log10(p[moment.peakFrame] / average);
  }
}
