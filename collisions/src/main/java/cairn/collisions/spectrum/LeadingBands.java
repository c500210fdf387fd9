package cairn.collisions.spectrum;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Block;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import java.io.IOException;
import java.util.List;

/**
 * Where the energy of each leading stem sits at some moments: power in third-octave bands of ±20 ms
 * about the peak; definitions.md, 7.
 */
public final class LeadingBands {

  /** {@code powers[moment][place among the leading stems][band]}. */
  private final double[][][] powers;

  private LeadingBands(double[][][] powers) {
    this.powers = powers;
  }

  /**
   * Reads what leads at some moments.
   *
   * @param range the stretch that is looked at; outside it all is silence
   * @param moments the moments, in any order
   */
  public static LeadingBands at(
      Session session, StemSource source, TimeRange range, List<Moment> moments, Crew crew)
      throws IOException {
    double[][][] powers = new double[moments.size()][][];
    int rate = session.sampleRateHz();
    int reach = MomentBands.reachFrames(rate);
    crew.share(
        powers.length,
        () -> {
          MixDown mixDown = new MixDown(session, source.openReader());
          double[][] y = Block.stereo(2 * reach);
          return new Crew.Worker() {
            @Override
            public void work(int task) throws IOException {
              Moment moment = moments.get(task);
              List<Contribution> leading = moment.leading();
              powers[task] = new double[leading.size()][];
              long first = moment.peakFrame() - reach;
              for (int i = 0; i < leading.size(); i++) {
                mixDown.stemOnBus(leading.get(i).stem(), first, 2 * reach, y);
                Block.clear(y, 0, (int) Math.max(0, range.firstFrame() - first));
                Block.clear(y, (int) Math.min(2L * reach, range.endFrame() - first), 2 * reach);
                powers[task][i] = MomentBands.powers(y, rate);
              }
            }

            @Override
            public void close() throws IOException {
              mixDown.close();
            }
          };
        });
    return new LeadingBands(powers);
  }

  /**
   * Power in each of {@link ThirdOctaves#COUNT} bands, linear; a copy.
   *
   * @param moment its place among the moments that were asked for
   * @param place of the stem among those that lead it, by contribution
   */
  public double[] powers(int moment, int place) {
    return powers[moment][place].clone();
  }

  /** The band with the most power, the lower one on a tie; −1 for silence. */
  public int strongest(int moment, int place) {
    return MomentBands.strongest(powers[moment][place]);
  }
}
