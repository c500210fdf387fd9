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
      super("the bus is silent (never above -70 dBFS), so there is no average peak");
      this.range = range;
    }

    /** What was looked at. */
    public TimeRange range() {
      return range;
    }
  }

  /** A time range that lies outside the song. */
  public static final class Outside extends Unanalysable {
    private static final long serialVersionUID = 1L;
    private final long firstFrame;
    private final long songFrames;

    /**
     * @param firstFrame where the range starts
     * @param songFrames length of the song
     */
    public Outside(long firstFrame, long songFrames) {
      super("the range starts at sample " + firstFrame + ", the song ends at sample " + songFrames);
      this.firstFrame = firstFrame;
      this.songFrames = songFrames;
    }

    /** Where the range starts. */
    public long firstFrame() {
      return firstFrame;
    }

    /** Length of the song in frames. */
    public long songFrames() {
      return songFrames;
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
