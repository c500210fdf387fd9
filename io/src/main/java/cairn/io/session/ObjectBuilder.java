package cairn.io.session;

import cairn.collisions.TimeRange;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;

/** Puts an object of the file together; what is empty, false or none is left out. */
final class ObjectBuilder {

  private final Map<String, JsonTree> fields = new LinkedHashMap<>();

  ObjectBuilder text(String name, String text) {
    fields.put(name, new JsonTree.Text(text));
    return this;
  }

  ObjectBuilder text(String name, Optional<String> text) {
    text.ifPresent(there -> text(name, there));
    return this;
  }

  ObjectBuilder word(String name, Enum<?> word) {
    return text(name, Fields.wordOf(word));
  }

  ObjectBuilder number(String name, double number) {
    fields.put(name, numberOf(number));
    return this;
  }

  ObjectBuilder number(String name, OptionalDouble number) {
    number.ifPresent(there -> number(name, there));
    return this;
  }

  ObjectBuilder whole(String name, long whole) {
    fields.put(name, wholeOf(whole));
    return this;
  }

  ObjectBuilder flag(String name, boolean flag) {
    if (flag) {
      fields.put(name, JsonTree.Word.TRUE);
    }
    return this;
  }

  ObjectBuilder range(String name, TimeRange range) {
    fields.put(name, rangeOf(range));
    return this;
  }

  static JsonTree.Arr rangeOf(TimeRange range) {
    return new JsonTree.Arr(List.of(wholeOf(range.firstFrame()), wholeOf(range.endFrame())));
  }

  ObjectBuilder range(String name, Optional<TimeRange> range) {
    range.ifPresent(there -> range(name, there));
    return this;
  }

  ObjectBuilder object(String name, JsonTree.Obj object) {
    fields.put(name, object);
    return this;
  }

  ObjectBuilder printed(String name, JsonTree.Printed printed) {
    fields.put(name, printed);
    return this;
  }

  /** An array, also where it is empty. */
  <T> ObjectBuilder array(
      String name, Collection<T> items, Function<? super T, ? extends JsonTree> tree) {
    List<JsonTree> trees = new ArrayList<>(items.size());
    for (T item : items) {
      trees.add(tree.apply(item));
    }
    fields.put(name, new JsonTree.Arr(trees));
    return this;
  }

  static JsonTree.Num numberOf(double number) {
    return new JsonTree.Num(Double.toString(number));
  }

  static JsonTree.Num wholeOf(long whole) {
    return new JsonTree.Num(Long.toString(whole));
  }

  /** The object, with the unknown fields after the known ones. */
  JsonTree.Obj with(Unknown unknown) {
    unknown.fields().forEach(fields::putIfAbsent);
    return new JsonTree.Obj(fields);
  }
}
