package cairn.demo;

/**
 * Average peak and line of a finished bus: definitions.md, 2 and 3, sample peak, baseline {@code
 * loud}, margin 1.0 dB.
 *
 * @param average the average peak A of the loud part, linear
 * @param line the line T, linear
 * @param loudFrom first frame of the loud part
 * @param loudEnd the frame after its last
 */
record Reckoning(double average, double line, int loudFrom, int loudEnd) {

  private static final int WINDOW = Waves.SAMPLE_RATE_HZ / 2;
  private static final int LOUD_WINDOWS = 60;

  static Reckoning of(double[][] bus) {
    int frames = bus[0].length;
    int windows = (frames + WINDOW - 1) / WINDOW;
    double[] peaks = new double[windows];
    double[] energies = new double[windows];
    for (int j = 0; j < windows; j++) {
      int end = Math.min(frames, (j + 1) * WINDOW);
      for (double[] channel : bus) {
        double peak = peaks[j];
        double energy = 0;
        for (int n = j * WINDOW; n < end; n++) {
          double sample = channel[n];
          peak = Math.max(peak, Math.abs(sample));
          energy += sample * sample;
        }
        peaks[j] = peak;
        energies[j] += energy;
      }
    }
    int length = Math.min(LOUD_WINDOWS, windows);
    int best = 0;
    double greatest = -1;
    for (int first = 0; first + length <= windows; first++) {
      double energy = 0;
      for (int j = first; j < first + length; j++) {
        energy += energies[j];
      }
      if (energy > greatest) {
        greatest = energy;
        best = first;
      }
    }
    double gate = Waves.factor(-70);
    double mean = mean(peaks, best, best + length, gate);
    double average = mean(peaks, best, best + length, mean * Waves.factor(-10));
    return new Reckoning(
        average,
        average * Waves.factor(1),
        best * WINDOW,
        Math.min(frames, (best + length) * WINDOW));
  }

  private static double mean(double[] peaks, int from, int end, double gate) {
    double sum = 0;
    int count = 0;
    for (int j = from; j < end; j++) {
      if (peaks[j] > gate) {
        sum += peaks[j];
        count++;
      }
    }
    return count == 0 ? 0 : sum / count;
  }
}
