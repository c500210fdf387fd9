package cairn.collisions.moment;

import java.util.AbstractList;
import java.util.List;

/**
 * The contributions of one moment as plain numbers, 36 bytes each, since there may be a million of
 * them. An immutable list like any other.
 */
public final class Contributions extends AbstractList<Contribution> {

  private static final int NUMBERS = 4;

  private final int[] stems;

  /** Amplitude, share, level near and peak without, of one contribution after another. */
  private final double[] numbers;

  private Contributions(int[] stems, double[] numbers) {
    this.stems = stems;
    this.numbers = numbers;
  }

  /** The same contributions, held as numbers. */
  static List<Contribution> of(List<Contribution> list) {
    if (list instanceof Contributions) {
      return list;
    }
    int[] stems = new int[list.size()];
    double[] numbers = new double[NUMBERS * stems.length];
    for (int i = 0; i < stems.length; i++) {
      Contribution c = list.get(i);
      stems[i] = c.stem();
      numbers[NUMBERS * i] = c.amplitude();
      numbers[NUMBERS * i + 1] = c.share();
      numbers[NUMBERS * i + 2] = c.levelNear();
      numbers[NUMBERS * i + 3] = c.peakWithout();
    }
    return new Contributions(stems, numbers);
  }

  /**
   * Contributions to a peak.
   *
   * @param stems the stem of each, in falling order of its amplitude
   * @param numbers amplitude, level near and peak without, of one contribution after another
   * @param peak what shares are of, linear
   */
  public static List<Contribution> of(int[] stems, double[] numbers, double peak) {
    if (numbers.length != (NUMBERS - 1) * stems.length) {
      throw new IllegalArgumentException(
          "there must be three numbers a stem: stems="
              + stems.length
              + ", numbers="
              + numbers.length);
    }
    double[] all = new double[NUMBERS * stems.length];
    for (int i = 0; i < stems.length; i++) {
      double amplitude = numbers[3 * i];
      all[NUMBERS * i] = amplitude;
      all[NUMBERS * i + 1] = amplitude / peak;
      all[NUMBERS * i + 2] = numbers[3 * i + 1];
      all[NUMBERS * i + 3] = numbers[3 * i + 2];
    }
    return new Contributions(stems.clone(), all);
  }

  @Override
  public Contribution get(int i) {
    return new Contribution(
        stems[i],
        numbers[NUMBERS * i],
        numbers[NUMBERS * i + 1],
        numbers[NUMBERS * i + 2],
        numbers[NUMBERS * i + 3]);
  }

  @Override
  public int size() {
    return stems.length;
  }
}
