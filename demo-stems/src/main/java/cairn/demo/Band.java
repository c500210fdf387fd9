package cairn.demo;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;

/** All hits of the song, and what they sound like stem by stem. */
final class Band {

  /** Full scale of 24-bit samples. */
  static final double FULL_SCALE = 1 << 23;

  final int frames;

  private final Map<Voice, List<Hit>> hits = new EnumMap<>(Voice.class);

  Band(int frames, List<Hit> all) {
    this.frames = frames;
    for (Voice voice : Voice.values()) {
      hits.put(voice, new ArrayList<>());
    }
    for (Hit hit : all) {
      add(hit);
    }
  }

  void add(Hit hit) {
    hits.get(hit.voice).add(hit);
  }

  List<Hit> of(Voice voice) {
    return hits.get(voice);
  }

  /** One stem as it comes out of its player's hands, before it is rounded to 24 bits. */
  double[][] play(Voice voice) {
    if (voice == Voice.HALL) {
      return Hall.of(play(Voice.CAIXA)[0], voice.accent);
    }
    double[][] out = new double[voice.channels][frames];
    for (Hit hit : hits.get(voice)) {
      for (int c = 0; c < voice.channels; c++) {
        add(hit, hit.gain, c, out[c]);
      }
    }
    return out;
  }

  /** Adds {@code gain} times the hit's sound to a channel of the song. */
  static void add(Hit hit, double gain, int channel, double[] out) {
    double[] sound = hit.sound.channel(channel);
    int from = Math.max(0, -hit.frame);
    int end = Math.min(sound.length, out.length - hit.frame);
    for (int i = from; i < end; i++) {
      out[hit.frame + i] += gain * sound[i];
    }
  }

  /**
   * One stem as its file has it: every sample a whole number of 24 bits over 2^23, rounded to the
   * nearest.
   */
  double[][] render(Voice voice) {
    double[][] out = play(voice);
    for (double[] samples : out) {
      for (int i = 0; i < samples.length; i++) {
        samples[i] = rounded(samples[i]);
      }
    }
    return out;
  }

  private static double rounded(double sample) {
    double whole = Math.floor(sample * FULL_SCALE + 0.5);
    if (whole >= FULL_SCALE) {
      whole = FULL_SCALE - 1;
    } else if (whole < -FULL_SCALE) {
      whole = -FULL_SCALE;
    }
    return whole * (1 / FULL_SCALE);
  }

  /** One sample of a rendered stem other than the hall, equal to {@link #render}. */
  double sample(Voice voice, int n, int channel) {
    double sum = 0;
    for (Hit hit : hits.get(voice)) {
      sum += hit.at(n, channel);
    }
    return rounded(sum);
  }
}
