package cairn.collisions;

import java.util.Objects;

/**
 * One stem as the rules see it.
 *
 * @param name the name it is shown by, unique in its session
 * @param channels 1 or 2
 * @param frames length in frames, at least 1
 */
public record Stem(String name, int channels, long frames) {
  public Stem {
    Objects.requireNonNull(name, "name");
    if (channels < 1 || channels > 2) {
      throw new IllegalArgumentException("channels must be 1 or 2: channels=" + channels);
    }
    if (frames < 1) {
      throw new IllegalArgumentException("frames must be >= 1: frames=" + frames);
    }
  }
}
