package cairn.io.midi;

import cairn.collisions.time.TempoMap;
import java.io.IOException;
import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Where frames fall on the ticks of a Standard MIDI File.
 *
 * <p>{@link #ofSamples}: one tick is one sample, the file's tempo is not the song's. {@link
 * #ofTempo}: the song's own tempo and meter, 960 ticks a quarter note, so that a marker may lie up
 * to half a tick beside its sample. Positions are always rounded from the start, never added up
 * from rounded steps.
 */
public final class MarkerGrid {

  /** Ticks of a quarter note where the tempo is the song's; common, since readers may limit it. */
  static final int MUSICAL_TICKS = 960;

  private static final double NOISE = 1e-9;

  private final int sampleRateHz;
  private final int ticksPerQuarter;
  private final TempoMap map;
  private final boolean oneTickASample;

  /** Position of tick 0 in quarter notes from bar 1, beat 1: 0, or a bar line before it. */
  private final double firstQuarter;

  private MarkerGrid(
      int sampleRateHz,
      int ticksPerQuarter,
      TempoMap map,
      boolean oneTickASample,
      double firstQuarter) {
    this.sampleRateHz = sampleRateHz;
    this.ticksPerQuarter = ticksPerQuarter;
    this.map = map;
    this.oneTickASample = oneTickASample;
    this.firstQuarter = firstQuarter;
  }

  /**
   * One tick a sample, which asks for {@code ticksPerQuarter·10^6 = rate·tempo}; 120 quarter notes
   * a minute, or the nearest double or half of it that will do. For the few rates at which no such
   * tempo exists, four ticks a sample, so that the nearest sample is the right one.
   */
  public static MarkerGrid ofSamples(int sampleRateHz) {
    BigInteger common = BigInteger.valueOf(sampleRateHz).gcd(BigInteger.valueOf(1_000_000));
    int stepMicros = 1_000_000 / common.intValueExact();
    int stepTicks = sampleRateHz / common.intValueExact();
    // The multiple nearest to 120 quarter notes a minute, from there to quicker ones.
    for (int micros : new int[] {500_000, 250_000, 125_000, 62_500, 1_000_000}) {
      long ticks = (long) stepTicks * micros / stepMicros;
      if (micros % stepMicros == 0 && ticks <= MidiNames.MOST_TICKS_PER_QUARTER) {
        return ofSamples(sampleRateHz, (int) ticks, micros, true);
      }
    }
    int most =
        Math.min(
            MidiNames.MOST_TICKS_PER_QUARTER / stepTicks, MidiNames.MOST_TEMPO_MICROS / stepMicros);
    if (most >= 1) {
      return ofSamples(sampleRateHz, most * stepTicks, most * stepMicros, true);
    }
    int fourTicksASample =
        (int) (MidiNames.MOST_TICKS_PER_QUARTER * 1_000_000L / (4L * sampleRateHz));
    return ofSamples(
        sampleRateHz, MidiNames.MOST_TICKS_PER_QUARTER, Math.min(500_000, fourTicksASample), false);
  }

  private static MarkerGrid ofSamples(
      int sampleRateHz, int ticks, int tempoMicros, boolean oneTickASample) {
    TempoMap map =
        new TempoMap(
            List.of(new TempoMap.Tempo(0, MidiNames.MICROS_A_MINUTE / tempoMicros)),
            List.of(new TempoMap.Meter(0, 4, 4)),
            0);
    return new MarkerGrid(sampleRateHz, ticks, map, oneTickASample, 0);
  }

  /**
   * The song's tempo. Tick 0 is bar 1, beat 1; where the stems start before it, the last bar line
   * not after their start.
   *
   * @throws IOException if the file format has no room for a tempo; the message says what to do
   */
  public static MarkerGrid ofTempo(TempoMap map, int sampleRateHz) throws IOException {
    // Markers are placed by what the file says: tempos in whole microseconds, changes on ticks.
    List<TempoMap.Tempo> tempos = new ArrayList<>();
    for (TempoMap.Tempo tempo : map.tempos()) {
      long micros = tempoMicros(tempo);
      if (micros < 1 || micros > MidiNames.MOST_TEMPO_MICROS) {
        throw new IOException(
            String.format(
                Locale.ROOT,
                "a MIDI file has no room for a tempo of %.2f quarter notes a minute (3.58 to"
                    + " 60000000); use --midi exact",
                tempo.quartersPerMinute()));
      }
      TempoMap.Tempo written =
          new TempoMap.Tempo(onTick(tempo.quarter()), MidiNames.MICROS_A_MINUTE / micros);
      if (!tempos.isEmpty() && tempos.get(tempos.size() - 1).quarter() == written.quarter()) {
        tempos.remove(tempos.size() - 1);
      }
      tempos.add(written);
    }
    List<TempoMap.Meter> meters = new ArrayList<>();
    for (TempoMap.Meter meter : map.meters()) {
      TempoMap.Meter written =
          new TempoMap.Meter(onTick(meter.quarter()), meter.beatsPerBar(), meter.beatUnit());
      if (!meters.isEmpty() && meters.get(meters.size() - 1).quarter() == written.quarter()) {
        meters.remove(meters.size() - 1);
      }
      meters.add(written);
    }
    TempoMap written = new TempoMap(tempos, meters, map.barOneSeconds());
    double bar = meters.get(0).barQuarters();
    double start = Math.min(0, written.quarterAt(0, sampleRateHz));
    double firstQuarter = Math.floor(start / bar + NOISE) * bar;
    return new MarkerGrid(sampleRateHz, MUSICAL_TICKS, written, false, firstQuarter);
  }

  private static double onTick(double quarter) {
    return Math.rint(quarter * MUSICAL_TICKS) / MUSICAL_TICKS;
  }

  static long tempoMicros(TempoMap.Tempo tempo) {
    return Math.round(MidiNames.MICROS_A_MINUTE / tempo.quartersPerMinute());
  }

  /** The tick of a frame, the nearest one; never under 0. */
  public long tick(long frame) {
    if (oneTickASample) {
      return frame;
    }
    return tickOf(map.quarterAt(frame, sampleRateHz));
  }

  /** The tick of a position in quarter notes from bar 1, beat 1. */
  long tickOf(double quarter) {
    return Math.max(0, (long) Math.floor((quarter - firstQuarter) * ticksPerQuarter + 0.5));
  }

  /**
   * How far a marker lies from its frame, in frames: over 0 later, under 0 earlier; 0 where one
   * tick is one sample.
   */
  public double errorFrames(long frame) {
    if (oneTickASample) {
      return 0;
    }
    double quarter = firstQuarter + (double) tick(frame) / ticksPerQuarter;
    return map.secondsAt(quarter) * sampleRateHz - frame;
  }

  /** The most that a marker may lie beside its frame anywhere, in frames: half a tick. */
  public double worstErrorFrames() {
    double slowest =
        map.tempos().stream().mapToDouble(TempoMap.Tempo::quartersPerMinute).min().orElseThrow();
    return oneTickASample ? 0 : 60.0 / slowest / ticksPerQuarter / 2 * sampleRateHz;
  }

  /** Time of tick 0 in seconds from the start of the stems: 0, or before it or after it. */
  public double startSeconds() {
    return map.secondsAt(firstQuarter);
  }

  /** Ticks of a quarter note. */
  public int ticksPerQuarter() {
    return ticksPerQuarter;
  }

  /** Tempo and meter as they stand in the file. */
  TempoMap map() {
    return map;
  }
}
