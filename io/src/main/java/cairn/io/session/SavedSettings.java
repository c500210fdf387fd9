package cairn.io.session;

import cairn.collisions.Settings;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.time.TempoMap;
import java.io.IOException;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What is asked of the analysis of this song.
 *
 * @param asked range, windows, baseline, section and line
 * @param tempo the tempo that times are shown by; where windows are beats, theirs
 * @param monoGainDb gain in dB of mono stems on their way into both channels
 * @param unknown fields of a later version
 */
public record SavedSettings(
    Settings asked, Optional<TempoMap> tempo, double monoGainDb, Unknown unknown) {

  /** Nothing asked for: the defaults of every setting. */
  public static final SavedSettings DEFAULT =
      new SavedSettings(Settings.DEFAULT, Optional.empty(), 0);

  /** How long windows are, in the file. */
  private enum Windows {
    HALF,
    BEAT
  }

  public SavedSettings {
    Objects.requireNonNull(asked, "asked");
    Objects.requireNonNull(tempo, "tempo");
    Objects.requireNonNull(unknown, "unknown");
    if (asked.beatWindows().isPresent() && !asked.beatWindows().equals(tempo)) {
      throw new IllegalArgumentException("windows of a beat must be of the tempo: tempo=" + tempo);
    }
    if (!Double.isFinite(monoGainDb)) {
      throw new IllegalArgumentException("monoGainDb must be finite: monoGainDb=" + monoGainDb);
    }
  }

  /** Settings as a program of this version saves them. */
  public SavedSettings(Settings asked, Optional<TempoMap> tempo, double monoGainDb) {
    this(asked, tempo, monoGainDb, Unknown.NONE);
  }

  static SavedSettings read(Fields fields) throws IOException {
    Optional<TempoMap> tempo = fields.object("tempo", SavedSettings::readTempo);
    Windows windows = fields.word("windows", Windows.class).orElse(Windows.HALF);
    if (windows == Windows.BEAT && tempo.isEmpty()) {
      throw new IllegalArgumentException("windows of a beat need a tempo");
    }
    return new SavedSettings(
        new Settings(
            fields.range("range"),
            windows == Windows.BEAT ? tempo : Optional.empty(),
            fields.needWord("baseline", Baseline.class),
            fields.range("section"),
            readLine(fields)),
        tempo,
        fields.number("monoGainDb").orElse(0),
        fields.unknown());
  }

  JsonTree.Obj write() {
    ObjectBuilder object = new ObjectBuilder();
    writeLine(asked.line(), object);
    object.word("baseline", asked.baseline());
    object.range("section", asked.section()).range("range", asked.range());
    if (asked.beatWindows().isPresent()) {
      object.word("windows", Windows.BEAT);
    }
    tempo.ifPresent(map -> object.object("tempo", writeTempo(map)));
    return object.number("monoGainDb", monoGainDb).with(unknown);
  }

  /** A line as margin or level. */
  static Line readLine(Fields fields) throws IOException {
    OptionalDouble marginDb = fields.number("marginDb");
    OptionalDouble levelDb = fields.number("lineDb");
    if (marginDb.isPresent() == levelDb.isPresent()) {
      throw new IllegalArgumentException("there must be one of marginDb and lineDb");
    }
    return marginDb.isPresent()
        ? new Line.Margin(marginDb.getAsDouble())
        : new Line.Level(levelDb.getAsDouble());
  }

  static void writeLine(Line line, ObjectBuilder into) {
    if (line instanceof Line.Margin margin) {
      into.number("marginDb", margin.marginDb());
    } else if (line instanceof Line.Level level) {
      into.number("lineDb", level.levelDb());
    }
  }

  private static TempoMap readTempo(Fields fields) throws IOException {
    return new TempoMap(
        fields.needNumber("quartersPerMinute"),
        fields.needInt("beatsPerBar"),
        fields.needInt("beatUnit"),
        fields.needNumber("barOneSeconds"));
  }

  private static JsonTree.Obj writeTempo(TempoMap tempo) {
    return new ObjectBuilder()
        .number("quartersPerMinute", tempo.quartersPerMinute())
        .whole("beatsPerBar", tempo.beatsPerBar())
        .whole("beatUnit", tempo.beatUnit())
        .number("barOneSeconds", tempo.barOneSeconds())
        .with(Unknown.NONE);
  }
}
