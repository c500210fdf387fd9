package cairn.io.listing;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.plan.SharedSound;
import cairn.collisions.plan.StemMove;
import cairn.collisions.plan.StemSetting;
import cairn.io.stems.StemSet;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.function.IntFunction;
import java.util.stream.Collectors;

/**
 * What one setting for the whole song would do for each stem, for people and programs.
 *
 * @param stems the stems
 * @param pass the pass that the moments are of
 * @param moves the settings, by stem
 * @param shared stems that carry the same sound
 */
public record StemMoves(StemSet stems, Pass pass, List<StemMove> moves, List<SharedSound> shared) {

  public StemMoves {
    moves = List.copyOf(moves);
    shared = List.copyOf(shared);
  }

  /** Whether a ceiling lies under the average peak of its stem. */
  public static boolean isUnderAverage(Pass pass, StemSetting setting) {
    OptionalDouble average = pass.stems().get(setting.stem()).averagePeak();
    return setting.kind() == StemSetting.Kind.CEILING
        && average.isPresent()
        && Decibels.toFactor(setting.amount() / 10.0) < average.getAsDouble();
  }

  /** {@code 0.31 ms later (15 samples)}, {@code ceiling at -9.2 dBFS}, {@code fader -1.2 dB}. */
  public static String words(StemSetting setting, int sampleRateHz) {
    return switch (setting.kind()) {
      case OFFSET -> FixWords.shift(setting.amount(), sampleRateHz);
      case POLARITY -> "polarity reversed";
      case CEILING ->
          String.format(
              Locale.ROOT, "ceiling at %s dBFS", Figures.fixed(setting.amount() / 10.0, 1));
      case FADER -> String.format(Locale.ROOT, "fader -%.1f dB", setting.amount() / 10.0);
    };
  }

  /** What a ceiling cuts off; nothing for others. */
  public static String price(StemMove move, int sampleRateHz) {
    if (move.setting().kind() != StemSetting.Kind.CEILING) {
      return "";
    }
    return String.format(
        Locale.ROOT,
        "%s clipped, the longest lobe %.2f ms",
        Figures.count(move.clippedFrames(), "sample"),
        1000.0 * move.longestLobeFrames() / sampleRateHz);
  }

  /** What is to be said of a setting: what it cuts off, or which stems carry the same sound. */
  static String care(StemMove move, int sampleRateHz, List<String> sameSound) {
    return move.setting().setsApart() && !sameSound.isEmpty()
        ? String.join(", ", sameSound)
            + (sameSound.size() == 1 ? " carries" : " carry")
            + " the same sound: alone it combs, so yoke them"
        : price(move, sampleRateHz);
  }

  /** What a setting costs: samples cut off, or the stems that it combs against. */
  public static String care(
      StemMove move, int sampleRateHz, List<SharedSound> shared, IntFunction<String> name) {
    return care(
        move,
        sampleRateHz,
        SharedSound.with(shared, move.setting().stem()).stream().map(name::apply).toList());
  }

  /** The table for people: what helps, the most useful first. */
  public List<String> lines() {
    List<String> lines = new ArrayList<>();
    int moments = pass.moments().size();
    int rate = pass.session().sampleRateHz();
    lines.add(
        Figures.count(moments, "moment")
            + " over the line; bus peak "
            + Figures.db(pass.peak(), 2)
            + " "
            + pass.settings().mode().unit()
            + ". One setting for the whole song, without any mark:");
    Table table = new Table();
    table.row(List.of("<stem", "<setting", ">cleared", ">new", ">left", ">peak after", "<care"));
    List<StemMove> helping =
        moves.stream()
            .filter(move -> move.helps(moments))
            .sorted(
                Comparator.comparingInt(StemMove::left).thenComparingDouble(StemMove::peakAfter))
            .toList();
    for (StemMove move : helping) {
      table.row(
          List.of(
              moved(move),
              words(move.setting(), rate),
              String.valueOf(move.cleared()),
              String.valueOf(move.fresh()),
              String.valueOf(move.left()),
              Figures.db(move.peakAfter(), 2),
              care(move, rate, shared, this::name)));
    }
    if (helping.isEmpty()) {
      lines.add("No offset, polarity, ceiling or fader step of one stem leaves fewer moments.");
    } else {
      lines.add("");
      lines.addAll(table.lines());
    }
    if (!shared.isEmpty()) {
      lines.add("");
      shared.forEach(pair -> lines.add(sharedLine(pair)));
    }
    return lines;
  }

  /** The stem, with those of its yoke that are set with it. */
  private String moved(StemMove move) {
    return move.setting().moved(pass.session().yokes()).stream()
        .map(this::name)
        .collect(Collectors.joining(" with "));
  }

  private String sharedLine(SharedSound pair) {
    return name(pair.first())
        + " and "
        + name(pair.second())
        + (pair.bandHz() == 0
            ? " carry the same sound at "
            : " carry the same sound about " + pair.bandHz() + " Hz at ")
        + pair.shared()
        + " of the "
        + Figures.count(pair.together(), "moment")
        + " that both lead: to move them as one, --yoke '"
        + name(pair.first())
        + ","
        + name(pair.second())
        + "'";
  }

  /** Writes CSV, a row a setting, and leaves the writer open. */
  public void writeCsv(Writer out) throws IOException {
    Csv.writeRow(
        out,
        List.of(
            "stem",
            "kind",
            "amount",
            "cleared",
            "new",
            "left",
            "peakAfterDb",
            "clippedFrames",
            "longestLobe"));
    for (StemMove move : moves) {
      StemSetting setting = move.setting();
      Csv.writeRow(
          out,
          List.of(
              Csv.guarded(name(setting.stem())),
              kind(setting),
              switch (setting.kind()) {
                case OFFSET -> setting.amount();
                case POLARITY -> "";
                case CEILING -> Figures.fixed(setting.amount() / 10.0, 1);
                case FADER -> Figures.fixed(-setting.amount() / 10.0, 1);
              },
              move.cleared(),
              move.fresh(),
              move.left(),
              Figures.fixed(Decibels.ofAmplitude(move.peakAfter()), 4),
              move.clippedFrames(),
              move.longestLobeFrames()));
    }
  }

  /** Writes JSON, schema {@code cairn-stems/1}, and leaves the writer open. */
  public void writeJson(Writer out) throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      json.writeStartObject();
      json.writeStringField("schema", "cairn-stems/1");
      Json.level(json, "peakDb", pass.peak());
      json.writeNumberField("moments", pass.moments().size());
      json.writeArrayFieldStart("settings");
      for (StemMove move : moves) {
        write(json, pass, move, name(move.setting().stem()));
      }
      json.writeEndArray();
      json.writeArrayFieldStart("shared");
      for (SharedSound pair : shared) {
        json.writeStartObject();
        json.writeArrayFieldStart("stems");
        json.writeString(name(pair.first()));
        json.writeString(name(pair.second()));
        json.writeEndArray();
        json.writeNumberField("shared", pair.shared());
        json.writeNumberField("together", pair.together());
        if (pair.bandHz() > 0) {
          json.writeNumberField("bandHz", pair.bandHz());
        }
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    out.write('\n');
  }

  static void write(JsonGenerator json, Pass pass, StemMove move, String name) throws IOException {
    StemSetting setting = move.setting();
    json.writeStartObject();
    json.writeStringField("stem", name);
    json.writeStringField("kind", kind(setting));
    switch (setting.kind()) {
      case OFFSET -> json.writeNumberField("frames", setting.amount());
      case CEILING -> Json.number(json, "ceilingDb", setting.amount() / 10.0, 1);
      case FADER -> Json.number(json, "db", setting.amount() / 10.0, 1);
      case POLARITY -> {}
    }
    json.writeNumberField("cleared", move.cleared());
    json.writeNumberField("new", move.fresh());
    json.writeNumberField("left", move.left());
    Json.level(json, "peakAfterDb", move.peakAfter());
    if (setting.kind() == StemSetting.Kind.CEILING) {
      json.writeNumberField("clippedFrames", move.clippedFrames());
      json.writeNumberField("longestLobe", move.longestLobeFrames());
      json.writeBooleanField("underAverage", isUnderAverage(pass, setting));
    }
    json.writeEndObject();
  }

  private static String kind(StemSetting setting) {
    return setting.kind().name().toLowerCase(Locale.ROOT);
  }

  private String name(int k) {
    return stems.stems().get(k).name();
  }
}
