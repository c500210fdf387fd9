package cairn.io.sound;

import java.util.Objects;

/**
 * The parts of a {@code bext} chunk that matter here; EBU Tech 3285 v2.
 *
 * @param description free text, as in the file (made harmless before it is shown)
 * @param timeReference frames since midnight at which the file starts, at least 0
 */
public record BroadcastInfo(String description, long timeReference) {

  public BroadcastInfo {
    Objects.requireNonNull(description, "description");
    if (timeReference < 0) {
      throw new IllegalArgumentException(
          "timeReference must be >= 0: timeReference=" + timeReference);
    }
  }
}
