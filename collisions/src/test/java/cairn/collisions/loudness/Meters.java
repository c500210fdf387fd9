package cairn.collisions.loudness;

import cairn.collisions.signal.TruePeakMeter;

/** Meters whole signals at once, for tests. */
final class Meters {

  private Meters() {}

  /** Every hop of 10 ms of a signal that is one segment. */
  static Hops fine(int sampleRateHz, double[] left, double[] right) {
    return hops(HopPlan.whole(sampleRateHz, HopPlan.FINE, left.length), left, right, 4096);
  }

  /** The hops of a plan that starts at frame 0, by one meter, fed piece by piece. */
  static Hops hops(HopPlan plan, double[] left, double[] right, int pieceFrames) {
    HopMeter.Energies energies = new HopMeter.Energies(plan);
    HopMeter meter = new HopMeter(energies);
    meter.begin(0, plan.edges().segments());
    for (int at = 0; at < left.length; at += pieceFrames) {
      meter.feed(left, right, at, Math.min(left.length, at + pieceFrames));
    }
    meter.finish();
    return energies.hops();
  }

  /** True peak in dBTP. */
  static double truePeakDb(double[] left, double[] right) {
    TruePeakMeter meter = new TruePeakMeter();
    meter.begin();
    meter.feed(left, right, 0, left.length);
    meter.finish();
    return 20 * Math.log10(meter.peak());
  }
}
