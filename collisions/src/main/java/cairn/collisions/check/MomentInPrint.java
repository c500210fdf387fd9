package cairn.collisions.check;

import cairn.collisions.Decibels;
import cairn.collisions.Pass;
import cairn.collisions.moment.Moment;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.MixDown;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;

/**
 * A moment of the sum of the stems, looked up in the bounced mix.
 *
 * @param moment the moment
 * @param levelDb the largest level of the mix in the moment's neighbourhood, against the moment's
 *     peak at the mix's gain, dB; 0: just as in the sum; minus infinity: silence there
 */
public record MomentInPrint(Moment moment, double levelDb) {

  /** So far below, a moment is no longer seen: our choice. */
  private static final double SEEN_DB = -0.5;

  /** Whether it stands in the mix as well. */
  public boolean isSeen() {
    return levelDb >= SEEN_DB;
  }

  /** Looks up all moments of a pass that the mix covers, by rank. */
  public static List<MomentInPrint> of(Pass pass, PlacedPrint print, PrintComparison comparison)
      throws IOException {
    double gain = Decibels.toFactor(comparison.gainDb());
    int around = (int) Math.floor(0.035 * pass.session().sampleRateHz() + 0.5);
    List<MomentInPrint> looked = new ArrayList<>();
    double[][] block = Block.stereo(0);
    try (MixDown printed = new MixDown(print.session(), print.source().openReader())) {
      for (Moment moment : pass.moments()) {
        if (!comparison.overlap().contains(moment.peakFrame())) {
          continue;
        }
        long first = moment.firstOver() - around;
        int frames = Math.toIntExact(moment.lastOver() + around + 1 - first);
        if (block[0].length < frames) {
          block = Block.stereo(frames);
        }
        printed.sum(first + print.lagFrames(), frames, block);
        double peak = Math.max(Block.peak(block[0], 0, frames), Block.peak(block[1], 0, frames));
        looked.add(new MomentInPrint(moment, Decibels.ofAmplitude(peak / (gain * moment.peak()))));
      }
    }
    return looked;
  }
}
