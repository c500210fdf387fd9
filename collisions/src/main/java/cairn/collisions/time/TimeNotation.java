package cairn.collisions.time;

import java.util.Objects;

/**
 * How a frame's time is written; definitions.md, 8. Beside it the frame itself always stands, since
 * most notations are coarser than a sample.
 */
public sealed interface TimeNotation {

  /**
   * The frame's time as text.
   *
   * @param frame frame of the session, at least 0
   * @param sampleRateHz sample rate in Hz
   */
  String at(long frame, int sampleRateHz);

  /** One word for it. */
  String name();

  /** m:ss.mmm from the common start. */
  TimeNotation CLOCK = new Clock(0);

  /**
   * Samples.
   *
   * @param origin the number that sample 0 of the session has; at least 0
   */
  record Samples(long origin) implements TimeNotation {
    public Samples {
      checkOrigin(origin);
    }

    @Override
    public String at(long frame, int sampleRateHz) {
      return Long.toString(Math.addExact(origin, frame));
    }

    @Override
    public String name() {
      return "samples";
    }
  }

  /**
   * m:ss.mmm.
   *
   * @param origin the number that sample 0 of the session has; at least 0
   */
  record Clock(long origin) implements TimeNotation {
    public Clock {
      checkOrigin(origin);
    }

    @Override
    public String at(long frame, int sampleRateHz) {
      return ClockTime.of(Math.addExact(origin, frame), sampleRateHz);
    }

    @Override
    public String name() {
      return "clock";
    }
  }

  /**
   * bar|beat|tick.
   *
   * @param tempo tempo and meter
   */
  record BarsBeats(TempoMap tempo) implements TimeNotation {
    public BarsBeats {
      Objects.requireNonNull(tempo, "tempo");
    }

    @Override
    public String at(long frame, int sampleRateHz) {
      return tempo.barsBeats(frame, sampleRateHz);
    }

    @Override
    public String name() {
      return "bars";
    }
  }

  /**
   * SMPTE time code: the label of the picture during which the sample sounds.
   *
   * @param rate the rate
   * @param firstPicture the picture that the counting starts with
   * @param origin the sample at which that picture begins, counted back from sample 0 of the
   *     session; 0, or a time reference in samples since midnight
   */
  record Code(Timecode rate, long firstPicture, long origin) implements TimeNotation {
    public Code {
      Objects.requireNonNull(rate, "rate");
      checkOrigin(origin);
    }

    @Override
    public String at(long frame, int sampleRateHz) {
      return rate.label(firstPicture + rate.pictureAt(Math.addExact(origin, frame), sampleRateHz));
    }

    @Override
    public String name() {
      return "timecode";
    }
  }

  private static void checkOrigin(long origin) {
    if (origin < 0) {
      throw new IllegalArgumentException("origin must be >= 0: origin=" + origin);
    }
  }
}
