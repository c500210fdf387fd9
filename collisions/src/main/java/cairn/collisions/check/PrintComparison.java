package cairn.collisions.check;

import cairn.collisions.Session;
import cairn.collisions.TimeRange;
import cairn.collisions.port.Progress;
import cairn.collisions.port.StemSource;
import cairn.collisions.signal.Crew;
import cairn.collisions.signal.MixDown;
import cairn.collisions.signal.Sound;
import cairn.collisions.spectrum.Alignment;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * A bounced mix held against the sum of the stems: where it lies, how loud it is, and what is left
 * when the sum is taken away from it (the null test).
 *
 * <p>The gain is the one that leaves the least power. Then stem by stem, as long as that helps, the
 * one whose own gain in the mix takes most of the rest away; all gains are fitted together each
 * time. What is left is either something that no stem holds, or work on the mix bus: there the gain
 * follows the level.
 *
 * @param alignment where the mix lies
 * @param overlap the frames of the bus that are compared
 * @param gainDb gain of the sum in the mix, dB
 * @param reversed whether the mix has the other polarity
 * @param residualDb power left with that one gain, against that of the mix, dB; minus infinity if
 *     nothing is left
 * @param differing stems with a gain of their own in the mix, those that explain most first
 * @param restDb power left with these gains as well, dB
 * @param restAt frame of the bus at the start of the half second in which most of that is left
 * @param dynamics work on the mix bus, where the rest follows the level
 */
public record PrintComparison(
    Alignment alignment,
    TimeRange overlap,
    double gainDb,
    boolean reversed,
    double residualDb,
    List<StemInPrint> differing,
    double restDb,
    long restAt,
    Optional<BusDynamics> dynamics) {

  /** A stem this far below its level in the sum is not there at all: our choice. */
  private static final double GONE = 0.1;

  /** More stems than this with gains of their own: it is another mix. */
  private static final int MOST_STEMS = 6;

  private static final int LEAST_PROBES = 8;
  private static final int MOST_PROBES = 96;

  /** Below this what is left is rounding and dither of 16 bits. */
  static final double NOTHING_DB = -80;

  /**
   * The rest must fall to this part of its power, or to the next where the stem is simply gone;
   * with less, what an equaliser on the bus left was taken for a missing stem.
   */
  private static final double HELPS = 0.5;

  private static final double HELPS_IF_GONE = 0.8;

  /**
   * A stem that stands in the mix otherwise than in the sum.
   *
   * @param stem which one
   * @param factor its amplitude in the mix against that of the other stems: 0 if it is not there, 2
   *     if it is 6 dB louder; negative: reversed
   */
  public record StemInPrint(int stem, double factor) {
    /** Whether it is missing. */
    public boolean isMissing() {
      return Math.abs(factor) <= GONE;
    }
  }

  /**
   * Work on the mix bus.
   *
   * @param downDb by how much the loudest 2 % of the song stand lower in the mix than the middle of
   *     it, dB over 0
   */
  public record BusDynamics(double downDb) {}

  public PrintComparison {
    differing = List.copyOf(differing);
  }

  /**
   * Finds where a mix lies.
   *
   * @param powers power of the stems over stretches in a row, from frame 0 on
   * @param stretchFrames frames of one stretch
   * @return empty if one of both is silent
   */
  public static Optional<Alignment> align(
      Session session,
      StemSource source,
      double[] powers,
      int stretchFrames,
      Session printSession,
      StemSource print)
      throws IOException {
    int probeFrames = Alignment.probeFrames(session.sampleRateHz());
    long shorter = Math.min(session.frames(), printSession.frames());
    while (probeFrames > 1 && probeFrames > shorter / 2) {
      probeFrames /= 2;
    }
    // A mix that covers a part of the song only must hold some probes whole.
    int parts = (int) Math.min(MOST_PROBES, Math.max(LEAST_PROBES, 3 * session.frames() / shorter));
    try (MixDown bus = new MixDown(session, source.openReader());
        MixDown printed = new MixDown(printSession, print.openReader())) {
      return Alignment.find(
          Sound.ofBus(session, bus),
          Sound.ofBus(printSession, printed),
          Alignment.probes(powers, stretchFrames, probeFrames, parts),
          probeFrames);
    }
  }

  /**
   * Compares a mix whose place is known.
   *
   * @return empty if both do not overlap, or one is silent there
   */
  public static Optional<PrintComparison> of(
      Session session,
      StemSource source,
      PlacedPrint print,
      Alignment alignment,
      Crew crew,
      Progress progress)
      throws IOException {
    long from = Math.max(0, -print.lagFrames());
    long to = Math.min(session.frames(), print.frames() - print.lagFrames());
    if (from >= to) {
      return Optional.empty();
    }
    Products products =
        Products.over(session, source, Optional.of(print), from, to, crew, progress);
    int stems = products.rows() - 1;
    double printPower = products.of(stems, stems);
    Fit fit = Fit.ofSum(products);
    if (!(printPower > 0) || fit.gain() == 0) {
      return Optional.empty();
    }
    double residual = fit.rest;
    Fit best = fit;
    while (best.freed.size() < MOST_STEMS && db(best.rest / printPower) > NOTHING_DB) {
      Optional<Fit> next = best.bestNext(products);
      if (next.isEmpty()) {
        break;
      }
      best = next.get();
    }
    PrintRest rest =
        PrintRest.of(session, source, print, from, to, best.factors(stems), crew, progress);
    List<StemInPrint> differing = new ArrayList<>();
    for (int i = 0; i < best.freed.size(); i++) {
      differing.add(new StemInPrint(best.freed.get(i), 1 + best.x[i + 1] / best.gain()));
    }
    return Optional.of(
        new PrintComparison(
            alignment,
            new TimeRange(from, to),
            20 * Math.log10(Math.abs(best.gain())),
            best.gain() < 0,
            db(residual / printPower),
            differing,
            db(rest.power() / rest.printPower()),
            rest.loudestFrame(),
            rest.dynamics()));
  }

  /** Of a power; what rounding leaves is nothing. */
  static double db(double power) {
    return power > 1e-15 ? 10 * Math.log10(power) : Double.NEGATIVE_INFINITY;
  }

  /** A fit of the mix by the sum of the stems, and some stems by themselves. */
  private static final class Fit {
    /** Stems with a gain of their own. */
    private final List<Integer> freed;

    /** Factor of the sum, then of each of these on top of it. */
    private final double[] x;

    /** Power left. */
    private final double rest;

    Fit(List<Integer> freed, double[] x, double rest) {
      this.freed = freed;
      this.x = x;
      this.rest = rest;
    }

    static Fit ofSum(Products products) {
      return of(products, List.of()).orElse(new Fit(List.of(), new double[1], 0));
    }

    double gain() {
      return x[0];
    }

    double[] factors(int stems) {
      double[] factors = new double[stems];
      Arrays.fill(factors, x[0]);
      for (int i = 0; i < freed.size(); i++) {
        factors[freed.get(i)] += x[i + 1];
      }
      return factors;
    }

    /** Frees the stem that takes most of the rest away, if that helps. */
    Optional<Fit> bestNext(Products products) {
      Fit best = null;
      for (int k = 0; k < products.rows() - 1; k++) {
        if (freed.contains(k) || !(products.of(k, k) > 0)) {
          continue;
        }
        List<Integer> more = new ArrayList<>(freed);
        more.add(k);
        Optional<Fit> fit = of(products, more);
        if (fit.isPresent()
            && fit.get().gain() != 0
            && (best == null || fit.get().rest < best.rest)) {
          best = fit.get();
        }
      }
      if (best == null) {
        return Optional.empty();
      }
      double factor = 1 + best.x[best.freed.size()] / best.gain();
      double needed = Math.abs(factor) <= GONE ? HELPS_IF_GONE : HELPS;
      return best.rest <= needed * rest ? Optional.of(best) : Optional.empty();
    }

    /** Least squares by the normal equations; empty where stems do not tell them apart. */
    private static Optional<Fit> of(Products products, List<Integer> freed) {
      int print = products.rows() - 1;
      int size = freed.size() + 1;
      double[][] a = new double[size][size + 1];
      for (int i = 0; i < size; i++) {
        for (int j = 0; j < size; j++) {
          a[i][j] = product(products, freed, i, j);
        }
        a[i][size] = i == 0 ? sum(products, print) : products.of(freed.get(i - 1), print);
      }
      double[] right = new double[size];
      for (int i = 0; i < size; i++) {
        right[i] = a[i][size];
      }
      double[] x = LeastSquares.solve(a);
      if (x[size - 1] == 0) {
        return Optional.empty();
      }
      double rest = products.of(print, print);
      for (int i = 0; i < size; i++) {
        rest -= x[i] * right[i];
      }
      return Optional.of(new Fit(freed, x, Math.max(0, rest)));
    }

    private static double product(Products products, List<Integer> freed, int i, int j) {
      if (i == 0 && j == 0) {
        double all = 0;
        for (int k = 0; k < products.rows() - 1; k++) {
          all += sum(products, k);
        }
        return all;
      }
      if (i == 0 || j == 0) {
        return sum(products, freed.get(Math.max(i, j) - 1));
      }
      return products.of(freed.get(i - 1), freed.get(j - 1));
    }

    /** Product of a row with the sum of all stems. */
    private static double sum(Products products, int row) {
      double sum = 0;
      for (int k = 0; k < products.rows() - 1; k++) {
        sum += products.of(row, k);
      }
      return sum;
    }
  }
}
