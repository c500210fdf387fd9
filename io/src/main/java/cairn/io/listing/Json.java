package cairn.io.listing;

import cairn.collisions.Decibels;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.SerializableString;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.core.io.CharacterEscapes;
import com.fasterxml.jackson.core.io.SerializedString;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import java.io.IOException;
import java.io.Writer;
import java.util.Locale;

/** What all JSON of ours has in common: numbers with fixed decimals, null for what is none. */
public final class Json {

  private Json() {}

  /** Also escapes what RFC 8259 need not: what a terminal or an editor would act on, or hide. */
  private static final class Inert extends CharacterEscapes {
    private static final long serialVersionUID = 1L;
    private final int[] ascii = CharacterEscapes.standardAsciiEscapesForJSON();

    Inert() {
      ascii[0x7F] = CharacterEscapes.ESCAPE_STANDARD;
    }

    @Override
    public int[] getEscapeCodesForAscii() {
      return ascii.clone();
    }

    @Override
    public SerializableString getEscapeSequence(int ch) {
      return switch (Character.getType(ch)) {
        case Character.CONTROL,
            Character.FORMAT,
            Character.LINE_SEPARATOR,
            Character.PARAGRAPH_SEPARATOR ->
            new SerializedString(String.format(Locale.ROOT, "\\u%04x", ch));
        default -> null;
      };
    }
  }

  /** A generator that leaves the writer open. */
  public static JsonGenerator generator(Writer out) throws IOException {
    JsonGenerator json =
        JsonFactory.builder()
            .disable(StreamWriteFeature.AUTO_CLOSE_TARGET)
            .build()
            .createGenerator(out);
    json.setCharacterEscapes(new Inert());
    json.setPrettyPrinter(new DefaultPrettyPrinter());
    return json;
  }

  /** A linear level in dB; of 0: null. */
  public static void level(JsonGenerator json, String name, double level) throws IOException {
    number(json, name, Decibels.ofAmplitude(level), 4);
  }

  /** A number with fixed decimals; null where it is not finite. */
  public static void number(JsonGenerator json, String name, double number, int decimals)
      throws IOException {
    json.writeFieldName(name);
    if (Double.isFinite(number)) {
      json.writeNumber(Figures.fixed(number, decimals));
    } else {
      json.writeNull();
    }
  }
}
