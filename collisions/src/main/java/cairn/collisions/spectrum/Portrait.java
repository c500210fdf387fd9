package cairn.collisions.spectrum;

import cairn.collisions.Decibels;
import cairn.collisions.Session;
import cairn.collisions.loudness.HopMeter;
import cairn.collisions.loudness.HopPlan;
import cairn.collisions.loudness.KWeighting;
import cairn.collisions.loudness.Loudness;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Sound;
import java.io.IOException;
import java.util.OptionalDouble;

/**
 * What a whole sound, a bus or a finished track, is like: its peak, its loudness and its long-term
 * spectrum; definitions.md, 6 and 7. Immutable.
 */
public final class Portrait {

  private final int sampleRateHz;
  private final long frames;
  private final double peak;
  private final OptionalDouble integratedLufs;
  private final double[] bandPowers;

  private Portrait(
      int sampleRateHz,
      long frames,
      double peak,
      OptionalDouble integratedLufs,
      double[] bandPowers) {
    this.sampleRateHz = sampleRateHz;
    this.frames = frames;
    this.peak = peak;
    this.integratedLufs = integratedLufs;
    this.bandPowers = bandPowers;
  }

  /** That of the bus of some stems, which is summed once. */
  public static Portrait ofBus(Session session, StemSource source) throws IOException {
    try (MixDown mixDown = new MixDown(session, source.openReader())) {
      return of(Sound.ofBus(session, mixDown), session.sampleRateHz());
    }
  }

  /** Reads a sound from end to end, once. */
  public static Portrait of(Sound sound, int sampleRateHz) throws IOException {
    double[] peak = new double[1];
    HopMeter.Energies energies = null;
    HopMeter meter = null;
    if (KWeighting.covers(sampleRateHz)) {
      energies = new HopMeter.Energies(HopPlan.whole(sampleRateHz, HopPlan.COARSE, sound.frames()));
      meter = new HopMeter(energies);
      meter.begin(0, 1);
    }
    HopMeter fed = meter;
    double[] bands =
        Spectrum.longTerm(
            sound,
            sampleRateHz,
            (block, to) -> {
              peak[0] = Math.max(peak[0], Block.peak(block[0], 0, to));
              peak[0] = Math.max(peak[0], Block.peak(block[1], 0, to));
              if (fed != null) {
                fed.feed(block[0], block[1], 0, to);
              }
            });
    OptionalDouble integrated = OptionalDouble.empty();
    if (meter != null) {
      meter.finish();
      integrated = Loudness.of(energies.hops()).integratedLufs();
    }
    return new Portrait(sampleRateHz, sound.frames(), peak[0], integrated, bands);
  }

  /** Sample rate in Hz. */
  public int sampleRateHz() {
    return sampleRateHz;
  }

  /** Length in frames. */
  public long frames() {
    return frames;
  }

  /** The largest sample, dBFS; minus infinity for silence. */
  public double peakDb() {
    return Decibels.ofAmplitude(peak);
  }

  /**
   * Integrated loudness; empty if shorter than 400 ms, below the gate, or of a rate not metered.
   */
  public OptionalDouble integratedLufs() {
    return integratedLufs;
  }

  /** Peak-to-loudness ratio in dB, where there is a loudness. */
  public OptionalDouble peakToLoudnessDb() {
    return integratedLufs.isPresent()
        ? OptionalDouble.of(peakDb() - integratedLufs.getAsDouble())
        : OptionalDouble.empty();
  }

  /** Level of a third-octave band in dB, mean square of 1.0 = 0 dB; minus infinity if empty. */
  public double bandDb(int band) {
    return 10 * Math.log10(bandPowers[band]);
  }

  /** The gain in dB that brings the other one to this one's integrated loudness. */
  public OptionalDouble gainToLoudnessOf(Portrait that) {
    return integratedLufs.isPresent() && that.integratedLufs.isPresent()
        ? OptionalDouble.of(that.integratedLufs.getAsDouble() - integratedLufs.getAsDouble())
        : OptionalDouble.empty();
  }
}
