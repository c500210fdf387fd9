package cairn.io.session;

import cairn.io.stems.StemFile;
import cairn.io.stems.StemSet;
import java.io.IOException;
import java.util.List;
import java.util.Objects;

/**
 * What a stem is known by from one opening to the next. Both are safe to show.
 *
 * @param name the name it is shown by, {@link StemFile#name}
 * @param file the path of its (left) file from the stems' folder, {@link StemFile#relativePath}
 */
public record StemRef(String name, String file) {
  public StemRef {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(file, "file");
  }

  /** What a stem is known by. */
  public static StemRef of(StemFile stem) {
    return new StemRef(stem.name(), stem.relativePath());
  }

  /** What the stems of a set are known by, in session order. */
  public static List<StemRef> of(StemSet set) {
    return set.stems().stream().map(StemRef::of).toList();
  }

  static StemRef read(Fields fields) throws IOException {
    return new StemRef(fields.needText("stem"), fields.needText("file"));
  }

  ObjectBuilder write() {
    return write(new ObjectBuilder());
  }

  ObjectBuilder write(ObjectBuilder into) {
    return into.text("stem", name).text("file", file);
  }
}
