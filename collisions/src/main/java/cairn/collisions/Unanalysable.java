package cairn.collisions;

import java.util.List;

/** Why a session has no pass, although its stems can be read; the message is one line. */
public abstract sealed class Unanalysable extends Exception {

  private static final long serialVersionUID = 1L;

  private Unanalysable(String message) {
    super(message);
  }

  /** No window passes the gate at −70 dBFS, so there is no average peak; definitions.md, 2. */
  public static final class Silent extends Unanalysable {
    private static final long serialVersionUID = 1L;
    private final transient TimeRange range;

    /**
     * @param range what was looked at
     */
    public Silent(TimeRange range) {
      super(
          "the bus is silent from sample "
              + range.firstFrame()
              + " to sample "
              + range.endFrame()
              + " (never above -70 dBFS): no average peak;"
              + " look at mutes, solos and the range");
      this.range = range;
    }

    /** What was looked at. */
    public TimeRange range() {
      return range;
    }
  }

  /** A range outside the song, or a section outside the range that is looked at. */
  public static final class Outside extends Unanalysable {
    private static final long serialVersionUID = 1L;
    private final transient TimeRange asked;
    private final transient TimeRange within;

    /**
     * @param what what was asked for: "range" or "section"
     * @param asked where it lies
     * @param within where it would have to lie, at least in part
     */
    public Outside(String what, TimeRange asked, TimeRange within) {
      super(
          "the "
              + what
              + " from sample "
              + asked.firstFrame()
              + " to sample "
              + asked.endFrame()
              + " lies outside of what there is, from sample "
              + within.firstFrame()
              + " to sample "
              + within.endFrame());
      this.asked = asked;
      this.within = within;
    }

    /** What was asked for. */
    public TimeRange asked() {
      return asked;
    }

    /** Where it would have to lie, at least in part. */
    public TimeRange within() {
      return within;
    }
  }

  /** The line lies so low that there are more moments than can be explained. */
  public static final class TooManyMoments extends Unanalysable {
    private static final long serialVersionUID = 1L;
    private final transient List<Double> peaks;

    /**
     * @param peaks peak level of every moment, linear, in time order
     */
    public TooManyMoments(List<Double> peaks) {
      super("the line lies inside the music: " + peaks.size() + " moments are over it");
      this.peaks = List.copyOf(peaks);
    }

    /** Peak level of every moment, linear, in time order. */
    public List<Double> peaks() {
      return peaks;
    }
  }

  /** A goal needs the loudness of a stretch that has none; definitions.md, 6. */
  public static final class NoLoudness extends Unanalysable {
    private static final long serialVersionUID = 1L;

    /** Why it has none. */
    public enum Why {
      /** It is shorter than one gating block of 400 ms. */
      TOO_SHORT,
      /** No block is above the gate at −70 LUFS. */
      BELOW_GATE,
      /** The K-weighting is worked out for 8 to 384 kHz. */
      RATE
    }

    private final Why why;
    private final transient TimeRange range;

    /**
     * @param range what was to be measured
     */
    public NoLoudness(Why why, TimeRange range) {
      super(
          "no loudness can be measured from sample "
              + range.firstFrame()
              + " to sample "
              + range.endFrame()
              + ": "
              + words(why));
      this.why = why;
      this.range = range;
    }

    private static String words(Why why) {
      return switch (why) {
        case TOO_SHORT -> "it is shorter than 400 ms";
        case BELOW_GATE -> "nothing in there is above the gate of -70 LUFS";
        case RATE -> "the sample rate must be 8 to 384 kHz";
      };
    }

    /** Why there is none. */
    public Why why() {
      return why;
    }

    /** What was to be measured. */
    public TimeRange range() {
      return range;
    }
  }
}
