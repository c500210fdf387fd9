package cairn.io.stems;

import java.nio.file.Path;
import java.util.Objects;

/**
 * A file in the folder that is no stem.
 *
 * @param path the file
 * @param shown its path in the folder, safe to show
 * @param reason why, in a few words: {@code compressed (MP3)}
 */
public record Skipped(Path path, String shown, String reason) {
  public Skipped {
    Objects.requireNonNull(path, "path");
    Objects.requireNonNull(shown, "shown");
    Objects.requireNonNull(reason, "reason");
  }
}
