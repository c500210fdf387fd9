package cairn.tui.effect;

import cairn.collisions.Pass;
import cairn.collisions.TimeRange;
import cairn.collisions.fix.Excerpt;
import cairn.collisions.plan.WhatIf;
import cairn.collisions.signal.Block;
import cairn.collisions.spectrum.MomentBands;
import cairn.tui.model.Bands;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** In which third-octave bands stems have their energy at a moment; definitions.md, 7. */
public final class StemBands {

  private StemBands() {}

  /**
   * Of the stems as they stand in a what-if.
   *
   * @param now the bus with marks
   * @param pass what it is the what-if of; what lies outside its range is silence
   * @param peakFrame where
   * @param stems which
   */
  public static Bands of(WhatIf now, Pass pass, long peakFrame, List<Integer> stems)
      throws IOException {
    int rate = pass.session().sampleRateHz();
    int reach = MomentBands.reachFrames(rate);
    long first = peakFrame - reach;
    long from = Math.max(pass.range().firstFrame(), first);
    long end = Math.min(pass.range().endFrame(), peakFrame + reach);
    Excerpt excerpt = now.excerpt(new TimeRange(from, end));
    List<Bands.OfStem> bands = new ArrayList<>();
    for (int k : stems) {
      double[][] y = Block.stereo(2 * reach);
      for (int c = 0; c < 2; c++) {
        System.arraycopy(excerpt.marked(k)[c], 0, y[c], (int) (from - first), (int) (end - from));
      }
      double[] powers = MomentBands.powers(y, rate);
      bands.add(
          new Bands.OfStem(
              k,
              Arrays.stream(powers).mapToObj(power -> 10 * Math.log10(power)).toList(),
              MomentBands.strongest(powers)));
    }
    return new Bands(now.marks(), peakFrame, bands);
  }
}
