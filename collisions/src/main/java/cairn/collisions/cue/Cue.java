package cairn.collisions.cue;

import cairn.collisions.fix.Fix;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * A time with a text, for the desk: one a mark and place, or a listed moment without a mark.
 *
 * @param rank rank of the moment; empty: the mark's moment is not in the list
 * @param frame {@code n*}, the peak frame of the moment; the cue stands here
 * @param fromFrame first frame of the region: of the hit to be cut, for a clip and for a moment
 *     without a mark of the span; cut to the session
 * @param endFrame frame after its last one, over {@code fromFrame}
 * @param time the time of {@code frame} in the list's notation
 * @param stem index of the stem to work on; of a moment without a mark the one that adds most
 * @param fix what is to be done; empty: the moment has no mark, or is called fine
 * @param text all that a marker needs to say: stem first, then words
 * @param words the same without the stem
 * @param excessDb how far the moment stands above the average peak; empty where there is no rank
 * @param alike how many moments its head stands for, itself included
 * @param done whether it was carried out
 * @param note what the engineer wrote beside it
 */
public record Cue(
    OptionalInt rank,
    long frame,
    long fromFrame,
    long endFrame,
    String time,
    int stem,
    Optional<Fix> fix,
    String text,
    String words,
    OptionalDouble excessDb,
    int alike,
    boolean done,
    Optional<String> note) {

  public Cue {
    Objects.requireNonNull(rank, "rank");
    Objects.requireNonNull(time, "time");
    Objects.requireNonNull(fix, "fix");
    Objects.requireNonNull(text, "text");
    Objects.requireNonNull(words, "words");
    Objects.requireNonNull(excessDb, "excessDb");
    Objects.requireNonNull(note, "note");
    if (frame < 0 || fromFrame < 0 || endFrame <= fromFrame) {
      throw new IllegalArgumentException(
          "frames must be >= 0 and endFrame > fromFrame: frame="
              + frame
              + ", fromFrame="
              + fromFrame
              + ", endFrame="
              + endFrame);
    }
  }
}
