package cairn.io.cue;

import cairn.collisions.cue.Cue;
import cairn.collisions.fix.Clip;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.Nudge;
import cairn.collisions.fix.Trim;
import cairn.io.listing.Json;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;

/** Cues as JSON; fields with the package. */
public final class CueJson {

  private static final int REPLACEMENT = 0xFFFD;

  private CueJson() {}

  /** Writes the sheet, a line feed after it, and leaves the writer open. */
  public static void write(CueSheet sheet, Writer out) throws IOException {
    try (JsonGenerator json = Json.generator(out)) {
      json.writeStartObject();
      json.writeStringField("schema", "cairn-cues/1");
      json.writeObjectFieldStart("session");
      json.writeStringField("name", sheet.name());
      json.writeNumberField("sampleRate", sheet.sampleRateHz());
      json.writeNumberField("frames", sheet.list().session().frames());
      json.writeStringField("notation", sheet.list().notation().name());
      json.writeEndObject();
      json.writeArrayFieldStart("cues");
      for (Cue cue : sheet.list().cues()) {
        write(json, sheet, cue);
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    out.write('\n');
  }

  private static void write(JsonGenerator json, CueSheet sheet, Cue cue) throws IOException {
    json.writeStartObject();
    if (cue.rank().isPresent()) {
      json.writeNumberField("rank", cue.rank().getAsInt());
    } else {
      json.writeNullField("rank");
    }
    json.writeNumberField("moment", cue.frame());
    Json.number(json, "seconds", sheet.seconds(cue), 6);
    json.writeStringField("time", cue.time());
    json.writeNumberField("from", cue.fromFrame());
    json.writeNumberField("to", cue.endFrame());
    json.writeStringField("stem", sheet.list().stemName(cue));
    if (cue.fix().isPresent()) {
      writeFix(json, cue.fix().get());
    } else {
      json.writeNullField("kind");
    }
    Json.number(json, "excessDb", cue.excessDb().orElse(Double.NaN), 4);
    json.writeNumberField("alike", cue.alike());
    json.writeBooleanField("done", cue.done());
    if (cue.note().isPresent()) {
      json.writeStringField("note", wellFormed(cue.note().get()));
    } else {
      json.writeNullField("note");
    }
    json.writeStringField("text", cue.text());
    json.writeEndObject();
  }

  private static void writeFix(JsonGenerator json, Fix fix) throws IOException {
    json.writeStringField("kind", fix.kind().name().toLowerCase(Locale.ROOT));
    if (fix instanceof Nudge nudge) {
      json.writeNumberField("frames", nudge.frames());
    } else if (fix instanceof Trim trim) {
      Json.number(json, "db", trim.db(), 1);
    } else {
      Json.number(json, "ceilingDb", ((Clip) fix).ceilingDb(), 1);
    }
  }

  /** The same without unpaired surrogates, which have no UTF-8. */
  private static String wellFormed(String text) {
    StringBuilder well = new StringBuilder(text.length());
    text.codePoints()
        .map(c -> c <= 0xFFFF && Character.isSurrogate((char) c) ? REPLACEMENT : c)
        .forEach(well::appendCodePoint);
    return well.toString();
  }
}
