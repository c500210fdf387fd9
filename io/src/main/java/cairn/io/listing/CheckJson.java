package cairn.io.listing;

import cairn.collisions.check.Finding;
import cairn.collisions.check.MomentInPrint;
import cairn.collisions.check.PrintComparison;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;

/** A check as JSON, schema {@code cairn-check/1}. */
public final class CheckJson {

  private CheckJson() {}

  /** Writes it and leaves the writer open. */
  public static void write(CheckReport report, Writer out) throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      json.writeStartObject();
      json.writeStringField("schema", "cairn-check/1");
      json.writeStringField("folder", report.folder());
      json.writeNumberField("sampleRate", report.sampleRateHz());
      json.writeNumberField("frames", report.frames());
      json.writeArrayFieldStart("stems");
      for (String stem : report.stems()) {
        json.writeString(stem);
      }
      json.writeEndArray();
      json.writeNumberField("matter", report.matter());
      json.writeArrayFieldStart("findings");
      for (Finding finding : report.findings()) {
        json.writeStartObject();
        json.writeStringField("kind", word(finding.kind()));
        json.writeStringField("weight", word(finding.weight()));
        json.writeStringField("what", finding.what());
        json.writeStringField("where", finding.where());
        json.writeStringField("whatToDo", finding.whatToDo());
        json.writeEndObject();
      }
      json.writeEndArray();
      if (report.print().isPresent()) {
        print(json, report, report.print().get());
      }
      json.writeEndObject();
    }
    out.write('\n');
  }

  private static void print(JsonGenerator json, CheckReport report, PrintComparison print)
      throws IOException {
    json.writeObjectFieldStart("print");
    json.writeNumberField("lagFrames", print.alignment().lagFrames());
    Json.number(json, "correlation", print.alignment().correlation(), 4);
    Json.number(json, "gainDb", print.gainDb(), 4);
    json.writeBooleanField("reversed", print.reversed());
    Json.number(json, "residualDb", print.residualDb(), 4);
    Json.number(json, "restDb", print.restDb(), 4);
    json.writeArrayFieldStart("stems");
    for (PrintComparison.StemInPrint stem : print.differing()) {
      json.writeStartObject();
      json.writeStringField("stem", report.stems().get(stem.stem()));
      json.writeBooleanField("missing", stem.isMissing());
      Json.number(json, "factor", stem.factor(), 4);
      json.writeEndObject();
    }
    json.writeEndArray();
    Json.number(
        json,
        "dynamicsDb",
        print.dynamics().map(PrintComparison.BusDynamics::downDb).orElse(Double.NaN),
        4);
    json.writeArrayFieldStart("moments");
    for (MomentInPrint each : report.moments()) {
      json.writeStartObject();
      json.writeNumberField("frame", each.moment().peakFrame());
      Json.number(json, "levelDb", each.levelDb(), 4);
      json.writeBooleanField("seen", each.isSeen());
      json.writeEndObject();
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
