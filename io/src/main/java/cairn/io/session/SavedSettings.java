package cairn.io.session;

import cairn.collisions.Decibels;
import cairn.collisions.PeakMode;
import cairn.collisions.Settings;
import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.Metering;
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
            readLine(fields),
            fields.word("metering", Metering.class).orElse(Metering.NONE),
            fields.object("goal", SavedSettings::readGoal),
            fields.flag("goalDrawsLine"),
            fields.flag("truePeak") ? PeakMode.TRUE_PEAK : PeakMode.SAMPLE_PEAK),
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
    if (asked.metering() != Metering.NONE) {
      object.word("metering", asked.metering());
    }
    asked.goal().ifPresent(goal -> object.object("goal", writeGoal(goal)));
    object.flag("goalDrawsLine", asked.goalDrawsLine());
    object.flag("truePeak", asked.mode() == PeakMode.TRUE_PEAK);
    tempo.ifPresent(map -> object.object("tempo", writeTempo(map)));
    return object.number("monoGainDb", monoGainDb).with(unknown);
  }

  /** A line as margin or level; one that is held to the bit, where that is known. */
  static Line readLine(Fields fields) throws IOException {
    OptionalDouble held = fields.number("heldLine");
    OptionalDouble marginDb = fields.number("marginDb");
    OptionalDouble levelDb = fields.number("lineDb");
    if (marginDb.isPresent() == levelDb.isPresent()) {
      throw new IllegalArgumentException("there must be one of marginDb and lineDb");
    }
    if (levelDb.isPresent() && held.isPresent()) {
      return new Line.Held(held.getAsDouble());
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
    } else if (line instanceof Line.Held held) {
      into.number("lineDb", Decibels.ofAmplitude(held.level())).number("heldLine", held.level());
    }
  }

  /** The same for stems that are later by so many frames; below 0: earlier. */
  SavedSettings shifted(long frames) {
    return new SavedSettings(asked.shifted(frames), tempo, monoGainDb, unknown);
  }

  private static TempoMap readTempo(Fields fields) throws IOException {
    OptionalDouble quartersPerMinute = fields.number("quartersPerMinute");
    if (quartersPerMinute.isPresent()) {
      // The first form: one tempo, one meter.
      return new TempoMap(
          quartersPerMinute.getAsDouble(),
          fields.needInt("beatsPerBar"),
          fields.needInt("beatUnit"),
          fields.needNumber("barOneSeconds"));
    }
    return new TempoMap(
        fields.objects(
            "tempos",
            each ->
                new TempoMap.Tempo(
                    each.needNumber("quarter"), each.needNumber("quartersPerMinute"))),
        fields.objects(
            "meters",
            each ->
                new TempoMap.Meter(
                    each.needNumber("quarter"),
                    each.needInt("beatsPerBar"),
                    each.needInt("beatUnit"))),
        fields.needNumber("barOneSeconds"));
  }

  private static JsonTree.Obj writeTempo(TempoMap tempo) {
    return new ObjectBuilder()
        .array(
            "tempos",
            tempo.tempos(),
            each ->
                new ObjectBuilder()
                    .number("quarter", each.quarter())
                    .number("quartersPerMinute", each.quartersPerMinute())
                    .with(Unknown.NONE))
        .array(
            "meters",
            tempo.meters(),
            each ->
                new ObjectBuilder()
                    .number("quarter", each.quarter())
                    .whole("beatsPerBar", each.beatsPerBar())
                    .whole("beatUnit", each.beatUnit())
                    .with(Unknown.NONE))
        .number("barOneSeconds", tempo.barOneSeconds())
        .with(Unknown.NONE);
  }

  private static Goal readGoal(Fields fields) throws IOException {
    return new Goal(
        fields.needNumber("targetLufs"),
        fields.needNumber("ceilingDb"),
        fields.needWord("ceilingMode", PeakMode.class),
        fields.needNumber("allowanceDb"),
        fields.needWord("part", Goal.Part.class));
  }

  private static JsonTree.Obj writeGoal(Goal goal) {
    return new ObjectBuilder()
        .number("targetLufs", goal.targetLufs())
        .number("ceilingDb", goal.ceilingDb())
        .word("ceilingMode", goal.ceilingMode())
        .number("allowanceDb", goal.allowanceDb())
        .word("part", goal.part())
        .with(Unknown.NONE);
  }
}
