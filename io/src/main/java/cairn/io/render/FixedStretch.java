package cairn.io.render;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Change;
import cairn.collisions.fix.Fix;
import cairn.collisions.fix.FixApplier;
import cairn.collisions.port.StemReader;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/** New samples of a stem for one stretch of its file. */
final class FixedStretch {

  /** First frame of the stretch in the file. */
  final long firstFrame;

  /** {@code samples[channel][frame]}, as they are to stand in the file. */
  final double[][] samples;

  private FixedStretch(long firstFrame, double[][] samples) {
    this.firstFrame = firstFrame;
    this.samples = samples;
  }

  int frames() {
    return samples[0].length;
  }

  long endFrame() {
    return firstFrame + frames();
  }

  /**
   * The stretches of a stem that its fixes change, in order, without overlap. A stem is fixed
   * whether it is heard or not.
   *
   * @param fixes the fixes of stem {@code k} in the order in which they apply
   */
  static List<FixedStretch> of(Session session, int k, List<Fix> fixes, StemReader reader)
      throws IOException {
    TimeRange song = new TimeRange(0, session.frames());
    List<FixedStretch> stretches = new ArrayList<>();
    for (TimeRange together : together(session, fixes, song)) {
      List<Fix> here = new ArrayList<>();
      for (Fix fix : fixes) {
        Optional<TimeRange> reads = FixApplier.reads(fix, session.sampleRateHz(), song);
        if (reads.isPresent() && together.contains(reads.get().firstFrame())) {
          here.add(fix);
        }
      }
      stretches.addAll(apply(session, k, here, together, song, reader));
    }
    return stretches;
  }

  /** What the fixes read, with all that meets taken together, in order. */
  private static List<TimeRange> together(Session session, List<Fix> fixes, TimeRange song) {
    List<TimeRange> reads = new ArrayList<>();
    for (Fix fix : fixes) {
      FixApplier.reads(fix, session.sampleRateHz(), song).ifPresent(reads::add);
    }
    return joined(reads);
  }

  private static List<TimeRange> joined(List<TimeRange> ranges) {
    List<TimeRange> inOrder = new ArrayList<>(ranges);
    inOrder.sort(Comparator.comparingLong(TimeRange::firstFrame));
    List<TimeRange> joined = new ArrayList<>();
    for (TimeRange range : inOrder) {
      int last = joined.size() - 1;
      if (last >= 0 && range.firstFrame() <= joined.get(last).endFrame()) {
        TimeRange before = joined.get(last);
        joined.set(
            last,
            new TimeRange(before.firstFrame(), Math.max(before.endFrame(), range.endFrame())));
      } else {
        joined.add(range);
      }
    }
    return joined;
  }

  private static List<FixedStretch> apply(
      Session session, int k, List<Fix> fixes, TimeRange where, TimeRange song, StemReader reader)
      throws IOException {
    int frames = Math.toIntExact(where.frames());
    int channels = session.stems().get(k).channels();
    long inFile = where.firstFrame() - session.faders().get(k).offset();
    long fileFrames = session.stems().get(k).frames();
    double[][] x = new double[2][frames];
    int from = (int) Math.max(0, Math.min(frames, -inFile));
    int to = (int) Math.max(from, Math.min(frames, fileFrames - inFile));
    if (from < to) {
      reader.read(k, inFile + from, to - from, x, from);
    }
    if (channels == 1) {
      System.arraycopy(x[0], 0, x[1], 0, frames);
    }
    double factor = session.openFactor(k);
    double[][] before = scaled(x, factor);
    double[][] after = scaled(x, factor);
    List<TimeRange> changed = new ArrayList<>();
    for (Fix fix : fixes) {
      Change change =
          FixApplier.apply(fix, session.sampleRateHz(), after, where.firstFrame(), song);
      if (change.frames() > 0) {
        changed.add(new TimeRange(change.fromFrame(), change.toFrame()));
      }
    }
    List<FixedStretch> stretches = new ArrayList<>();
    for (TimeRange range : joined(changed)) {
      int first = (int) Math.max(from, range.firstFrame() - where.firstFrame());
      int end = (int) Math.min(to, range.endFrame() - where.firstFrame());
      if (first < end) {
        double[][] fresh = new double[channels][end - first];
        for (int c = 0; c < channels; c++) {
          for (int i = first; i < end; i++) {
            // What no fix touched stays as it is, to the bit.
            fresh[c][i - first] = after[c][i] == before[c][i] ? x[c][i] : after[c][i] / factor;
          }
        }
        stretches.add(new FixedStretch(inFile + first, fresh));
      }
    }
    return stretches;
  }

  private static double[][] scaled(double[][] x, double factor) {
    double[][] y = new double[2][x[0].length];
    for (int c = 0; c < 2; c++) {
      for (int i = 0; i < y[c].length; i++) {
        y[c][i] = factor * x[c][i];
      }
    }
    return y;
  }
}
