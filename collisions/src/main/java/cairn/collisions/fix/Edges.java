package cairn.collisions.fix;

import cairn.collisions.Session;
import java.util.List;

/** How far a nudge may go before it pushes sound out of its stem's file; definitions.md, 4. */
record Edges(int mostEarlier, int mostLater) {

  /**
   * How far a nudge may go that moves all of some stems: as far as each of them allows.
   *
   * @param most longest nudge that is of interest, in frames
   */
  static Edges of(Scene scene, List<Integer> stems, Nudge nudge, int most) {
    int earlier = most;
    int later = most;
    for (int k : stems) {
      Edges own = of(scene, k, scene.excerpt.marked(k), nudge, most);
      earlier = Math.min(earlier, own.mostEarlier);
      later = Math.min(later, own.mostLater);
    }
    return new Edges(earlier, later);
  }

  /**
   * Where {@code start − F/2} is before the stem's first frame, only as far earlier as its first
   * frames are 0; where {@code end + F/2} is past its last frame, only as far later as its last
   * frames are 0. The stem is what is heard of it in the range that is looked at.
   *
   * @param y {@code y[channel][i]}: the stem as it stands in the excerpt of the scene
   * @param most longest nudge that is of interest, in frames
   */
  private static Edges of(Scene scene, int stem, double[][] y, Nudge nudge, int most) {
    Session session = scene.session;
    long offset = session.faders().get(stem).offset();
    long first = Math.max(scene.range.firstFrame(), offset);
    long end = Math.min(scene.range.endFrame(), offset + session.stems().get(stem).frames());
    int cell = HitFinder.cellFrames(scene.sampleRateHz);
    int earlier = most;
    int later = most;
    if (nudge.startFrame() - cell < first) {
      earlier = 0;
      while (earlier < most && isZero(scene, y, first + earlier, first, end)) {
        earlier++;
      }
    }
    if (nudge.endFrame() + cell > end - 1) {
      later = 0;
      while (later < most && isZero(scene, y, end - 1 - later, first, end)) {
        later++;
      }
    }
    return new Edges(earlier, later);
  }

  /** Whether the frame is known to be 0. A frame that the stem does not have counts as 0. */
  private static boolean isZero(Scene scene, double[][] y, long frame, long first, long end) {
    if (frame < first || frame >= end) {
      return true;
    }
    long i = frame - scene.excerpt.firstFrame();
    return i >= 0 && i < scene.excerpt.frames() && y[0][(int) i] == 0 && y[1][(int) i] == 0;
  }

  /** Whether a nudge by {@code d} frames keeps all sound. */
  boolean allow(int d) {
    return d < 0 ? -d <= mostEarlier : d <= mostLater;
  }
}
