package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/**
 * Stems that hold what others hold already.
 *
 * @param twins pairs of stems with the same audio
 * @param fullMixes stems that are a mix of the others
 */
public record Likeness(List<Twins> twins, List<FullMix> fullMixes) {

  /** What of a double is not the other one is 60 dB below it: dither of 16 bits is less. */
  private static final double SAME = 1e-6;

  /** Half of the power: a mix keeps that also where some stems are missing: our choice. */
  private static final double FULL_MIX = 0.7;

  /** So far from the gain of most, a stem does not count as part of a mix at its own level. */
  private static final double FACTOR = 1.5;

  /**
   * Two stems with the same audio.
   *
   * @param first the earlier one in session order
   * @param second the other one
   * @param gainDb how much louder the second is, dB
   * @param inverted whether the polarity is reversed
   */
  public record Twins(int first, int second, double gainDb, boolean inverted) {}

  /**
   * A stem that is a mix of the others.
   *
   * @param stem which one
   * @param correlation its correlation with the others, mixed as fits best, 0.7 to 1
   * @param gainDb gain of most of them in it, dB
   */
  public record FullMix(int stem, double correlation, double gainDb) {}

  public Likeness {
    twins = List.copyOf(twins);
    fullMixes = List.copyOf(fullMixes);
  }

  /** Compares all stems of a session with each other. */
  public static Likeness of(Session session, StemSource source, Crew crew, Progress progress)
      throws IOException {
    return of(
        Products.over(session, source, Optional.empty(), 0, session.frames(), crew, progress));
  }

  static Likeness of(Products products) {
    int stems = products.rows();
    int[] sameAs = new int[stems];
    List<Twins> twins = new ArrayList<>();
    for (int j = 0; j < stems; j++) {
      sameAs[j] = j;
      for (int i = 0; i < j && sameAs[j] == j; i++) {
        double correlation = products.correlation(i, j);
        if (sameAs[i] == i && 1 - correlation * correlation < SAME && correlation != 0) {
          sameAs[j] = i;
          double gainDb = 10 * Math.log10(products.of(j, j) / products.of(i, i));
          twins.add(new Twins(i, j, gainDb, correlation < 0));
        }
      }
    }
    List<FullMix> mixes = new ArrayList<>();
    for (int k = 0; k < stems; k++) {
      fullMix(products, sameAs, k).ifPresent(mixes::add);
    }
    return new Likeness(twins, mixes);
  }

  /**
   * A stem against all others, one of each set of twins, each with a gain of its own. It is a mix
   * if they make it up, at least half of them with about the same gain, and if it is like them
   * together far more than like any one of them.
   */
  private static Optional<FullMix> fullMix(Products products, int[] sameAs, int k) {
    List<Integer> others = new ArrayList<>();
    double mostLikeOne = 0;
    for (int j = 0; j < products.rows(); j++) {
      if (sameAs[j] == j && sameAs[k] != j && products.of(j, j) > 0) {
        others.add(j);
        mostLikeOne = Math.max(mostLikeOne, Math.abs(products.correlation(k, j)));
      }
    }
    double own = products.of(k, k);
    int size = others.size();
    if (size < 2 || !(own > 0)) {
      return Optional.empty();
    }
    // Another mix among the others comes last, and adds nothing to the stems.
    others.sort(Comparator.comparingDouble(j -> products.of(j, j)));
    double[][] equations = new double[size][size + 1];
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        equations[i][j] = products.of(others.get(i), others.get(j));
      }
      equations[i][size] = products.of(others.get(i), k);
    }
    double[] factors = LeastSquares.solve(equations);
    double explained = 0;
    double[] sorted = new double[size];
    for (int i = 0; i < size; i++) {
      explained += factors[i] * products.of(others.get(i), k);
      sorted[i] = factors[i];
    }
    Arrays.sort(sorted);
    double most = sorted[size / 2];
    long alike = Arrays.stream(sorted).filter(f -> f > most / FACTOR && f < most * FACTOR).count();
    double squared = Math.min(1, explained / own);
    // A stem is also a mix less all others: those have negative factors.
    boolean isMix =
        most > 0
            && squared >= FULL_MIX * FULL_MIX
            && 2 * alike >= size
            && 1 - squared < 0.5 * (1 - mostLikeOne * mostLikeOne);
    return isMix
        ? Optional.of(new FullMix(k, Math.sqrt(squared), 20 * Math.log10(most)))
        : Optional.empty();
  }
}
