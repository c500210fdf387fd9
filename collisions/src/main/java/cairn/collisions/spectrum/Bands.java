package cairn.collisions.spectrum;

import java.util.function.IntToDoubleFunction;

/** Powers of bins gathered into bands that lie one after the other. */
final class Bands {

  private Bands() {}

  /**
   * The power in each band. A bin that an edge cuts is split in proportion to how much of {@code [f
   * − ½, f + ½]} bins lies on either side, so that bands and what lies outside of them add up to
   * the whole.
   *
   * @param binPowers one-sided power of bins 0 to size/2
   * @param sampleRateHz sample rate in Hz
   * @param bands how many bands there are
   * @param lowerHz lower edge of a band in Hz
   * @param upperHz upper edge of a band in Hz
   * @return one power a band; 0 for a band above half the sample rate
   */
  static double[] ofBins(
      double[] binPowers,
      int sampleRateHz,
      int bands,
      IntToDoubleFunction lowerHz,
      IntToDoubleFunction upperHz) {
    int half = binPowers.length - 1;
    double binHz = sampleRateHz / (2.0 * half);
    double[] powers = new double[bands];
    for (int band = 0; band < bands; band++) {
      // In bins, moved by a half so that bin f covers [f, f + 1).
      double from = lowerHz.applyAsDouble(band) / binHz + 0.5;
      double to = upperHz.applyAsDouble(band) / binHz + 0.5;
      double sum = 0;
      for (int f = (int) from; f <= half && f < to; f++) {
        sum += binPowers[f] * (Math.min(to, f + 1) - Math.max(from, f));
      }
      powers[band] = sum;
    }
    return powers;
  }
}
