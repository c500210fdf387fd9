package cairn.io.render;

import java.nio.file.Path;
import java.util.List;

/**
 * What was written.
 *
 * @param folder the folder
 * @param stems one a stem, in session order
 */
public record RenderedStems(Path folder, List<Rendered> stems) {

  public RenderedStems {
    stems = List.copyOf(stems);
  }

  /**
   * One stem.
   *
   * @param files its file, or the left and the right one, in the folder
   * @param fixes number of fixes on it
   * @param beyondFullScale samples that lay beyond full scale and were brought to it
   */
  public record Rendered(List<Path> files, int fixes, long beyondFullScale) {
    public Rendered {
      files = List.copyOf(files);
    }
  }

  /** All files. */
  public List<Path> files() {
    return stems.stream().flatMap(stem -> stem.files().stream()).toList();
  }
}
