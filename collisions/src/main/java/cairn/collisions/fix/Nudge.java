package cairn.collisions.fix;

/**
 * A hit moved in time.
 *
 * @param stem index of the stem
 * @param startFrame first frame of the hit; may be negative, since a hit reaches into silence
 * @param endFrame frame after the last one of the hit
 * @param frames {@code d}: by how many frames; over 0 later, under 0 earlier, never 0
 */
public record Nudge(int stem, long startFrame, long endFrame, int frames) implements Fix {
  public Nudge {
    Fix.checkPlace(stem, startFrame, endFrame);
    if (frames == 0) {
      throw new IllegalArgumentException("frames must not be 0");
    }
  }

  @Override
  public Nudge on(int newStem) {
    return new Nudge(newStem, startFrame, endFrame, frames);
  }

  @Override
  public Kind kind() {
    return Kind.NUDGE;
  }
}
