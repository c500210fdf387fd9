package cairn.collisions.loudness;

import java.util.Arrays;

/**
 * Where a stretch of the song is cut for metering: into <em>hops</em>, whose K-weighted energies
 * are kept, and into <em>segments</em>, at whose starts the filter begins anew. Hop {@code h} goes
 * from {@code first + round(h·fs/perSecond)} to where the next one begins; the last one is left out
 * where it is not whole.
 *
 * <p>An IIR filter runs on for ever, but threads each take a part of the song, and the result must
 * not depend on where those parts begin. So the filter starts from silence at fixed places: {@link
 * #warmUpFrames}, 200 ms, before each segment but the first. What came before that is left out, and
 * that changes nothing that a double could hold: both stages decay, the slower one, the high-pass
 * with f0 = 38.135 Hz and Q = 0.50033, as {@code e^(−2π·f0·t/(2Q))·(1 + 2π·f0·t)}, up to a constant
 * near 1. After 0.2 s that is e^−47.89 · 49 = 8e−20, so the output is off by less than 1e−18 of the
 * largest sample before (states are at most a few times the input: the shelf's gain is 1.6), while
 * one rounding of that sample is 1.1e−16 of it. Energies follow: off by 2e−18 of a full-scale
 * energy, 176 dB under full scale, where the gate is at −70.
 *
 * @param sampleRateHz sample rate
 * @param perSecond hops a second
 * @param edges first frame of each segment, and the frame after the last one
 */
public record HopPlan(int sampleRateHz, int perSecond, SegmentEdges edges) {

  /** For the bus: momentary and short-term loudness are read every 10 ms. */
  public static final int FINE = 100;

  /** For stems: gating blocks start every 100 ms. */
  public static final int COARSE = 10;

  /** Rising frames, at least two; holds its own copy. */
  public static final class SegmentEdges {
    private final long[] frames;

    /** Rising frames: the first of each segment, and the one after the last. */
    public SegmentEdges(long... frames) {
      if (frames.length < 2) {
        throw new IllegalArgumentException("edges must be 2 or more: edges=" + frames.length);
      }
      this.frames = frames.clone();
    }

    /** Number of segments. */
    public int segments() {
      return frames.length - 1;
    }

    /** First frame of segment {@code s}; of the number of segments: the frame after the last. */
    public long frame(int s) {
      return frames[s];
    }

    @Override
    public boolean equals(Object other) {
      return other instanceof SegmentEdges edges && Arrays.equals(frames, edges.frames);
    }

    @Override
    public int hashCode() {
      return Arrays.hashCode(frames);
    }
  }

  /** One segment of so many frames, from frame 0 on. */
  public static HopPlan whole(int sampleRateHz, int perSecond, long frames) {
    return new HopPlan(sampleRateHz, perSecond, new SegmentEdges(0, frames));
  }

  /** How long before a segment the filter starts, in frames: 200 ms. */
  public int warmUpFrames() {
    return warmUpFrames(sampleRateHz);
  }

  /** 200 ms at a sample rate, in frames. */
  public static int warmUpFrames(int sampleRateHz) {
    return sampleRateHz / 5;
  }

  /** The frame at which the filter starts for segment {@code s}. */
  public long startFrame(int s) {
    return Math.max(edges.frame(0), edges.frame(s) - warmUpFrames());
  }

  /** First frame of hop {@code h}. */
  public long hopFrame(long h) {
    return edges.frame(0) + (2 * h * sampleRateHz + perSecond) / (2L * perSecond);
  }

  /** The hop that holds a frame, whole or not. */
  int hopOf(long frame) {
    int h = Math.toIntExact((frame - edges.frame(0)) * perSecond / sampleRateHz);
    while (hopFrame(h) > frame) {
      h--;
    }
    while (hopFrame(h + 1) <= frame) {
      h++;
    }
    return h;
  }

  /** Number of whole hops. */
  public int hops() {
    return hopOf(edges.frame(edges.segments()));
  }
}
