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
              + " (never above -70 dBFS), so there is no average peak;"
              + " look at mutes and solos, or name another range or section");
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
}
