package cairn.collisions.plan;

import cairn.collisions.fix.Fix;
import java.util.Objects;
import java.util.Optional;

/**
 * What the engineer decided about one moment; definitions.md, 5. A fix for all alike is one mark in
 * each place.
 */
public sealed interface Mark {

  /** Peak frame of the moment that it was made at. */
  long momentFrame();

  /** What the engineer wrote beside it. */
  Optional<String> note();

  /** The same mark with another note; of an empty or blank text: with none. */
  Mark withNote(String text);

  /** A fix on one stem, without a note. */
  static Mark of(long momentFrame, Fix fix) {
    return new OfFix(momentFrame, fix, Optional.empty());
  }

  /** A moment called fine: left as it is, without a note. */
  static Mark fine(long momentFrame) {
    return new Fine(momentFrame, Optional.empty());
  }

  /**
   * A fix on one stem at one moment, with its amount and its frames settled.
   *
   * @param momentFrame peak frame of the moment
   * @param fix what is done
   * @param note what the engineer wrote beside it
   */
  record OfFix(long momentFrame, Fix fix, Optional<String> note) implements Mark {
    public OfFix {
      Objects.requireNonNull(fix, "fix");
      Objects.requireNonNull(note, "note");
      checkMomentFrame(momentFrame);
    }

    @Override
    public Mark withNote(String text) {
      return new OfFix(momentFrame, fix, noteOf(text));
    }
  }

  /**
   * A moment that is left to the limiter.
   *
   * @param momentFrame peak frame of the moment
   * @param note what the engineer wrote beside it
   */
  record Fine(long momentFrame, Optional<String> note) implements Mark {
    public Fine {
      Objects.requireNonNull(note, "note");
      checkMomentFrame(momentFrame);
    }

    @Override
    public Mark withNote(String text) {
      return new Fine(momentFrame, noteOf(text));
    }
  }

  private static Optional<String> noteOf(String text) {
    return text.isBlank() ? Optional.empty() : Optional.of(text);
  }

  private static void checkMomentFrame(long momentFrame) {
    if (momentFrame < 0) {
      throw new IllegalArgumentException("momentFrame must be >= 0: momentFrame=" + momentFrame);
    }
  }
}
