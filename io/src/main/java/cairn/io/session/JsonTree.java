package cairn.io.session;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** A piece of JSON (RFC 8259) as it was read: numbers keep their digits, fields their order. */
sealed interface JsonTree {

  /**
   * An object.
   *
   * @param fields in the order of the file
   */
  record Obj(Map<String, JsonTree> fields) implements JsonTree {
    public Obj {
      fields = Collections.unmodifiableMap(new LinkedHashMap<>(fields));
    }
  }

  /**
   * An array.
   *
   * @param items in order
   */
  record Arr(List<JsonTree> items) implements JsonTree {
    public Arr {
      items = List.copyOf(items);
    }
  }

  /**
   * A text.
   *
   * @param text without quotes and escapes
   */
  record Text(String text) implements JsonTree {}

  /**
   * A number.
   *
   * @param literal its digits
   */
  record Num(String literal) implements JsonTree {}

  /**
   * An object that holds lists, as it is printed at the place where it stands.
   *
   * @param text what {@link JsonText} writes of it
   */
  record Printed(String text) implements JsonTree {}

  /** True, false and null. */
  enum Word implements JsonTree {
    TRUE,
    FALSE,
    NULL
  }

  /** Whether it, or something in it, is an array that holds an object. */
  default boolean holdsList() {
    if (this instanceof Obj object) {
      return object.fields().values().stream().anyMatch(JsonTree::holdsList);
    }
    if (this instanceof Arr array) {
      return array.items().stream().anyMatch(item -> item instanceof Obj || item.holdsList());
    }
    return this instanceof Printed;
  }
}
