package cairn.collisions.time;

import cairn.collisions.Session;
import cairn.collisions.port.StemReader;
import cairn.collisions.port.StemSource;
import java.io.IOException;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/**
 * A guess at a constant tempo, from when the stems begin to sound: definitions.md leaves it open,
 * so the way is ours.
 *
 * <p>Each stem on the bus is cut into hops of 10 ms. By how much the root of a hop's energy rises
 * over the one before is the stem's onset power there; the powers of all stems are added and their
 * mean is taken off. A beat that goes on through the song stands out in the transform of that
 * course at its own rate and at whole multiples. Of the rates from {@value #LEAST} to {@value
 * #MOST} beats a minute the slowest is taken that comes to half of the strongest one's power, since
 * a click on every beat is as strong at twice its rate.
 *
 * @param quartersPerMinute the tempo, if a beat is a quarter note; to a hundredth
 */
public record TempoEstimate(double quartersPerMinute) {

  /** The slowest tempo that is looked for. */
  public static final int LEAST = 60;

  /** The fastest tempo that is looked for. */
  public static final int MOST = 180;

  /** How far the search goes beyond both ends, so that tempos at the ends stand in the middle. */
  private static final double EDGE = 0.5;

  private static final int HOPS_A_SECOND = 100;
  private static final int READ_HOPS = 100;

  /**
   * A course without a beat has a power of 1 on average at any rate, and seldom reaches 12; a click
   * on every beat has as much power as there are clicks.
   */
  private static final double LEAST_POWER = 16;

  /**
   * Estimates.
   *
   * @return empty if there is no steady beat, or less than about 16 of them
   */
  public static Optional<TempoEstimate> of(Session session, StemSource source) throws IOException {
    double[] onsets = onsets(session, source);
    double mean = 0;
    for (double onset : onsets) {
      mean += onset / onsets.length;
    }
    double squares = 0;
    for (int i = 0; i < onsets.length; i++) {
      onsets[i] -= mean;
      squares += onsets[i] * onsets[i];
    }
    if (squares == 0) {
      return Optional.empty();
    }
    return strongest(onsets, squares).map(bpm -> new TempoEstimate(Math.rint(bpm * 100) / 100));
  }

  private static double[] onsets(Session session, StemSource source) throws IOException {
    int hop = Math.max(1, session.sampleRateHz() / HOPS_A_SECOND);
    double[] onsets = new double[Math.toIntExact(session.frames() / hop + 1)];
    double[] roots = new double[onsets.length];
    double[][] block = new double[2][hop * READ_HOPS];
    try (StemReader reader = source.openReader()) {
      for (int k = 0; k < session.stems().size(); k++) {
        if (session.isOnBus(k)) {
          roots(session, reader, k, hop, block, roots);
          double last = 0;
          for (int i = 0; i < roots.length; i++) {
            onsets[i] += Math.max(0, roots[i] - last);
            last = roots[i];
          }
        }
      }
    }
    return onsets;
  }

  /** Writes the root of the energy of each hop of a stem on the bus. */
  private static void roots(
      Session session, StemReader reader, int k, int hop, double[][] block, double[] roots)
      throws IOException {
    Arrays.fill(roots, 0);
    double factor = session.factor(k);
    long offset = session.faders().get(k).offset();
    long frames = session.stems().get(k).frames();
    int channels = session.stems().get(k).channels();
    for (long first = Math.max(0, -offset); first < frames; first += block[0].length) {
      int count = (int) Math.min(block[0].length, frames - first);
      reader.read(k, first, count, block, 0);
      for (int c = 0; c < channels; c++) {
        double[] x = block[c];
        for (int n = 0; n < count; n++) {
          roots[(int) ((first + n + offset) / hop)] += x[n] * x[n];
        }
      }
    }
    for (int i = 0; i < roots.length; i++) {
      roots[i] = Math.abs(factor) * Math.sqrt(roots[i]);
    }
  }

  private static Optional<Double> strongest(double[] onsets, double squares) {
    double seconds = (double) onsets.length / HOPS_A_SECOND;
    // A tenth of what tells two rates apart in a course of this length.
    double step = Math.min(0.25, 6 / seconds);
    int count = (int) Math.ceil((MOST - LEAST + 2 * EDGE) / step) + 1;
    double[] power = new double[count];
    double most = 0;
    for (int i = 0; i < count; i++) {
      power[i] = power(onsets, LEAST - EDGE + i * step) / squares;
      most = Math.max(most, power[i]);
    }
    if (most < LEAST_POWER) {
      return Optional.empty();
    }
    int i = 1;
    while (i < count - 1
        && !(power[i] >= most / 2 && power[i] >= power[i - 1] && power[i] >= power[i + 1])) {
      i++;
    }
    double at = LEAST - EDGE + i * step;
    if (i == count - 1) {
      return Optional.of(Math.min(MOST, at));
    }
    // The top of a parabola through the three.
    double bend = power[i - 1] - 2 * power[i] + power[i + 1];
    double shift = bend < 0 ? 0.5 * (power[i - 1] - power[i + 1]) / bend : 0;
    return Optional.of(Math.max(LEAST, Math.min(MOST, at + shift * step)));
  }

  /** {@code |Σ o[t]·exp(−2πi·t·rate)|²} at so many beats a minute. */
  private static double power(double[] onsets, double bpm) {
    double turn = -2 * Math.PI * bpm / 60 / HOPS_A_SECOND;
    double stepRe = Math.cos(turn);
    double stepIm = Math.sin(turn);
    double re = 1;
    double im = 0;
    double sumRe = 0;
    double sumIm = 0;
    for (double onset : onsets) {
      sumRe += onset * re;
      sumIm += onset * im;
      double next = re * stepRe - im * stepIm;
      im = re * stepIm + im * stepRe;
      re = next;
    }
    return sumRe * sumRe + sumIm * sumIm;
  }

  /** For people: {@code about 96.0 BPM, an estimate}. */
  public static String words(TempoMap map) {
    return String.format(Locale.ROOT, "about %.1f BPM, an estimate", map.quartersPerMinute());
  }
}
