package cairn.collisions.fix;

import cairn.collisions.Yokes;
import java.util.List;

/**
 * One change of one stem at one moment, with its amount and its settled geometry; definitions.md,
 * 4. It acts on every channel of the stem alike.
 */
public sealed interface Fix permits Nudge, Trim, Clip {

  /** Index of the stem that is changed. */
  int stem();

  /** The same on another stem. */
  Fix on(int stem);

  /**
   * What it does to each stem: a nudge or trim acts on all that are yoked, a clip on its stem.
   *
   * @return one fix a stem, in stem order
   */
  default List<Fix> onAll(Yokes yokes) {
    return kind() == Kind.CLIP
        ? List.of(this)
        : yokes.groupOf(stem()).stream().map(this::on).toList();
  }

  /** First frame of the hit, for a clip of the moment's span. */
  long startFrame();

  /** Frame after the last one of the hit, for a clip of the moment's span. */
  long endFrame();

  /** The kinds of fix. */
  enum Kind {
    NUDGE,
    TRIM,
    CLIP
  }

  /** Its kind. */
  Kind kind();

  /** Checks what all kinds have in common. */
  static void checkPlace(int stem, long startFrame, long endFrame) {
    if (stem < 0) {
      throw new IllegalArgumentException("stem must be >= 0: stem=" + stem);
    }
    if (endFrame <= startFrame) {
      throw new IllegalArgumentException(
          "endFrame must be > startFrame: startFrame=" + startFrame + ", endFrame=" + endFrame);
    }
  }
}
