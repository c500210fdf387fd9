package cairn.collisions.time;

import java.util.List;
import java.util.Locale;
import java.util.Objects;

/**
 * Tempo and meter of a song, constant or changing; definitions.md, 8. Bars and beats count from 1,
 * ticks from 0; what lies before bar 1 has bar 0, −1 and so on, in the first tempo and meter. A new
 * meter starts a new bar: where it comes within a bar, that bar is cut short, and so is its last
 * beat.
 *
 * <p>Immutable. Positions are quarter notes from bar 1, beat 1.
 */
public final class TempoMap {

  /** Ticks of one beat. */
  public static final int TICKS_PER_BEAT = 960;

  /** Under this part of a beat two positions are one: far over rounding, far under a tick. */
  private static final double SAME_BEAT = 1e-7;

  private final double barOneSeconds;
  private final List<Tempo> tempos;
  private final List<Meter> meters;
  private final boolean isEstimate;

  /** When each tempo begins, in seconds from bar 1, beat 1. */
  private final double[] tempoSeconds;

  /** How many bars lie before each meter, and how many beats. */
  private final long[] barsBefore;

  private final long[] beatsBefore;

  /**
   * A tempo from a place on.
   *
   * @param quarter where it begins, in quarter notes from bar 1, beat 1
   * @param quartersPerMinute quarter notes a minute, over 0; at most 1000 from the command line,
   *     more in a file that counts samples as ticks
   */
  public record Tempo(double quarter, double quartersPerMinute) {

    private static final double MOST = 60_000_000;

    public Tempo {
      checkQuarter(quarter);
      if (!(quartersPerMinute > 0 && quartersPerMinute <= MOST)) {
        throw new IllegalArgumentException(
            "tempo must be > 0 and <= 60000000 quarter notes a minute: tempo=" + quartersPerMinute);
      }
    }
  }

  /**
   * A meter from a place on.
   *
   * @param quarter where it begins, in quarter notes from bar 1, beat 1
   * @param beatsPerBar upper figure, 1 to 99; up to 255 in a file
   * @param beatUnit lower figure: 1, 2, 4, 8, 16, 32 or 64
   */
  public record Meter(double quarter, int beatsPerBar, int beatUnit) {
    public Meter {
      checkQuarter(quarter);
      if (beatsPerBar < 1 || beatsPerBar > 255) {
        throw new IllegalArgumentException("beats a bar must be 1 to 255: beats=" + beatsPerBar);
      }
      if (beatUnit < 1 || beatUnit > 64 || Integer.bitCount(beatUnit) != 1) {
        throw new IllegalArgumentException(
            "a meter's lower figure must be 1, 2, 4, 8, 16, 32 or 64: it is " + beatUnit);
      }
    }

    /** Length of a beat in quarter notes. */
    public double beatQuarters() {
      return 4.0 / beatUnit;
    }

    /** Length of a bar in quarter notes. */
    public double barQuarters() {
      return beatsPerBar * beatQuarters();
    }
  }

  private static void checkQuarter(double quarter) {
    if (!(quarter >= 0 && quarter <= 1e9)) {
      throw new IllegalArgumentException("quarter must be 0 to 1e9: quarter=" + quarter);
    }
  }

  /**
   * A constant tempo.
   *
   * @param quartersPerMinute tempo in quarter notes a minute, over 0, at most 1000
   * @param beatsPerBar upper figure of the meter, 1 to 99
   * @param beatUnit lower figure of the meter: 1, 2, 4, 8, 16, 32 or 64
   * @param barOneSeconds time of bar 1, beat 1 in seconds
   */
  public TempoMap(double quartersPerMinute, int beatsPerBar, int beatUnit, double barOneSeconds) {
    this(
        List.of(new Tempo(0, checkedTempo(quartersPerMinute))),
        List.of(new Meter(0, checkedBeats(beatsPerBar), beatUnit)),
        barOneSeconds);
  }

  /**
   * Changing tempo and meter.
   *
   * @param tempos in order, each later than the one before, the first at 0
   * @param meters in order, each later than the one before, the first at 0
   * @param barOneSeconds time of bar 1, beat 1 in seconds
   */
  public TempoMap(List<Tempo> tempos, List<Meter> meters, double barOneSeconds) {
    this(tempos, meters, barOneSeconds, false);
  }

  private TempoMap(
      List<Tempo> tempos, List<Meter> meters, double barOneSeconds, boolean isEstimate) {
    if (!(Math.abs(barOneSeconds) <= 1e6)) {
      throw new IllegalArgumentException(
          "bar one must be within 1000000 s of the start: bar one=" + barOneSeconds);
    }
    checkOrder(tempos.stream().mapToDouble(Tempo::quarter).toArray());
    checkOrder(meters.stream().mapToDouble(Meter::quarter).toArray());
    this.barOneSeconds = barOneSeconds;
    this.isEstimate = isEstimate;
    this.tempos = List.copyOf(tempos);
    this.meters = List.copyOf(meters);
    tempoSeconds = new double[tempos.size()];
    for (int i = 1; i < tempoSeconds.length; i++) {
      Tempo last = tempos.get(i - 1);
      tempoSeconds[i] =
          tempoSeconds[i - 1]
              + (tempos.get(i).quarter() - last.quarter()) * 60 / last.quartersPerMinute();
    }
    barsBefore = new long[meters.size()];
    beatsBefore = new long[meters.size()];
    for (int j = 1; j < barsBefore.length; j++) {
      Meter last = meters.get(j - 1);
      double beats = (meters.get(j).quarter() - last.quarter()) / last.beatQuarters();
      long begun = (long) Math.ceil(beats - SAME_BEAT);
      beatsBefore[j] = beatsBefore[j - 1] + begun;
      barsBefore[j] = barsBefore[j - 1] + -Math.floorDiv(-begun, last.beatsPerBar());
    }
  }

  private static double checkedTempo(double quartersPerMinute) {
    if (!(quartersPerMinute > 0 && quartersPerMinute <= 1000)) {
      throw new IllegalArgumentException(
          "tempo must be > 0 and <= 1000 quarter notes a minute: tempo=" + quartersPerMinute);
    }
    return quartersPerMinute;
  }

  private static int checkedBeats(int beatsPerBar) {
    if (beatsPerBar < 1 || beatsPerBar > 99) {
      throw new IllegalArgumentException("beats a bar must be 1 to 99: beats=" + beatsPerBar);
    }
    return beatsPerBar;
  }

  private static void checkOrder(double[] quarters) {
    for (int i = 0; i < quarters.length; i++) {
      if (i == 0 ? quarters[i] != 0 : quarters[i] <= quarters[i - 1]) {
        throw new IllegalArgumentException(
            "changes must start at 0 and rise: change=" + i + ", quarter=" + quarters[i]);
      }
    }
    if (quarters.length == 0) {
      throw new IllegalArgumentException("there must be a change at 0: changes=0");
    }
  }

  /** The same map as a guess. */
  public TempoMap asEstimate() {
    return new TempoMap(tempos, meters, barOneSeconds, true);
  }

  /** Whether it was estimated from sound: whoever shows what it tells says so. */
  public boolean isEstimate() {
    return isEstimate;
  }

  /** Time of bar 1, beat 1 in seconds. */
  public double barOneSeconds() {
    return barOneSeconds;
  }

  /** The tempos in order, the first at 0. */
  public List<Tempo> tempos() {
    return tempos;
  }

  /** The meters in order, the first at 0. */
  public List<Meter> meters() {
    return meters;
  }

  /** Whether neither tempo nor meter changes. */
  public boolean isConstant() {
    return tempos.size() == 1 && meters.size() == 1;
  }

  /** The tempo at the start, in quarter notes a minute. */
  public double quartersPerMinute() {
    return tempos.get(0).quartersPerMinute();
  }

  /** Upper figure of the meter at the start. */
  public int beatsPerBar() {
    return meters.get(0).beatsPerBar();
  }

  /** Lower figure of the meter at the start. */
  public int beatUnit() {
    return meters.get(0).beatUnit();
  }

  /** Length of a beat at the start in seconds. */
  public double beatSeconds() {
    return 60 / quartersPerMinute() * 4 / beatUnit();
  }

  /**
   * Time of a beat in seconds; beat 0 is bar 1, beat 1, the beat before it is −1. All beats count,
   * those that are cut short too.
   */
  public double beatTimeSeconds(long beat) {
    int j = 0;
    while (j + 1 < beatsBefore.length && beatsBefore[j + 1] <= beat) {
      j++;
    }
    Meter meter = meters.get(j);
    return secondsAt(meter.quarter() + (beat - beatsBefore[j]) * meter.beatQuarters());
  }

  /** The beat that a time lies in; counted as in {@link #beatTimeSeconds}. */
  public long beatAt(double seconds) {
    int i = tempoAt(seconds - barOneSeconds);
    Tempo tempo = tempos.get(i);
    double quarter =
        tempo.quarter()
            + (seconds - barOneSeconds - tempoSeconds[i]) * tempo.quartersPerMinute() / 60;
    int j = meterAt(quarter);
    Meter meter = meters.get(j);
    return beatsBefore[j] + (long) Math.floor((quarter - meter.quarter()) / meter.beatQuarters());
  }

  /** Time of a position in seconds; before bar 1 too. */
  public double secondsAt(double quarter) {
    int i = 0;
    while (i + 1 < tempos.size() && tempos.get(i + 1).quarter() <= quarter) {
      i++;
    }
    Tempo tempo = tempos.get(i);
    return barOneSeconds
        + tempoSeconds[i]
        + (quarter - tempo.quarter()) * (60 / tempo.quartersPerMinute());
  }

  /**
   * The position of a frame in quarter notes from bar 1, beat 1; negative before it.
   *
   * @param frame frame
   * @param sampleRateHz sample rate in Hz
   */
  public double quarterAt(long frame, int sampleRateHz) {
    int i = tempoAt((double) frame / sampleRateHz - barOneSeconds);
    return tempos.get(i).quarter()
        + framesIntoTempo(i, frame, sampleRateHz)
            * tempos.get(i).quartersPerMinute()
            / (60.0 * sampleRateHz);
  }

  /** The last tempo that has begun; the first one before it too. */
  private int tempoAt(double secondsFromBarOne) {
    int i = 0;
    while (i + 1 < tempoSeconds.length && tempoSeconds[i + 1] <= secondsFromBarOne) {
      i++;
    }
    return i;
  }

  private int meterAt(double quarter) {
    int j = 0;
    while (j + 1 < meters.size() && meters.get(j + 1).quarter() <= quarter) {
      j++;
    }
    return j;
  }

  private double framesIntoTempo(int i, long frame, int sampleRateHz) {
    return i == 0
        ? frame - barOneSeconds * sampleRateHz
        : frame - (barOneSeconds + tempoSeconds[i]) * sampleRateHz;
  }

  /**
   * Bar, beat and tick of a frame: {@code 2|1|000}. Rounded once, to whole ticks, then split.
   *
   * @param frame frame
   * @param sampleRateHz sample rate in Hz
   */
  public String barsBeats(long frame, int sampleRateHz) {
    int i = tempoAt((double) frame / sampleRateHz - barOneSeconds);
    int j = meterAt(quarterAt(frame, sampleRateHz));
    Meter meter = meters.get(j);
    // One division, at the end: what lies before it is a whole number wherever the tempo is one, so
    // that a frame half-way between two ticks is not lost to rounding.
    double ticksTimesDivisor =
        framesIntoTempo(i, frame, sampleRateHz)
            * tempos.get(i).quartersPerMinute()
            * meter.beatUnit()
            * TICKS_PER_BEAT;
    double ticksBefore = ticks(tempos.get(i).quarter() - meter.quarter(), meter);
    long ticks = (long) Math.floor(ticksTimesDivisor / (240.0 * sampleRateHz) + ticksBefore + 0.5);
    if (j + 1 < meters.size()
        && ticks >= ticks(meters.get(j + 1).quarter() - meter.quarter(), meter) - SAME_BEAT) {
      // Rounded up to where the next meter begins.
      j++;
      ticks = 0;
    }
    long ticksPerBar = (long) meters.get(j).beatsPerBar() * TICKS_PER_BEAT;
    long inBar = Math.floorMod(ticks, ticksPerBar);
    return String.format(
        Locale.ROOT,
        "%d|%d|%03d",
        barsBefore[j] + Math.floorDiv(ticks, ticksPerBar) + 1,
        inBar / TICKS_PER_BEAT + 1,
        inBar % TICKS_PER_BEAT);
  }

  private static double ticks(double quarters, Meter meter) {
    return quarters * meter.beatUnit() / 4 * TICKS_PER_BEAT;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof TempoMap map
        && map.barOneSeconds == barOneSeconds
        && map.isEstimate == isEstimate
        && map.tempos.equals(tempos)
        && map.meters.equals(meters);
  }

  @Override
  public int hashCode() {
    return Objects.hash(barOneSeconds, tempos, meters, isEstimate);
  }

  @Override
  public String toString() {
    return "TempoMap[tempos="
        + tempos
        + ", meters="
        + meters
        + ", barOneSeconds="
        + barOneSeconds
        + "]";
  }
}
