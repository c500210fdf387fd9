package cairn.collisions.spectrum;

import java.util.ArrayList;
import java.util.List;

/**
 * The spectra of two sounds beside each other, the second one brought to the level of the first.
 *
 * @param bands one a third-octave band that both sounds have
 */
public record Difference(List<Band> bands) {

  /** From here on a band is named: definitions.md, 7. */
  public static final double NAMED_DB = 3;

  /** A band so far under the strongest is not heard beside it: our choice. */
  private static final double FAINT_DB = 70;

  /**
   * One band.
   *
   * @param band its number, as in {@link ThirdOctaves}
   * @param hereDb its level in the first sound, dB
   * @param thereDb its level in the second one, brought to the level of the first, dB
   * @param isFaint whether it is far below the strongest band in both
   */
  public record Band(int band, double hereDb, double thereDb, boolean isFaint) {

    /** By how much the first sound has more there, dB. */
    public double db() {
      return hereDb - thereDb;
    }

    /** Whether it is off by 3 dB or more, and can be heard. */
    public boolean isNamed() {
      return !isFaint && Math.abs(db()) >= NAMED_DB;
    }
  }

  public Difference {
    bands = List.copyOf(bands);
  }

  /**
   * Of the bands that lie below half of both sample rates.
   *
   * @param thereGainDb gain that brings the second sound to the level of the first, dB
   */
  public static Difference of(Portrait here, Portrait there, double thereGainDb) {
    int count =
        Math.min(
            ThirdOctaves.countAt(here.sampleRateHz()), ThirdOctaves.countAt(there.sampleRateHz()));
    double strongest = Double.NEGATIVE_INFINITY;
    for (int band = 0; band < count; band++) {
      strongest =
          Math.max(strongest, Math.max(here.bandDb(band), there.bandDb(band) + thereGainDb));
    }
    List<Band> bands = new ArrayList<>();
    for (int band = 0; band < count; band++) {
      double hereDb = here.bandDb(band);
      double thereDb = there.bandDb(band) + thereGainDb;
      bands.add(new Band(band, hereDb, thereDb, Math.max(hereDb, thereDb) < strongest - FAINT_DB));
    }
    return new Difference(bands);
  }

  /** The bands that are off by 3 dB or more, from low to high. */
  public List<Band> named() {
    return bands.stream().filter(Band::isNamed).toList();
  }
}
