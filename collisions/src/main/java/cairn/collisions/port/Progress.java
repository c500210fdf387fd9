package cairn.collisions.port;

/**
 * Is told how far long work has come, and may stop it. Called from any of the working threads, by
 * one at a time within a step, after every piece of work: thousands of times a second where pieces
 * are short, so whoever draws it thins it out.
 */
@FunctionalInterface
public interface Progress {

  /** Takes note of nothing and never cancels. */
  Progress NONE = (step, done, total) -> true;

  /**
   * Tells that {@code done} of {@code total} units of a step are done. Within a step {@code done}
   * never falls and {@code total} stays.
   *
   * @param step what is being done
   * @param done units done so far, at most {@code total}
   * @param total units in all, at least 1
   * @return false to cancel the work, which then ends with a {@code CancellationException}
   */
  boolean told(Step step, long done, long total);

  /**
   * Tells the levels of a stretch of the bus as soon as it is summed; stretches come in any order,
   * from any of the working threads, one at a time with all else that is told. For a picture that
   * fills in.
   *
   * @param firstFrame first frame of the stretch
   * @param blockFrames frames that each peak is of
   * @param peaks {@code peaks[from : end)}, the largest level of each block, linear; to be read
   *     before the call returns
   */
  default void summed(long firstFrame, int blockFrames, double[] peaks, int from, int end) {}

  /** The steps of the work; units are sample frames times stems where nothing else is said. */
  enum Step {
    /** All stems are read once and summed. */
    SUM,
    /** Only what lies about the line is read again; twice, where the moments are explained. */
    EXPLAIN,
    /** Fixes are tried. */
    PLAN,
    /** Sound is written; units are bytes. */
    WRITE
  }
}
