package cairn.io.session;

import com.fasterxml.jackson.core.JsonEncoding;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParseException;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.PrettyPrinter;
import com.fasterxml.jackson.core.StreamReadFeature;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.StringWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** JSON trees from bytes and back. UTF-8; a field that stands twice in an object is refused. */
final class JsonText {

  private static final JsonFactory FACTORY =
      JsonFactory.builder().enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION).build();

  private JsonText() {}

  /**
   * Reads one value and makes sure that nothing follows it.
   *
   * @throws com.fasterxml.jackson.core.JsonProcessingException if it is no JSON; it knows the place
   */
  static JsonTree parse(byte[] bytes) throws IOException {
    try (JsonParser parser = FACTORY.createParser(bytes)) {
      if (parser.nextToken() == null) {
        throw new JsonParseException(parser, "there is nothing in it");
      }
      JsonTree tree = value(parser);
      if (parser.nextToken() != null) {
        throw new JsonParseException(parser, "something follows the end");
      }
      return tree;
    }
  }

  private static JsonTree value(JsonParser parser) throws IOException {
    return switch (parser.currentToken()) {
      case START_OBJECT -> {
        Map<String, JsonTree> fields = new LinkedHashMap<>();
        while (parser.nextToken() == JsonToken.FIELD_NAME) {
          String name = parser.currentName();
          parser.nextToken();
          fields.put(name, value(parser));
        }
        yield new JsonTree.Obj(fields);
      }
      case START_ARRAY -> {
        List<JsonTree> items = new ArrayList<>();
        while (parser.nextToken() != JsonToken.END_ARRAY) {
          items.add(value(parser));
        }
        yield new JsonTree.Arr(items);
      }
      case VALUE_STRING -> new JsonTree.Text(parser.getText());
      case VALUE_NUMBER_INT, VALUE_NUMBER_FLOAT -> new JsonTree.Num(parser.getText());
      case VALUE_TRUE -> JsonTree.Word.TRUE;
      case VALUE_FALSE -> JsonTree.Word.FALSE;
      case VALUE_NULL -> JsonTree.Word.NULL;
      case END_OBJECT, END_ARRAY, FIELD_NAME, NOT_AVAILABLE, VALUE_EMBEDDED_OBJECT ->
          throw new JsonParseException(parser, "a value is missing");
    };
  }

  /** The bytes of a tree, laid out for reading and comparing: a mark, a moment a line. */
  static byte[] print(JsonTree tree) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(1 << 14);
    try (JsonGenerator json = FACTORY.createGenerator(bytes, JsonEncoding.UTF8)) {
      Layout layout = new Layout();
      json.setPrettyPrinter(layout);
      write(json, layout, tree, true);
      json.writeRaw('\n');
    }
    return bytes.toByteArray();
  }

  /**
   * A tree that holds lists as it is printed so deep in the file.
   *
   * @param depth in how many objects and arrays it stands, all of them with an entry a line
   */
  static JsonTree.Printed printed(JsonTree tree, int depth) throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = FACTORY.createGenerator(text)) {
      Layout layout = new Layout();
      for (int i = 0; i < depth; i++) {
        layout.enter(true);
      }
      json.setPrettyPrinter(layout);
      write(json, layout, tree, true);
    }
    return new JsonTree.Printed(text.toString());
  }

  private static void write(JsonGenerator json, Layout layout, JsonTree tree, boolean root)
      throws IOException {
    boolean open = root || tree.holdsList();
    if (tree instanceof JsonTree.Obj object) {
      json.writeStartObject();
      layout.enter(open);
      for (Map.Entry<String, JsonTree> field : object.fields().entrySet()) {
        json.writeFieldName(whole(field.getKey()));
        write(json, layout, field.getValue(), false);
      }
      layout.leave();
      json.writeEndObject();
    } else if (tree instanceof JsonTree.Arr array) {
      json.writeStartArray();
      layout.enter(open);
      for (JsonTree item : array.items()) {
        write(json, layout, item, false);
      }
      layout.leave();
      json.writeEndArray();
    } else if (tree instanceof JsonTree.Text text) {
      json.writeString(whole(text.text()));
    } else if (tree instanceof JsonTree.Num number) {
      json.writeNumber(number.literal());
    } else if (tree instanceof JsonTree.Printed printed) {
      json.writeRawValue(printed.text());
    } else if (tree == JsonTree.Word.NULL) {
      json.writeNull();
    } else {
      json.writeBoolean(tree == JsonTree.Word.TRUE);
    }
  }

  /** The text with U+FFFD for every half of a surrogate pair, which UTF-8 cannot hold. */
  private static String whole(String text) {
    StringBuilder mended = null;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (Character.isHighSurrogate(c)
          && i + 1 < text.length()
          && Character.isLowSurrogate(text.charAt(i + 1))) {
        i++;
      } else if (Character.isSurrogate(c)) {
        mended = mended == null ? new StringBuilder(text) : mended;
        mended.setCharAt(i, '\uFFFD');
      }
    }
    return mended == null ? text : mended.toString();
  }

  /** Lines and indents: open containers have an entry a line, the others stand in one. */
  private static final class Layout implements PrettyPrinter {
    private final List<Boolean> open = new ArrayList<>();

    void enter(boolean isOpen) {
      open.add(isOpen);
    }

    /** The end is still written in the layout of what ends, the depth is that outside. */
    void leave() {
      ended = open.remove(open.size() - 1);
    }

    private boolean ended;

    private void gap(JsonGenerator json) throws IOException {
      if (open.get(open.size() - 1)) {
        newLine(json);
      } else {
        json.writeRaw(' ');
      }
    }

    private void newLine(JsonGenerator json) throws IOException {
      json.writeRaw('\n');
      for (int i = 0; i < open.size(); i++) {
        json.writeRaw("  ");
      }
    }

    @Override
    public void writeRootValueSeparator(JsonGenerator json) {
      // There is one value alone.
    }

    @Override
    public void writeStartObject(JsonGenerator json) throws IOException {
      json.writeRaw('{');
    }

    @Override
    public void writeEndObject(JsonGenerator json, int entries) throws IOException {
      if (ended && entries > 0) {
        newLine(json);
      }
      json.writeRaw('}');
    }

    @Override
    public void writeObjectEntrySeparator(JsonGenerator json) throws IOException {
      json.writeRaw(',');
      gap(json);
    }

    @Override
    public void writeObjectFieldValueSeparator(JsonGenerator json) throws IOException {
      json.writeRaw(": ");
    }

    @Override
    public void writeStartArray(JsonGenerator json) throws IOException {
      json.writeRaw('[');
    }

    @Override
    public void writeEndArray(JsonGenerator json, int values) throws IOException {
      if (ended && values > 0) {
        newLine(json);
      }
      json.writeRaw(']');
    }

    @Override
    public void writeArrayValueSeparator(JsonGenerator json) throws IOException {
      json.writeRaw(',');
      gap(json);
    }

    @Override
    public void beforeArrayValues(JsonGenerator json) throws IOException {
      if (open.get(open.size() - 1)) {
        newLine(json);
      }
    }

    @Override
    public void beforeObjectEntries(JsonGenerator json) throws IOException {
      if (open.get(open.size() - 1)) {
        newLine(json);
      }
    }
  }
}
