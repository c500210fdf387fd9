package cairn.collisions.fix;

/** The weight of a hit: 1 inside, raised-cosine ramps centred on both edges; definitions.md, 4. */
final class Weight {

  private Weight() {}

  /**
   * Writes {@code w[0 : frames]}, the weight from {@code firstFrame} on.
   *
   * @param start first frame of the hit
   * @param end frame after the last one of the hit
   * @param cellFrames half the length of a ramp, {@code F/2}
   */
  static void fill(double[] w, long firstFrame, int frames, long start, long end, int cellFrames) {
    double ramp = 2.0 * cellFrames;
    for (int i = 0; i < frames; i++) {
      long n = firstFrame + i;
      double u = Math.min((n - start + 0.5) / ramp, (end - n - 0.5) / ramp) + 0.5;
      w[i] = u >= 1 ? 1 : u <= 0 ? 0 : 0.5 - 0.5 * Math.cos(Math.PI * u);
    }
  }
}
