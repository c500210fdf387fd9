package cairn.demo;

import java.util.List;

/**
 * A moment whose truth is known, as it stands in the rendered stems; definitions.md, 3, sample
 * peak, baseline {@code loud}, margin 1.0 dB.
 *
 * @param frame the peak frame {@code n*}
 * @param channel the peak channel, 0 left, 1 right
 * @param stems names of the stems that make up the depth, in order of contribution
 * @param levelDb level of the bus there, dBFS
 * @param excessDb how far that is above the average peak, dB
 * @param part the part of the song: {@code drop two}
 * @param figure the figure it belongs to; moments of one figure are played alike
 * @param isLong whether it is over for more than 100 ms: level, not a spike
 * @param text what happens, in a few words
 */
public record PlantedMoment(
    int frame,
    int channel,
    List<String> stems,
    double levelDb,
    double excessDb,
    String part,
    String figure,
    boolean isLong,
    String text) {

  public PlantedMoment {
    stems = List.copyOf(stems);
  }
}
