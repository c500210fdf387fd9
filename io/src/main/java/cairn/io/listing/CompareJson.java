package cairn.io.listing;

import cairn.collisions.spectrum.Difference;
import cairn.collisions.spectrum.Portrait;
import cairn.collisions.spectrum.ThirdOctaves;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.OptionalDouble;

/** A comparison as JSON, schema {@code cairn-compare/1}. */
public final class CompareJson {

  private CompareJson() {}

  /** Writes it and leaves the writer open. */
  public static void write(CompareReport report, Writer out) throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      json.writeStartObject();
      json.writeStringField("schema", "cairn-compare/1");
      json.writeStringField("matchedBy", report.isReference() ? "loudness" : "sample-peak");
      portrait(json, "here", report.name(), report.here());
      portrait(json, "there", report.otherName(), report.there());
      Json.number(json, "gainDb", report.gainDb(), 4);
      json.writeArrayFieldStart("bands");
      for (Difference.Band band : report.difference().bands()) {
        json.writeStartObject();
        Json.number(json, "nominalHz", ThirdOctaves.nominalHz(band.band()), 1);
        Json.number(json, "hereDb", band.hereDb(), 4);
        Json.number(json, "thereDb", band.thereDb(), 4);
        Json.number(json, "differenceDb", band.db(), 4);
        json.writeBooleanField("named", band.isNamed());
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    out.write('\n');
  }

  private static void portrait(JsonGenerator json, String field, String name, Portrait portrait)
      throws IOException {
    json.writeObjectFieldStart(field);
    json.writeStringField("name", name);
    json.writeNumberField("sampleRate", portrait.sampleRateHz());
    json.writeNumberField("frames", portrait.frames());
    Json.number(json, "peakDb", portrait.peakDb(), 4);
    number(json, "integratedLufs", portrait.integratedLufs());
    number(json, "peakToLoudnessDb", portrait.peakToLoudnessDb());
    json.writeEndObject();
  }

  private static void number(JsonGenerator json, String name, OptionalDouble number)
      throws IOException {
    Json.number(json, name, number.orElse(Double.NaN), 4);
  }
}
