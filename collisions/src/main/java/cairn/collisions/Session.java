package cairn.collisions;

import java.util.List;

/**
 * The stems of one song with their faders; definitions.md, 1. Stem {@code k} is the k-th of both
 * lists.
 *
 * @param sampleRateHz common sample rate in Hz, at least 1
 * @param monoGainDb gain in dB of every mono stem on its way into both channels
 * @param stems the stems in session order, at least one
 * @param faders one fader a stem
 * @param yokes which stems move together; they change no level of the bus as it is
 */
public record Session(
    int sampleRateHz, double monoGainDb, List<Stem> stems, List<Fader> faders, Yokes yokes) {

  public Session {
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("sampleRateHz must be >= 1: sampleRateHz=" + sampleRateHz);
    }
    if (!Double.isFinite(monoGainDb)) {
      throw new IllegalArgumentException("monoGainDb must be finite: monoGainDb=" + monoGainDb);
    }
    stems = List.copyOf(stems);
    faders = List.copyOf(faders);
    if (stems.isEmpty()) {
      throw new IllegalArgumentException("stems must not be empty");
    }
    for (List<Integer> group : yokes.groups()) {
      int last = group.get(group.size() - 1);
      if (group.get(0) < 0 || last >= stems.size()) {
        throw new IllegalArgumentException(
            "yoked stems must be from 0 to " + (stems.size() - 1) + ": group=" + group);
      }
    }
    if (stems.size() != faders.size()) {
      throw new IllegalArgumentException(
          "stems and faders must be as many: stems=" + stems.size() + ", faders=" + faders.size());
    }
  }

  /** Stems that move alone. */
  public Session(int sampleRateHz, double monoGainDb, List<Stem> stems, List<Fader> faders) {
    this(sampleRateHz, monoGainDb, stems, faders, Yokes.NONE);
  }

  /** The same with other yokes. */
  public Session withYokes(Yokes newYokes) {
    return new Session(sampleRateHz, monoGainDb, stems, faders, newYokes);
  }

  /** All stems as they are, faders at 0 dB. */
  public static Session atUnity(int sampleRateHz, List<Stem> stems) {
    return new Session(sampleRateHz, 0, stems, stems.stream().map(s -> Fader.UNITY).toList());
  }

  /** Length N in frames: the largest of stem length + max(0, offset), whatever is muted. */
  public long frames() {
    long frames = 0;
    for (int k = 0; k < stems.size(); k++) {
      frames = Math.max(frames, stems.get(k).frames() + Math.max(0, faders.get(k).offset()));
    }
    return frames;
  }

  /**
   * Polarity · gain · mono gain of stem {@code k}: what {@code g_k} would be if nothing were muted
   * or soloed.
   */
  public double openFactor(int k) {
    Fader fader = faders.get(k);
    double monoFactor = stems.get(k).channels() == 1 ? Decibels.toFactor(monoGainDb) : 1;
    return fader.polarity() * Decibels.toFactor(fader.gainDb()) * monoFactor;
  }

  /** Whether stem {@code k} is heard on the bus: not muted, and soloed where any stem is. */
  public boolean isOnBus(int k) {
    Fader fader = faders.get(k);
    return !fader.muted() && (fader.soloed() || faders.stream().noneMatch(Fader::soloed));
  }

  /** {@code g_k}: the open factor, or 0 if the stem is not on the bus. */
  public double factor(int k) {
    return isOnBus(k) ? openFactor(k) : 0;
  }
}
