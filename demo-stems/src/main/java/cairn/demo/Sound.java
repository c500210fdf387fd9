package cairn.demo;

/**
 * One ready sound of an instrument: a stroke, a note or a chord. It is scaled so that its highest
 * sample is 1 on the louder channel and its first high crest points upwards, hence a hit of gain
 * 0.3 crests at 0.3. Immutable; a mono sound has the same array on both sides.
 */
final class Sound {

  /** Of a held sound many crests are nearly the highest: the first of them counts. */
  private static final double NEARLY = 0.93;

  final double[] left;
  final double[] right;

  /** The frame of the first crest that is (nearly) the highest, counted from the sound's first. */
  final int crestFrame;

  private Sound(double[] left, double[] right, int crestFrame) {
    this.left = left;
    this.right = right;
    this.crestFrame = crestFrame;
  }

  static Sound mono(double[] samples) {
    return stereo(samples, samples);
  }

  /** Takes over both arrays, of one length and not silent. */
  static Sound stereo(double[] left, double[] right) {
    double highest = 0;
    for (int i = 0; i < left.length; i++) {
      highest = Math.max(highest, Math.abs(louder(left, right, i)));
    }
    int crest = 0;
    while (Math.abs(louder(left, right, crest)) < NEARLY * highest) {
      crest++;
    }
    double sign = Math.signum(louder(left, right, crest));
    while (crest + 1 < left.length
        && sign * louder(left, right, crest + 1) > sign * louder(left, right, crest)) {
      crest++;
    }
    scale(left, sign * highest);
    if (right != left) {
      scale(right, sign * highest);
    }
    return new Sound(left, right, crest);
  }

  private static double louder(double[] left, double[] right, int i) {
    return Math.abs(left[i]) >= Math.abs(right[i]) ? left[i] : right[i];
  }

  private static void scale(double[] samples, double divisor) {
    for (int i = 0; i < samples.length; i++) {
      samples[i] /= divisor;
    }
  }

  double[] channel(int c) {
    return c == 0 ? left : right;
  }

  int frames() {
    return left.length;
  }
}
