package cairn.collisions.spectrum;

import cairn.collisions.signal.Block;
import cairn.collisions.signal.Sound;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/**
 * Where one sound lies in another, found by cross-correlation: {@code other[n + lagFrames]} belongs
 * to {@code reference[n]}.
 *
 * <p>A probe, some seconds of the reference, is laid at every frame of the other sound, block by
 * block by way of spectra; the places where it fits best are then tried with all probes, from all
 * over the song, so that music that repeats is told apart by what does not. Memory does not grow
 * with the length of the sounds.
 *
 * @param lagFrames frames by which the other sound is later; negative: earlier
 * @param correlation normalised cross-correlation of all probes there, −1 to 1; negative: the
 *     polarity is reversed
 */
public record Alignment(long lagFrames, double correlation) {

  /** From this correlation on, of either sign, two sounds are held for one song: our choice. */
  public static final double SAME_SONG = 0.5;

  /** No further search where the probes agree like this. */
  private static final double SURE = 0.9;

  private static final int MOST_CANDIDATES = 32;

  /** Where one probe alone fits less, all of them together are not of one song. */
  private static final double WORTH_A_LOOK = 0.3;

  /** A fit that differs by less than this is no better: then the smaller lag counts. */
  private static final double NO_BETTER = 0.001;

  /** A place whose energy is so far below the probe's is silence. */
  private static final double SILENT = 1e-8;

  /** Frames of a probe at a sample rate in Hz: a power of two, 1.3 to 2.7 s. */
  public static int probeFrames(int sampleRateHz) {
    return Integer.highestOneBit(Math.max(1, sampleRateHz * 8 / 3));
  }

  /** The polarity: +1 or −1. */
  public int polarity() {
    return correlation < 0 ? -1 : 1;
  }

  /** Whether both sounds can be of one song. */
  public boolean isSameSong() {
    return Math.abs(correlation) >= SAME_SONG;
  }

  /**
   * First frames of good probes, the most powerful first: the loudest place of each part of the
   * song that is not silent.
   *
   * @param powers power of stretches in a row, from frame 0 on
   * @param stretchFrames frames of one stretch
   * @param probeFrames frames of a probe
   * @param parts into how many parts the song is cut
   */
  public static List<Long> probes(double[] powers, int stretchFrames, int probeFrames, int parts) {
    record Place(long frame, double power) {}
    int across = Math.max(1, Math.min(powers.length, probeFrames / stretchFrames));
    int places = powers.length - across + 1;
    int cut = Math.min(parts, places);
    List<Place> best = new ArrayList<>();
    for (int part = 0; part < cut; part++) {
      Place loudest = new Place(0, 0);
      for (int i = (int) ((long) places * part / cut); i < (long) places * (part + 1) / cut; i++) {
        double power = 0;
        for (int j = 0; j < across; j++) {
          power += powers[i + j];
        }
        if (power > loudest.power) {
          loudest = new Place((long) i * stretchFrames, power);
        }
      }
      if (loudest.power > 0) {
        best.add(loudest);
      }
    }
    best.sort(Comparator.comparingDouble(Place::power).reversed());
    return best.stream().map(Place::frame).toList();
  }

  /**
   * Finds the lag at which the other sound fits best, at any distance.
   *
   * @param probes first frames of probes in the reference, those to be searched with first
   * @param probeFrames frames of a probe, a power of two
   * @return empty if there is nothing to compare: no probe, or silence
   */
  public static Optional<Alignment> find(
      Sound reference, Sound other, List<Long> probes, int probeFrames) throws IOException {
    Search search = new Search(reference, other, probes, probeFrames);
    Alignment best = null;
    for (int i = 0; i < probes.size(); i++) {
      for (Alignment fit : search.fits(search.candidates(i))) {
        if (best == null || fit.isBetterThan(best)) {
          best = fit;
        }
      }
      if (best != null && Math.abs(best.correlation) >= SURE) {
        break;
      }
    }
    return Optional.ofNullable(best);
  }

  private boolean isBetterThan(Alignment that) {
    double more = Math.abs(correlation) - Math.abs(that.correlation);
    return more > NO_BETTER
        || (more >= -NO_BETTER && Math.abs(lagFrames) < Math.abs(that.lagFrames));
  }

  /** The search; left and right are the real and the imaginary part of one signal. */
  private static final class Search {
    private final Sound reference;
    private final Sound other;
    private final List<Long> probes;
    private final int probeFrames;
    private final int blockFrames;
    private final Transform transform;
    private final double[][] block;
    private final double[] spectrum;
    private final double[] energy;

    Search(Sound reference, Sound other, List<Long> probes, int probeFrames) {
      this.reference = reference;
      this.other = other;
      this.probes = probes;
      this.probeFrames = probeFrames;
      blockFrames = 4 * probeFrames;
      transform = new Transform(blockFrames);
      block = Block.stereo(blockFrames);
      spectrum = new double[2 * blockFrames];
      energy = new double[blockFrames + 1];
    }

    /** The lags at which one probe fits best, none closer to another than a 32nd of the probe. */
    List<Long> candidates(int probe) throws IOException {
      double[][] x = Block.stereo(probeFrames);
      reference.read(probes.get(probe), probeFrames, x);
      double probeEnergy = Block.energy(x, 0, probeFrames);
      if (probeEnergy == 0) {
        return List.of();
      }
      double[] probeSpectrum = new double[2 * blockFrames];
      interleave(x, probeFrames, probeSpectrum);
      transform.complex(probeSpectrum);
      Candidates best = new Candidates(Math.max(1, probeFrames / 32));
      int places = blockFrames - probeFrames + 1;
      // At least half of the probe must lie inside.
      long from = -probeFrames / 2;
      long to = other.frames() - probeFrames / 2;
      for (long first = from; first <= to; first += places) {
        other.read(first, blockFrames, block);
        interleave(block, blockFrames, spectrum);
        addUpEnergy();
        transform.complex(spectrum);
        multiplyByConjugate(spectrum, probeSpectrum);
        transform.complexInverse(spectrum);
        int end = (int) Math.min(places, to - first + 1);
        for (int i = 0; i < end; i += best.apart) {
          offerBest(best, i, Math.min(end, i + best.apart), first - probes.get(probe), probeEnergy);
        }
      }
      return best.lags();
    }

    /** Offers the best of the places {@code [from, to)} of the block. */
    private void offerBest(Candidates best, int from, int to, long lagOfFirst, double probeEnergy) {
      int at = -1;
      double most = best.least;
      for (int i = from; i < to; i++) {
        double here = energy[i + probeFrames] - energy[i];
        if (here > SILENT * probeEnergy) {
          double fit = Math.abs(spectrum[2 * i]) / Math.sqrt(here * probeEnergy);
          if (fit > most) {
            most = fit;
            at = i;
          }
        }
      }
      if (at >= 0) {
        best.offer(lagOfFirst + at, most);
      }
    }

    /**
     * How all probes fit at each lag, those left out that do not lie in the other sound by half at
     * least. A lag at which there is nothing to compare is left out.
     */
    List<Alignment> fits(List<Long> lags) throws IOException {
      double[] product = new double[lags.size()];
      double[] referenceEnergy = new double[lags.size()];
      double[] otherEnergy = new double[lags.size()];
      double[][] x = Block.stereo(probeFrames);
      for (long probe : probes) {
        // Reading the reference may mean to sum a hundred stems: once a probe, and if needed.
        double energyHere = -1;
        for (int i = 0; i < lags.size(); i++) {
          long first = probe + lags.get(i);
          if (first < -probeFrames / 2 || first > other.frames() - probeFrames / 2) {
            continue;
          }
          if (energyHere < 0) {
            reference.read(probe, probeFrames, x);
            energyHere = Block.energy(x, 0, probeFrames);
          }
          other.read(first, probeFrames, block);
          product[i] += product(x[0], block[0]) + product(x[1], block[1]);
          referenceEnergy[i] += energyHere;
          otherEnergy[i] += Block.energy(block, 0, probeFrames);
        }
      }
      List<Alignment> fits = new ArrayList<>();
      for (int i = 0; i < lags.size(); i++) {
        if (referenceEnergy[i] > 0 && otherEnergy[i] > SILENT * referenceEnergy[i]) {
          fits.add(
              new Alignment(
                  lags.get(i), product[i] / Math.sqrt(referenceEnergy[i] * otherEnergy[i])));
        }
      }
      return fits;
    }

    private double product(double[] a, double[] b) {
      double sum = 0;
      for (int n = 0; n < probeFrames; n++) {
        sum += a[n] * b[n];
      }
      return sum;
    }

    private void addUpEnergy() {
      double[] left = block[0];
      double[] right = block[1];
      for (int n = 0; n < blockFrames; n++) {
        energy[n + 1] = energy[n] + left[n] * left[n] + right[n] * right[n];
      }
    }

    private static void interleave(double[][] x, int frames, double[] z) {
      Arrays.fill(z, 2 * frames, z.length, 0);
      for (int n = 0; n < frames; n++) {
        z[2 * n] = x[0][n];
        z[2 * n + 1] = x[1][n];
      }
    }

    private static void multiplyByConjugate(double[] z, double[] by) {
      for (int i = 0; i < z.length; i += 2) {
        double re = z[i] * by[i] + z[i + 1] * by[i + 1];
        z[i + 1] = z[i + 1] * by[i] - z[i] * by[i + 1];
        z[i] = re;
      }
    }
  }

  /** The best places found so far, apart from each other. */
  private static final class Candidates {
    private record Candidate(long lag, double fit) {}

    private final int apart;
    private final List<Candidate> kept = new ArrayList<>();

    /** What a new one must pass, once there are enough. */
    private double least;

    Candidates(int apart) {
      this.apart = apart;
    }

    void offer(long lag, double fit) {
      for (Candidate each : kept) {
        if (Math.abs(each.lag - lag) < apart && each.fit >= fit) {
          return;
        }
      }
      kept.removeIf(each -> Math.abs(each.lag - lag) < apart);
      kept.add(new Candidate(lag, fit));
      if (kept.size() > MOST_CANDIDATES) {
        kept.remove(kept.stream().min(Comparator.comparingDouble(Candidate::fit)).orElseThrow());
      }
      if (kept.size() == MOST_CANDIDATES) {
        least = kept.stream().mapToDouble(Candidate::fit).min().orElseThrow();
      }
    }

    /** Those worth a closer look, or the best one. */
    List<Long> lags() {
      double best = kept.stream().mapToDouble(Candidate::fit).max().orElse(0);
      return kept.stream()
          .filter(each -> each.fit >= Math.min(best, WORTH_A_LOOK))
          .map(Candidate::lag)
          .toList();
    }
  }
}
