package cairn.collisions.fix;

import cairn.collisions.signal.Block;
import cairn.collisions.spectrum.OctavePowers;
import java.util.HashMap;
import java.util.Map;

/**
 * What fixes at one moment do to the tone of the bus: the largest change of an octave band over the
 * affected range and 20 ms on either side; definitions.md, 4. For one thread.
 */
public final class ToneCost {

  /** Over this many dB a fix is dear, unless another limit is set. */
  public static final double DEAR_OVER_DB = 0.5;

  /** Bands farther than this under the strongest do not count. */
  private static final double WITHIN = 1e-3;

  private final Scene scene;
  private final Map<Integer, OctavePowers> ofLength = new HashMap<>();
  private final Map<Stretch, double[]> before = new HashMap<>();
  private final Map<Fix, Double> known = new HashMap<>();

  private record Stretch(long firstFrame, int frames) {}

  ToneCost(Scene scene) {
    this.scene = scene;
  }

  /**
   * The largest change in dB, up or down, among the bands that were within 30 dB of the strongest.
   *
   * @param before power of each band before, linear
   * @param after the same after
   * @return at least 0; infinite if such a band falls silent, 0 if all was silent
   */
  public static double db(double[] before, double[] after) {
    double strongest = 0;
    for (double power : before) {
      strongest = Math.max(strongest, power);
    }
    double largest = 0;
    for (int band = 0; band < before.length; band++) {
      if (before[band] > 0 && before[band] >= strongest * WITHIN) {
        largest = Math.max(largest, Math.abs(10 * Math.log10(after[band] / before[band])));
      }
    }
    return largest;
  }

  /** The tone cost in dB of a fix on the bus as it stands; each is worked out once. */
  double db(Fix fix) {
    Double cost = known.get(fix);
    if (cost == null) {
      cost = work(fix);
      known.put(fix, cost);
    }
    return cost;
  }

  private double work(Fix fix) {
    Excerpt excerpt = scene.excerpt;
    double[][] y =
        excerpt.marked(fix.onAll(scene.session.yokes()).stream().map(Fix::stem).toList());
    double[][] changed = {y[0].clone(), y[1].clone()};
    Change change =
        FixApplier.apply(fix, scene.sampleRateHz, changed, excerpt.firstFrame(), scene.range);
    if (change.toFrame() <= change.fromFrame()) {
      return 0;
    }
    int beside = Math.max(1, scene.sampleRateHz / 50);
    Stretch stretch =
        new Stretch(
            change.fromFrame() - beside,
            Math.toIntExact(change.toFrame() - change.fromFrame()) + 2 * beside);
    OctavePowers meter =
        ofLength.computeIfAbsent(
            stretch.frames, frames -> new OctavePowers(frames, scene.sampleRateHz));
    double[][] bus = busAt(stretch);
    double[] old = before.computeIfAbsent(stretch, s -> meter.powers(bus));
    int from = scene.index(change.fromFrame());
    int to = scene.index(change.toFrame());
    int shift = (int) (excerpt.firstFrame() - stretch.firstFrame);
    for (int c = 0; c < 2; c++) {
      for (int i = from; i < to; i++) {
        bus[c][i + shift] += changed[c][i] - y[c][i];
      }
    }
    return db(old, meter.powers(bus));
  }

  /** The bus as it stands; silence where the excerpt ends. */
  private double[][] busAt(Stretch stretch) {
    double[][] bus = Block.stereo(stretch.frames);
    int from = scene.index(stretch.firstFrame);
    int to = scene.index(stretch.firstFrame + stretch.frames);
    int at = (int) (scene.excerpt.firstFrame() + from - stretch.firstFrame);
    if (to > from) {
      for (int c = 0; c < 2; c++) {
        System.arraycopy(scene.excerpt.bus()[c], from, bus[c], at, to - from);
      }
    }
    return bus;
  }
}
