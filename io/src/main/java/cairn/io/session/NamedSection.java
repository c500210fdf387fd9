package cairn.io.session;

import cairn.collisions.TimeRange;
import java.io.IOException;
import java.util.Objects;

/**
 * A part of the song with a name: {@code drop 2}.
 *
 * @param name as it was typed; not made safe to show
 * @param range where it lies
 * @param unknown fields of a later version
 */
public record NamedSection(String name, TimeRange range, Unknown unknown) {
  public NamedSection {
    Objects.requireNonNull(range, "range");
    Objects.requireNonNull(unknown, "unknown");
    if (name.isBlank()) {
      throw new IllegalArgumentException("a section must have a name");
    }
  }

  /** A section as a program of this version saves it. */
  public NamedSection(String name, TimeRange range) {
    this(name, range, Unknown.NONE);
  }

  static NamedSection read(Fields fields) throws IOException {
    return new NamedSection(fields.needText("name"), fields.needRange("range"), fields.unknown());
  }

  JsonTree.Obj write() {
    return new ObjectBuilder().text("name", name).range("range", range).with(unknown);
  }
}
