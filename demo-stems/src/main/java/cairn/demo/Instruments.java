package cairn.demo;

import static cairn.demo.Waves.SAMPLE_RATE_HZ;
import static cairn.demo.Waves.decay;
import static cairn.demo.Waves.frames;
import static cairn.demo.Waves.sine;

/**
 * How each instrument of the band sounds: decaying sines whose pitch drops, filtered noise,
 * frequency modulation for the brass, harmonics weighted by formants for the voices. Frequencies in
 * Hz, times in seconds. Struck sounds start with one crest that stands above all others, as a
 * stick's contact does. Frequencies and decays are chosen by ear and reason, no source.
 */
final class Instruments {

  /** Formants of an open vowel: centre, width (Hz) and weight; round numbers, no source. */
  private static final double[][] OPEN_VOWEL = {{720, 160, 1}, {1150, 200, 0.6}, {2700, 350, 0.25}};

  /** Frames of one cycle of a voice. */
  private static final int CYCLE = 2048;

  /** A modulation index is in radians, a phase here in turns. */
  private static final double RADIANS_PER_TURN = 6.283185307179586;

  private Instruments() {}

  /** A big drum struck with a soft mallet. */
  static Sound surdo(double hertz, double ringSeconds, double lengthSeconds, Dice dice) {
    double[] out = new double[frames(lengthSeconds)];
    double drop = decay(0.018);
    double ring = decay(ringSeconds);
    double skin = decay(0.0012);
    double bend = 0.85 + 0.1 * dice.noise();
    double level = 1;
    double click = 0.22;
    double phase = 0;
    double clickHertz = 800 + 80 * dice.noise();
    for (int i = 0; i < out.length; i++) {
      out[i] =
          level * sine(phase)
              + click * (sine(clickHertz * i / SAMPLE_RATE_HZ) + 0.3 * dice.noise());
      phase += hertz * (1 + bend) / SAMPLE_RATE_HZ;
      bend *= drop;
      level *= ring;
      click *= skin;
    }
    Waves.fadeOut(out, 0.06);
    return Sound.mono(out);
  }

  /** The sine laid under a surdo. */
  static Sound lowSine(double hertz, double ringSeconds, double lengthSeconds) {
    double[] out = new double[frames(lengthSeconds)];
    double ring = decay(ringSeconds);
    double level = 1;
    for (int i = 0; i < out.length; i++) {
      out[i] = level * sine(hertz * i / SAMPLE_RATE_HZ);
      level *= ring;
    }
    Waves.fadeOut(out, 0.08);
    return Sound.mono(out);
  }

  /** A stick on a skin: the contact, the skin's tone, the snares' or shell's noise. */
  static Sound stick(
      double contactHertz,
      double toneHertz,
      double toneSeconds,
      double tone,
      double noiseSeconds,
      double noise,
      double lengthSeconds,
      Dice dice) {
    double[] out = new double[frames(lengthSeconds)];
    double contactDecay = decay(0.0005);
    double toneDecay = decay(toneSeconds);
    double noiseDecay = decay(noiseSeconds);
    double contactLevel = 1.4;
    double toneLevel = tone;
    double noiseLevel = noise;
    double phase = 0;
    double tuned = toneHertz * (1 + 0.01 * dice.noise());
    double bend = 0.25;
    double before = 0;
    double quiet = 1;
    double quietDecay = decay(0.001);
    for (int i = 0; i < out.length; i++) {
      double white = dice.noise();
      // the noise answers the contact: it must not roughen the contact's own crest
      double answer = noiseLevel * (1 - quiet);
      out[i] =
          contactLevel * sine(contactHertz * i / SAMPLE_RATE_HZ)
              + toneLevel * sine(phase)
              + answer * 0.5 * (white - before);
      before = white;
      quiet *= quietDecay;
      phase += tuned * (1 + bend) / SAMPLE_RATE_HZ;
      bend *= toneDecay;
      contactLevel *= contactDecay;
      toneLevel *= toneDecay;
      noiseLevel *= noiseDecay;
    }
    Waves.fadeOut(out, 0.02);
    return Sound.mono(out);
  }

  /** A struck bell of sheet iron: partials that are no harmonics. */
  static Sound bell(double hertz, double lean, Dice dice) {
    double[] out = new double[frames(0.19)];
    double[] ratios = {1, 2.71, 4.43, 6.2};
    double[] levels = {0.5, 0.28, 0.15, 0.08};
    double[] decays = {decay(0.045), decay(0.03), decay(0.016), decay(0.008)};
    double contact = 1.0;
    double contactDecay = decay(0.0005);
    double tuned = hertz * (1 + 0.002 * dice.noise());
    for (int i = 0; i < out.length; i++) {
      double sum = contact * sine(1700.0 * i / SAMPLE_RATE_HZ);
      contact *= contactDecay;
      for (int j = 0; j < ratios.length; j++) {
        sum += levels[j] * sine(tuned * ratios[j] * i / SAMPLE_RATE_HZ);
        levels[j] *= decays[j];
      }
      out[i] = sum;
    }
    Waves.fadeOut(out, 0.03);
    return leaning(out, lean);
  }

  /** One swing of a shaker. */
  static Sound shaker(double rise, Dice dice) {
    double[] left = new double[frames(0.1)];
    double[] right = new double[left.length];
    double fall = decay(0.018);
    int top = frames(rise);
    double level = 1;
    double beforeLeft = 0;
    double beforeRight = 0;
    for (int i = 0; i < left.length; i++) {
      double envelope = i < top ? (double) i / top : level;
      if (i >= top) {
        level *= fall;
      }
      double both = dice.noise();
      double l = both + 0.5 * dice.noise();
      double r = both + 0.5 * dice.noise();
      left[i] = envelope * (l - 0.8 * beforeLeft);
      right[i] = envelope * (r - 0.8 * beforeRight);
      beforeLeft = l;
      beforeRight = r;
    }
    Waves.fadeOut(left, 0.02);
    Waves.fadeOut(right, 0.02);
    return Sound.stereo(left, right);
  }

  /** Many hands that nearly clap together; the last and most of them on one contact. */
  static Sound claps(Dice dice) {
    double[] left = new double[frames(0.12)];
    double[] right = new double[left.length];
    double[] at = {0, 0.0075, 0.0142, 0.021};
    double[] levels = {0.3, 0.35, 0.4, 1};
    for (int j = 0; j < at.length; j++) {
      int from = frames(at[j]);
      double fall = decay(j == at.length - 1 ? 0.016 : 0.0025);
      double contactDecay = decay(0.0004);
      double level = 0.6 * levels[j];
      double contact = 1.2 * levels[j];
      double before = 0;
      double quiet = 1;
      double quietDecay = decay(0.0008);
      for (int i = from; i < left.length; i++) {
        double white = dice.noise();
        double answer = level * (1 - quiet);
        double body = answer * (white - 0.6 * before);
        before = white;
        double tick = contact * sine(1250.0 * (i - from) / SAMPLE_RATE_HZ);
        left[i] += body + tick + 0.3 * answer * dice.noise();
        right[i] += body + tick + 0.3 * answer * dice.noise();
        level *= fall;
        quiet *= quietDecay;
        contact *= contactDecay;
      }
    }
    Waves.fadeOut(left, 0.02);
    Waves.fadeOut(right, 0.02);
    return Sound.stereo(left, right);
  }

  /** A plucked bass note. */
  static Sound bass(double hertz, double lengthSeconds) {
    double[] out = new double[frames(lengthSeconds)];
    int harmonics = 7;
    double[] levels = new double[harmonics];
    double[] decays = new double[harmonics];
    for (int h = 0; h < harmonics; h++) {
      levels[h] = 1.0 / ((h + 1) * (h + 1.0));
      decays[h] = decay(0.5 / (h + 1));
    }
    int attack = frames(0.006);
    for (int i = 0; i < out.length; i++) {
      double turns = hertz * i / SAMPLE_RATE_HZ;
      double sum = 0;
      for (int h = 0; h < harmonics; h++) {
        sum += levels[h] * sine((h + 1) * turns);
        levels[h] *= decays[h];
      }
      out[i] = i < attack ? sum * i / attack : sum;
    }
    Waves.fadeOut(out, 0.03);
    return Sound.mono(out);
  }

  /** A chord of a brass section, brighter while it is blown harder; {@code wide} for stereo. */
  static Sound brass(int[] notes, double lengthSeconds, boolean wide, Dice dice) {
    double[] left = new double[frames(lengthSeconds)];
    double[] right = wide ? new double[left.length] : left;
    int attack = frames(0.022);
    double settle = decay(0.09);
    for (int j = 0; j < notes.length; j++) {
      for (int player = 0; player < 2; player++) {
        double hertz = Waves.hertz(notes[j]) * (1 + 0.0015 * dice.noise());
        double turns = 0.08 * dice.noise();
        double bite = 1;
        double side = wide ? 0.7 + 0.3 * ((j + player) % 2 == 0 ? 1 : -1) : 1;
        for (int i = 0; i < left.length; i++) {
          double envelope = i < attack ? (double) i / attack : 0.62 + 0.38 * bite;
          if (i >= attack) {
            bite *= settle;
          }
          double index = 0.4 + 2.2 * envelope;
          double sample = envelope * sine(turns + index / RADIANS_PER_TURN * sine(turns));
          left[i] += side * sample;
          if (wide) {
            right[i] += (1.4 - side) * sample;
          }
          turns += hertz / SAMPLE_RATE_HZ;
        }
      }
    }
    Waves.fadeOut(left, 0.05);
    if (wide) {
      Waves.fadeOut(right, 0.05);
    }
    return Sound.stereo(left, right);
  }

  /** A choir's chord on an open vowel, other singers on either side. */
  static Sound choir(int[] notes, double lengthSeconds, Dice dice) {
    double[] left = new double[frames(lengthSeconds)];
    double[] right = new double[left.length];
    for (int note : notes) {
      double[] cycle = vowel(Waves.hertz(note), dice);
      sing(left, cycle, Waves.hertz(note) * (1 + 0.003 * dice.noise()), 0.12, 0.003, 4.6, dice);
      sing(right, cycle, Waves.hertz(note) * (1 + 0.003 * dice.noise()), 0.12, 0.003, 5.1, dice);
    }
    Waves.fadeOut(left, 0.15);
    Waves.fadeOut(right, 0.15);
    return Sound.stereo(left, right);
  }

  /** One sung note of the lead voice. */
  static Sound lead(int note, double lengthSeconds, Dice dice) {
    double[] out = new double[frames(lengthSeconds)];
    sing(out, vowel(Waves.hertz(note), null), Waves.hertz(note), 0.03, 0.006, 5.3, dice);
    Waves.fadeOut(out, 0.05);
    return Sound.mono(out);
  }

  /** A whistle with a pea in it. */
  static Sound whistle(double hertz, double lengthSeconds, Dice dice) {
    double[] out = new double[frames(lengthSeconds)];
    int attack = frames(0.012);
    double turns = 0;
    for (int i = 0; i < out.length; i++) {
      double pea = sine(27.0 * i / SAMPLE_RATE_HZ);
      double envelope = (i < attack ? (double) i / attack : 1) * (0.7 + 0.3 * pea);
      out[i] = envelope * (sine(turns) + 0.08 * dice.noise());
      turns += hertz * (1 + 0.012 * pea) / SAMPLE_RATE_HZ;
    }
    Waves.fadeOut(out, 0.03);
    return Sound.mono(out);
  }

  private static Sound leaning(double[] samples, double lean) {
    double[] left = samples.clone();
    double[] right = samples.clone();
    for (int i = 0; i < left.length; i++) {
      left[i] *= 1 - lean;
      right[i] *= 1 + lean;
    }
    return Sound.stereo(left, right);
  }

  /**
   * One cycle of a voice: harmonics up to 5 kHz, each weighted by the formants.
   *
   * @param dice where the harmonics' phases come from; null puts all of them at their crests
   */
  private static double[] vowel(double hertz, Dice dice) {
    double[] cycle = new double[CYCLE];
    int harmonics = (int) (5000 / hertz);
    for (int h = 1; h <= harmonics; h++) {
      double at = h * hertz;
      double weight = 0.12 / h;
      for (double[] formant : OPEN_VOWEL) {
        double away = (at - formant[0]) / formant[1];
        weight += formant[2] / (1 + away * away) / h;
      }
      double phase = dice == null ? 0.25 : dice.unit();
      for (int i = 0; i < CYCLE; i++) {
        cycle[i] += weight * sine((double) h * i / CYCLE + phase);
      }
    }
    return cycle;
  }

  private static void sing(
      double[] out,
      double[] cycle,
      double hertz,
      double attackSeconds,
      double vibrato,
      double vibratoHertz,
      Dice dice) {
    int attack = frames(attackSeconds);
    double turns = dice.unit();
    double wobble = dice.unit();
    for (int i = 0; i < out.length; i++) {
      double envelope = i < attack ? (double) i / attack : 1;
      double at = (turns - Math.floor(turns)) * CYCLE;
      int whole = (int) at;
      double part = at - whole;
      double here = cycle[whole & (CYCLE - 1)];
      double there = cycle[(whole + 1) & (CYCLE - 1)];
      out[i] += envelope * (here + part * (there - here));
      turns +=
          hertz * (1 + vibrato * sine(wobble + vibratoHertz * i / SAMPLE_RATE_HZ)) / SAMPLE_RATE_HZ;
    }
  }
}
