package cairn.io.session;

import java.util.Map;

/**
 * Fields that a later version of the program put into an object of the file: kept as they are, and
 * written again after those that are known. Two are equal if their fields are.
 */
public final class Unknown {

  /** No such field. */
  public static final Unknown NONE = new Unknown(new JsonTree.Obj(Map.of()));

  private final JsonTree.Obj fields;

  private Unknown(JsonTree.Obj fields) {
    this.fields = fields;
  }

  static Unknown of(Map<String, JsonTree> fields) {
    return fields.isEmpty() ? NONE : new Unknown(new JsonTree.Obj(fields));
  }

  Map<String, JsonTree> fields() {
    return fields.fields();
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Unknown unknown && unknown.fields.equals(fields);
  }

  @Override
  public int hashCode() {
    return fields.hashCode();
  }

  @Override
  public String toString() {
    return "unknown=" + fields.fields().keySet();
  }
}
