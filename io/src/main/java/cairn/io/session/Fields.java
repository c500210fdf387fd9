package cairn.io.session;

import cairn.collisions.TimeRange;
import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;

/**
 * The fields of an object that is read: each is taken once, what is left is {@link Unknown}. A
 * field that is null counts as not there. Knows its place in the file, for messages: {@code
 * marks[3].frames}.
 */
final class Fields {

  /** A field is not what it must be. */
  static final class Wrong extends IOException {
    private static final long serialVersionUID = 1L;

    /** Where: {@code marks[3].frames}. */
    private final String place;

    Wrong(String place, String rule) {
      super(rule);
      this.place = place;
    }

    String place() {
      return place;
    }
  }

  /** Makes a value of fields; an {@link IllegalArgumentException} of its becomes a wrong field. */
  @FunctionalInterface
  interface Maker<T> {
    T make(Fields fields) throws IOException;
  }

  private final String place;
  private final Map<String, JsonTree> left;

  private Fields(String place, Map<String, JsonTree> fields) {
    this.place = place;
    this.left = new LinkedHashMap<>(fields);
  }

  /** Makes a value of the whole file. */
  static <T> T ofRoot(JsonTree.Obj root, Maker<T> maker) throws IOException {
    return made("", root, maker);
  }

  private static <T> T made(String place, JsonTree tree, Maker<T> maker) throws IOException {
    if (!(tree instanceof JsonTree.Obj object)) {
      throw new Wrong(place, "must be an object");
    }
    try {
      return maker.make(new Fields(place, object.fields()));
    } catch (IllegalArgumentException e) {
      throw new Wrong(place.isEmpty() ? "the outermost object" : place, e.getMessage());
    }
  }

  private String placeOf(String name) {
    return place.isEmpty() ? name : place + "." + name;
  }

  private Wrong wrong(String name, String rule) {
    return new Wrong(placeOf(name), rule);
  }

  private Optional<JsonTree> take(String name) {
    JsonTree tree = left.remove(name);
    return tree == JsonTree.Word.NULL ? Optional.empty() : Optional.ofNullable(tree);
  }

  /** A text, if the field is there. */
  Optional<String> text(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    if (tree.isEmpty()) {
      return Optional.empty();
    }
    if (tree.get() instanceof JsonTree.Text text) {
      return Optional.of(text.text());
    }
    throw wrong(name, "must be a text");
  }

  /** A text that must be there. */
  String needText(String name) throws Wrong {
    return text(name).orElseThrow(() -> wrong(name, "is missing"));
  }

  /** One of an enum's words in small letters, if the field is there. */
  <E extends Enum<E>> Optional<E> word(String name, Class<E> type) throws Wrong {
    Optional<String> word = text(name);
    if (word.isEmpty()) {
      return Optional.empty();
    }
    List<String> words = new ArrayList<>();
    for (E each : type.getEnumConstants()) {
      words.add(wordOf(each));
      if (wordOf(each).equals(word.get())) {
        return Optional.of(each);
      }
    }
    throw wrong(name, "must be one of " + String.join(", ", words));
  }

  /** One of an enum's words that must be there. */
  <E extends Enum<E>> E needWord(String name, Class<E> type) throws Wrong {
    return word(name, type).orElseThrow(() -> wrong(name, "is missing"));
  }

  static String wordOf(Enum<?> each) {
    return each.name().toLowerCase(Locale.ROOT);
  }

  /** A finite number, if the field is there. */
  OptionalDouble number(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    return tree.isEmpty()
        ? OptionalDouble.empty()
        : OptionalDouble.of(number(placeOf(name), tree.get()));
  }

  private static double number(String place, JsonTree tree) throws Wrong {
    if (tree instanceof JsonTree.Num number) {
      double parsed = Double.parseDouble(number.literal());
      if (Double.isFinite(parsed)) {
        return parsed;
      }
    }
    throw new Wrong(place, "must be a number");
  }

  /** A number that must be there. */
  double needNumber(String name) throws Wrong {
    return number(name).orElseThrow(() -> wrong(name, "is missing"));
  }

  /** A whole number, if the field is there. */
  OptionalLong whole(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    return tree.isEmpty()
        ? OptionalLong.empty()
        : OptionalLong.of(whole(placeOf(name), tree.get()));
  }

  private static long whole(String place, JsonTree tree) throws Wrong {
    if (tree instanceof JsonTree.Num number) {
      try {
        return Long.parseLong(number.literal());
      } catch (NumberFormatException e) {
        throw new Wrong(place, "must be a whole number");
      }
    }
    throw new Wrong(place, "must be a whole number");
  }

  /** A whole number that must be there. */
  long needWhole(String name) throws Wrong {
    return whole(name).orElseThrow(() -> wrong(name, "is missing"));
  }

  /** A whole number of 32 bits that must be there. */
  int needInt(String name) throws Wrong {
    long whole = needWhole(name);
    if (whole != (int) whole) {
      throw wrong(name, "must lie between -2147483648 and 2147483647");
    }
    return (int) whole;
  }

  /** dB in whole tenths, if the field is there. */
  OptionalInt tenths(String name) throws Wrong {
    OptionalDouble db = number(name);
    if (db.isEmpty()) {
      return OptionalInt.empty();
    }
    double tenths = db.getAsDouble() * 10;
    if (Math.abs(tenths - Math.rint(tenths)) > 1e-6 || Math.abs(tenths) > 1e6) {
      throw wrong(name, "must be dB in whole tenths");
    }
    return OptionalInt.of((int) Math.rint(tenths));
  }

  /** dB in whole tenths that must be there. */
  int needTenths(String name) throws Wrong {
    return tenths(name).orElseThrow(() -> wrong(name, "is missing"));
  }

  /** True or false; not there: false. */
  boolean flag(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    if (tree.isEmpty() || tree.get() == JsonTree.Word.FALSE) {
      return false;
    }
    if (tree.get() == JsonTree.Word.TRUE) {
      return true;
    }
    throw wrong(name, "must be true or false");
  }

  /** A stretch of frames {@code [first, end)}, if the field is there. */
  Optional<TimeRange> range(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    return tree.isEmpty() ? Optional.empty() : Optional.of(range(placeOf(name), tree.get()));
  }

  private static TimeRange range(String place, JsonTree tree) throws Wrong {
    if (!(tree instanceof JsonTree.Arr array) || array.items().size() != 2) {
      throw new Wrong(place, "must be two sample numbers");
    }
    try {
      return new TimeRange(whole(place, array.items().get(0)), whole(place, array.items().get(1)));
    } catch (IllegalArgumentException e) {
      throw new Wrong(place, e.getMessage());
    }
  }

  /** A stretch of frames that must be there. */
  TimeRange needRange(String name) throws Wrong {
    return range(name).orElseThrow(() -> wrong(name, "is missing"));
  }

  /** The stretches of frames of an array; not there: none. */
  List<TimeRange> ranges(String name) throws Wrong {
    List<TimeRange> ranges = new ArrayList<>();
    for (JsonTree item : items(name)) {
      ranges.add(range(placeOf(name) + "[" + ranges.size() + "]", item));
    }
    return ranges;
  }

  /** An object, if the field is there. */
  <T> Optional<T> object(String name, Maker<T> maker) throws IOException {
    Optional<JsonTree> tree = take(name);
    return tree.isEmpty() ? Optional.empty() : Optional.of(made(placeOf(name), tree.get(), maker));
  }

  /** An object that must be there. */
  <T> T needObject(String name, Maker<T> maker) throws IOException {
    return object(name, maker).orElseThrow(() -> wrong(name, "is missing"));
  }

  private List<JsonTree> items(String name) throws Wrong {
    Optional<JsonTree> tree = take(name);
    if (tree.isEmpty()) {
      return List.of();
    }
    if (tree.get() instanceof JsonTree.Arr array) {
      return array.items();
    }
    throw wrong(name, "must be an array");
  }

  /** The objects of an array; not there: none. */
  <T> List<T> objects(String name, Maker<T> maker) throws IOException {
    List<T> made = new ArrayList<>();
    for (JsonTree item : items(name)) {
      made.add(made(placeOf(name) + "[" + made.size() + "]", item, maker));
    }
    return made;
  }

  /** The texts of an array; not there: none. */
  List<String> texts(String name) throws Wrong {
    List<String> texts = new ArrayList<>();
    for (JsonTree item : items(name)) {
      if (!(item instanceof JsonTree.Text text)) {
        throw new Wrong(placeOf(name) + "[" + texts.size() + "]", "must be a text");
      }
      texts.add(text.text());
    }
    return texts;
  }

  /** The numbers of an array; not there: none. */
  List<Double> numbers(String name) throws Wrong {
    List<Double> numbers = new ArrayList<>();
    for (JsonTree item : items(name)) {
      numbers.add(number(placeOf(name) + "[" + numbers.size() + "]", item));
    }
    return numbers;
  }

  /** The whole numbers of an array; not there: none. */
  List<Integer> integers(String name) throws Wrong {
    List<Integer> integers = new ArrayList<>();
    for (JsonTree item : items(name)) {
      String at = placeOf(name) + "[" + integers.size() + "]";
      long whole = whole(at, item);
      if (whole != (int) whole) {
        throw new Wrong(at, "must lie between -2147483648 and 2147483647");
      }
      integers.add((int) whole);
    }
    return integers;
  }

  /** What nobody took. */
  Unknown unknown() {
    return Unknown.of(left);
  }
}
