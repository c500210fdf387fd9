package cairn.collisions.moment;

import cairn.collisions.Decibels;
import java.util.List;

/**
 * Over frames that belong together; definitions.md, 3. A collision if it takes several stems, a
 * lone peak if one does it.
 *
 * @param rank place in the list of all moments, from 1
 * @param peakFrame {@code n*}: first frame at which the level is largest
 * @param channel {@code c*}: 0 left, 1 right; left on a tie
 * @param peak {@code p[n*]}, linear
 * @param averagePeak {@code A} at {@code n*}, linear
 * @param line {@code T} at {@code n*}, linear
 * @param firstOver first over frame
 * @param lastOver last over frame, inclusive
 * @param overFrames number of over frames
 * @param longestRun longest run of consecutive over frames
 * @param depth how many stems it takes; the first so many contributions make it up
 * @param isLong whether the span is over 100 ms: level, not a spike
 * @param contributions one a stem, in falling order, stem order on a tie
 * @param alikeTo rank of the head that it is alike to; its own if it is a head
 * @param alike how many moments that head stands for, itself included
 * @param instant {@code e*} in frames, −0.375 to 0.375: where the peak lies about its frame; 0
 *     where levels are read from samples
 */
public record Moment(
    int rank,
    long peakFrame,
    int channel,
    double peak,
    double averagePeak,
    double line,
    long firstOver,
    long lastOver,
    long overFrames,
    long longestRun,
    int depth,
    boolean isLong,
    List<Contribution> contributions,
    int alikeTo,
    int alike,
    double instant) {

  public Moment {
    contributions = Contributions.of(contributions);
  }

  /** A moment of samples. */
  public Moment(
      int rank,
      long peakFrame,
      int channel,
      double peak,
      double averagePeak,
      double line,
      long firstOver,
      long lastOver,
      long overFrames,
      long longestRun,
      int depth,
      boolean isLong,
      List<Contribution> contributions,
      int alikeTo,
      int alike) {
    this(
        rank,
        peakFrame,
        channel,
        peak,
        averagePeak,
        line,
        firstOver,
        lastOver,
        overFrames,
        longestRun,
        depth,
        isLong,
        contributions,
        alikeTo,
        alike,
        0);
  }

  /** A moment of samples that stands for itself alone. */
  public Moment(
      int rank,
      long peakFrame,
      int channel,
      double peak,
      double averagePeak,
      double line,
      long firstOver,
      long lastOver,
      long overFrames,
      long longestRun,
      int depth,
      boolean isLong,
      List<Contribution> contributions) {
    this(
        rank,
        peakFrame,
        channel,
        peak,
        averagePeak,
        line,
        firstOver,
        lastOver,
        overFrames,
        longestRun,
        depth,
        isLong,
        contributions,
        rank,
        1);
  }

  /** The same moment with its place in the list. */
  Moment withRank(int newRank) {
    return new Moment(
        newRank,
        peakFrame,
        channel,
        peak,
        averagePeak,
        line,
        firstOver,
        lastOver,
        overFrames,
        longestRun,
        depth,
        isLong,
        contributions,
        newRank,
        1,
        instant);
  }

  /** The same moment as one of the moments that a head stands for. */
  Moment withAlike(int newAlikeTo, int newAlike) {
    return new Moment(
        rank,
        peakFrame,
        channel,
        peak,
        averagePeak,
        line,
        firstOver,
        lastOver,
        overFrames,
        longestRun,
        depth,
        isLong,
        contributions,
        newAlikeTo,
        newAlike,
        instant);
  }

  /** Whether it is the highest of the moments that it is alike to, or alone. */
  public boolean isHead() {
    return alikeTo == rank;
  }

  /** How far the peak stands above the average peak, in dB. */
  public double excessDb() {
    return Decibels.ofAmplitude(peak) - Decibels.ofAmplitude(averagePeak);
  }

  /** Time of the peak in seconds from the common start: {@code (n* + e*)/fs}. */
  public double seconds(int sampleRateHz) {
    return (peakFrame + instant) / sampleRateHz;
  }

  /** Whether one stem does it. */
  public boolean isLone() {
    return depth == 1;
  }

  /** The contributions that make up the depth. */
  public List<Contribution> makingUp() {
    return contributions.subList(0, depth);
  }

  /** The contributions of a tenth of the peak or more, in falling order. */
  public List<Contribution> leading() {
    return contributions.stream().filter(Contribution::leads).toList();
  }
}
