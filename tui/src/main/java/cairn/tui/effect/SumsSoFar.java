package cairn.tui.effect;

import cairn.collisions.Session;
import cairn.tui.model.Samples;
import cairn.tui.model.Sums;
import java.util.Arrays;

/** Gathers the levels of the bus while it is summed; for one thread at a time. */
final class SumsSoFar {

  /** Two dots a cell, in any window that is less than 500 cells wide. */
  private static final int STRETCHES = 1000;

  private final Session session;
  private final long frames;
  private final float[] peaks = new float[STRETCHES];

  SumsSoFar(Session session) {
    this.session = session;
    frames = Math.max(1, session.frames());
    Arrays.fill(peaks, -1);
  }

  /** Takes in {@code blocks[from : end)}; see {@link cairn.collisions.port.Progress#summed}. */
  void add(long firstFrame, int blockFrames, double[] blocks, int from, int end) {
    for (int i = from; i < end; i++) {
      long first = firstFrame + (long) (i - from) * blockFrames;
      int last = stretch(first + blockFrames - 1);
      for (int at = stretch(first); at <= last; at++) {
        peaks[at] = Math.max(peaks[at], (float) blocks[i]);
      }
    }
  }

  private int stretch(long frame) {
    return (int) (STRETCHES * Math.max(0, Math.min(frame, frames - 1)) / frames);
  }

  Sums now() {
    return new Sums(frames, session.sampleRateHz(), session.stems().size(), new Samples(peaks));
  }
}
