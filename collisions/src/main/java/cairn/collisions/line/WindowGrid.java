package cairn.collisions.line;

import cairn.collisions.TimeRange;
import cairn.collisions.time.TempoMap;
import java.util.Arrays;

/**
 * The windows that a time range is cut into; definitions.md, 2. Window {@code j} is {@code
 * [firstFrame(j), endFrame(j))}; the windows follow each other without a gap and cover the range.
 */
public final class WindowGrid {

  /** Bounds the memory of a grid: with half a second a window, more than five days. */
  private static final int MAX_WINDOWS = 1_000_000;

  private final long[] edges;

  private WindowGrid(long[] edges) {
    this.edges = edges;
  }

  /** Windows of 500 ms, {@code round(0.5·fs)} frames, from the range's first frame on. */
  public static WindowGrid halfSeconds(TimeRange range, int sampleRateHz) {
    long window = halfSecondFrames(sampleRateHz);
    int windows = checked((range.frames() + window - 1) / window);
    long[] edges = new long[windows + 1];
    for (int j = 0; j < windows; j++) {
      edges[j] = range.firstFrame() + j * window;
    }
    edges[windows] = range.endFrame();
    return new WindowGrid(edges);
  }

  /** Length of a 500 ms window in frames, {@code round(0.5·fs)}, at least 1. */
  public static int halfSecondFrames(int sampleRateHz) {
    return (sampleRateHz + 1) / 2;
  }

  /**
   * One window a beat, from {@code round(fs·t_j)} to {@code round(fs·t_(j+1))}, beats before bar 1
   * included, cut to the range. A beat that rounds to no frame at all is no window.
   */
  public static WindowGrid beats(TimeRange range, int sampleRateHz, TempoMap tempo) {
    long firstBeat = tempo.beatAt((double) range.firstFrame() / sampleRateHz) - 1;
    long lastBeat = tempo.beatAt((double) range.endFrame() / sampleRateHz);
    long[] edges = new long[checked(lastBeat - firstBeat + 1) + 2];
    edges[0] = range.firstFrame();
    int last = 0;
    for (long beat = firstBeat; edges[last] < range.endFrame(); beat++) {
      long edge = (long) Math.floor(tempo.beatTimeSeconds(beat) * sampleRateHz + 0.5);
      edge = Math.min(edge, range.endFrame());
      if (edge > edges[last]) {
        last++;
        if (last == edges.length) {
          edges = Arrays.copyOf(edges, edges.length + 16);
        }
        edges[last] = edge;
      }
    }
    return new WindowGrid(Arrays.copyOf(edges, last + 1));
  }

  private static int checked(long windows) {
    if (windows > MAX_WINDOWS) {
      throw new IllegalArgumentException(
          "windows must be at most " + MAX_WINDOWS + ": windows=" + windows);
    }
    return (int) windows;
  }

  /** Number of windows, at least 1. */
  public int windows() {
    return edges.length - 1;
  }

  /** First frame of window {@code j}. */
  public long firstFrame(int j) {
    return edges[j];
  }

  /** Frame after the last one of window {@code j}. */
  public long endFrame(int j) {
    return edges[j + 1];
  }

  /** Length of the longest window in frames. */
  long longestFrames() {
    long longest = 0;
    for (int j = 0; j < windows(); j++) {
      longest = Math.max(longest, endFrame(j) - firstFrame(j));
    }
    return longest;
  }

  /** All windows together. */
  public TimeRange range() {
    return new TimeRange(edges[0], edges[edges.length - 1]);
  }

  /** The window that holds the frame. */
  public int windowOf(long frame) {
    if (frame < edges[0] || frame >= edges[edges.length - 1]) {
      throw new IllegalArgumentException("frame must be in " + range() + ": frame=" + frame);
    }
    int found = Arrays.binarySearch(edges, frame);
    return found >= 0 ? found : -found - 2;
  }
}
