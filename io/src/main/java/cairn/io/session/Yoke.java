package cairn.io.session;

import java.io.IOException;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;

/**
 * Stems that move together; definitions.md, 1.
 *
 * @param stems at least two, each once
 * @param unknown fields of a later version
 */
public record Yoke(List<StemRef> stems, Unknown unknown) {
  public Yoke {
    stems = List.copyOf(stems);
    Objects.requireNonNull(unknown, "unknown");
    if (stems.size() < 2 || new HashSet<>(stems).size() != stems.size()) {
      throw new IllegalArgumentException("a yoke must hold two stems or more, each once");
    }
  }

  /** A yoke as a program of this version saves it. */
  public Yoke(List<StemRef> stems) {
    this(stems, Unknown.NONE);
  }

  static Yoke read(Fields fields) throws IOException {
    return new Yoke(fields.objects("stems", StemRef::read), fields.unknown());
  }

  JsonTree.Obj write() {
    return new ObjectBuilder()
        .array("stems", stems, ref -> ref.write().with(Unknown.NONE))
        .with(unknown);
  }
}
