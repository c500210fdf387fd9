package cairn.io.listing;

import cairn.collisions.Decibels;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import java.io.IOException;
import java.io.Writer;

/** What all JSON of ours has in common: numbers with fixed decimals, null for what is none. */
final class Json {

  private Json() {}

  /** A generator that leaves the writer open. */
  static JsonGenerator generator(Writer out) throws IOException {
    JsonGenerator json =
        JsonFactory.builder()
            .disable(StreamWriteFeature.AUTO_CLOSE_TARGET)
            .build()
            .createGenerator(out);
    json.setPrettyPrinter(new DefaultPrettyPrinter());
    return json;
  }

  /** A linear level in dB; of 0: null. */
  static void level(JsonGenerator json, String name, double level) throws IOException {
    number(json, name, Decibels.ofAmplitude(level), 4);
  }

  /** A number with fixed decimals; null where it is not finite. */
  static void number(JsonGenerator json, String name, double number, int decimals)
      throws IOException {
    json.writeFieldName(name);
    if (Double.isFinite(number)) {
      json.writeNumber(Figures.fixed(number, decimals));
    } else {
      json.writeNull();
    }
  }
}
