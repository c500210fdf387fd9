package cairn.io.snippets;

import cairn.collisions.Decibels;
import cairn.collisions.loudness.HopMeter;
import cairn.collisions.loudness.HopPlan;
import cairn.collisions.loudness.KWeighting;
import cairn.collisions.loudness.Loudness;
import java.util.OptionalDouble;

/**
 * The one gain at which no snippet is louder than a level: the loudest 400 ms of any of them
 * (momentary loudness, EBU Tech 3341) are brought to it, peaks to −1 dBFS at most. Never over 0 dB.
 */
final class SafeGain {

  /** Common practice, no source: leaves room for what a converter makes of the peak. */
  private static final double MOST_PEAK_DB = -1;

  /**
   * Where loudness cannot be measured (under 400 ms, or a rate without a weighting) peaks stay so
   * far under the level: more than any signal's loudness can stand above its peak, which is 3 dB
   * for two channels of a square wave and 4 dB for the weighting.
   */
  private static final double UNMEASURED_PEAK_DB = 10;

  private final int sampleRateHz;
  private final double levelLufs;
  private double gainDb;

  /**
   * @param levelLufs loudness that nothing may be above, in LUFS
   */
  SafeGain(int sampleRateHz, double levelLufs) {
    this.sampleRateHz = sampleRateHz;
    this.levelLufs = levelLufs;
  }

  /** Takes a snippet into account: {@code bus[0 : 2][0 : frames]}. */
  void add(double[][] bus, int frames) {
    double peak = 0;
    for (double[] channel : bus) {
      for (int i = 0; i < frames; i++) {
        peak = Math.max(peak, Math.abs(channel[i]));
      }
    }
    if (peak == 0) {
      return;
    }
    double peakDb = Decibels.ofAmplitude(peak);
    OptionalDouble loudest = loudest(bus, frames);
    gainDb = Math.min(gainDb, MOST_PEAK_DB - peakDb);
    if (loudest.isPresent()) {
      if (loudest.getAsDouble() > Double.NEGATIVE_INFINITY) {
        gainDb = Math.min(gainDb, levelLufs - loudest.getAsDouble());
      }
    } else {
      gainDb = Math.min(gainDb, levelLufs - UNMEASURED_PEAK_DB - peakDb);
    }
  }

  private OptionalDouble loudest(double[][] bus, int frames) {
    if (!KWeighting.covers(sampleRateHz)) {
      return OptionalDouble.empty();
    }
    HopPlan plan = HopPlan.whole(sampleRateHz, HopPlan.FINE, frames);
    HopMeter.Energies energies = new HopMeter.Energies(plan);
    HopMeter meter = new HopMeter(energies);
    meter.begin(0, plan.edges().segments());
    meter.feed(bus[0], bus[1], 0, frames);
    meter.finish();
    return Loudness.of(energies.hops()).maxMomentaryLufs();
  }

  /** In dB, at most 0. */
  double gainDb() {
    return gainDb;
  }
}
