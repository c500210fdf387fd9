package cairn.demo;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * The demo song: a carnival parade band of 16 stems, 48 kHz, 24 bits, about 100 s, at 104 quarter
 * notes a minute in 4/4 with bar one at 0.0 s, in which some moments are planted. The same seed
 * gives the same song to the last bit on every machine.
 */
public final class DemoSong {

  /** The seed of the song that is written where no other is asked for. */
  public static final long DEFAULT_SEED = 104;

  public static final int SAMPLE_RATE_HZ = Waves.SAMPLE_RATE_HZ;

  /** Quarter notes a minute. */
  public static final double TEMPO = Grid.QUARTERS_PER_MINUTE;

  /** Beats of a bar. */
  public static final int BEATS_PER_BAR = 4;

  /** What a beat is: a quarter note. */
  public static final int BEAT_UNIT = 4;

  /** The time of bar one, beat one, in seconds. */
  public static final double BAR_ONE_SECONDS = 0.0;

  private static final int BARS = 44;

  /** Frames whose distance is at most this belong to one moment, 35 ms; definitions.md, 3. */
  private static final int LINK = Waves.frames(0.035);

  /** A planted moment is one whose span lies within 3 ms of where it was planted. */
  private static final int NEAR = Waves.frames(0.003);

  /**
   * A part of the song, {@code [firstFrame, endFrame)}.
   *
   * @param name {@code drop two}
   */
  public record Section(String name, int firstFrame, int endFrame) {}

  private final int frames;
  private final List<DemoStem> stems;
  private final List<PlantedMoment> planted;
  private final double averagePeakDb;

  private DemoSong(
      int frames, List<DemoStem> stems, List<PlantedMoment> planted, double averagePeakDb) {
    this.frames = frames;
    this.stems = List.copyOf(stems);
    this.planted = List.copyOf(planted);
    this.averagePeakDb = averagePeakDb;
  }

  /** Composes the song of a seed; takes a second or two. */
  public static DemoSong compose(long seed) {
    Kit kit = new Kit(seed);
    Band band = new Band(Grid.bar(BARS), Score.write(seed, kit));
    List<Tuning.Place> places = Tuning.tune(kit, band);
    double[][] hall = null;
    double[][] bus = new double[2][band.frames];
    List<DemoStem> stems = new ArrayList<>();
    for (Voice voice : Voice.values()) {
      stems.add(new DemoStem(band, voice));
      double[][] samples = band.render(voice);
      if (voice == Voice.HALL) {
        hall = samples;
      }
      for (int c = 0; c < 2; c++) {
        double[] from = samples[Math.min(c, samples.length - 1)];
        double[] to = bus[c];
        for (int n = 0; n < to.length; n++) {
          to[n] += from[n];
        }
      }
    }
    Reckoning reckoning = Reckoning.of(bus);
    List<PlantedMoment> planted = new ArrayList<>();
    for (Tuning.Place place : places) {
      PlantedMoment moment = state(place, band, bus, hall, reckoning);
      if (moment != null) {
        planted.add(moment);
      }
    }
    return new DemoSong(band.frames, stems, planted, Waves.levelDb(reckoning.average()));
  }

  /** The moment that came of a place; null where nothing rises above the line. */
  private static PlantedMoment state(
      Tuning.Place place, Band band, double[][] bus, double[][] hall, Reckoning reckoning) {
    double line = reckoning.line();
    int any = -1;
    for (int n = Math.max(0, place.frame() - NEAR);
        any < 0 && n <= Math.min(band.frames - 1, place.frame() + NEAR);
        n++) {
      if (level(bus, n) > line) {
        any = n;
      }
    }
    if (any < 0) {
      return null;
    }
    int first = any;
    for (int n = any; n >= 0 && n >= first - LINK; n--) {
      first = level(bus, n) > line ? n : first;
    }
    int last = any;
    int peak = first;
    for (int n = first; n < band.frames && n <= last + LINK; n++) {
      last = n > last && level(bus, n) > line ? n : last;
      peak = level(bus, n) > level(bus, peak) ? n : peak;
    }
    int channel = Math.abs(bus[0][peak]) >= Math.abs(bus[1][peak]) ? 0 : 1;
    double level = level(bus, peak);
    return new PlantedMoment(
        peak,
        channel,
        depth(band, bus[channel][peak], peak, channel, hall, reckoning),
        Waves.levelDb(level),
        Waves.levelDb(level / reckoning.average()),
        Part.of(place.bar()).title(),
        place.figure().name(),
        last - first + 1 > Waves.frames(0.1),
        place.figure().text());
  }

  private static double level(double[][] bus, int n) {
    return Math.max(Math.abs(bus[0][n]), Math.abs(bus[1][n]));
  }

  /** The names of the stems that make up the depth. */
  private static List<String> depth(
      Band band, double sum, int n, int channel, double[][] hall, Reckoning reckoning) {
    record Adds(Voice voice, double amplitude) {}
    List<Adds> all = new ArrayList<>();
    for (Voice voice : Voice.values()) {
      double sample = voice == Voice.HALL ? hall[channel][n] : band.sample(voice, n, channel);
      all.add(new Adds(voice, Math.signum(sum) * sample));
    }
    all.sort(Comparator.comparingDouble(Adds::amplitude).reversed());
    List<String> names = new ArrayList<>();
    double reached = 0;
    for (Adds adds : all) {
      reached += adds.amplitude;
      names.add(adds.voice.stemName);
      double needed = names.size() == 1 ? reckoning.line() : reckoning.average();
      if (reached > needed) {
        break;
      }
    }
    return names;
  }

  /** Length of every stem in frames. */
  public int frames() {
    return frames;
  }

  /** The stems in stem order: by path, compared by code point. */
  public List<DemoStem> stems() {
    return stems;
  }

  /** What is planted, in order of time. */
  public List<PlantedMoment> planted() {
    return planted;
  }

  /** The average peak that excesses are counted from, dBFS. */
  public double averagePeakDb() {
    return averagePeakDb;
  }

  /** The parts of the song, in order, without gaps. */
  public List<Section> sections() {
    List<Section> sections = new ArrayList<>();
    for (Part part : Part.values()) {
      sections.add(new Section(part.title(), Grid.bar(part.firstBar), Grid.bar(part.endBar())));
    }
    return sections;
  }
}
