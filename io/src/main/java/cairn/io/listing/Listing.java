package cairn.io.listing;

import cairn.collisions.Pass;
import cairn.collisions.moment.Contribution;
import cairn.collisions.moment.Moment;
import cairn.collisions.plan.MomentFixes;
import cairn.collisions.spectrum.LeadingBands;
import cairn.collisions.time.TempoMap;
import cairn.io.stems.StemSet;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;

/**
 * What is to be listed: a pass, and which of its moments to show. Ranks count hidden ones too.
 *
 * @param stems the stems of the pass
 * @param pass the pass
 * @param moments the moments to show, by rank
 * @param tempo for musical positions; empty: none are shown
 * @param leftAlone indices of the stems that no fix may touch
 * @param fixes what can be done about each of the moments, in their order; empty: not asked for
 * @param bands where the leading stems of each of the moments sit, in their order; empty: not asked
 *     for
 * @param since what became of an earlier pass; empty: there is none
 * @param top how many moments are shown at most
 */
public record Listing(
    StemSet stems,
    Pass pass,
    List<Moment> moments,
    Optional<TempoMap> tempo,
    Set<Integer> leftAlone,
    Optional<List<MomentFixes>> fixes,
    Optional<LeadingBands> bands,
    Optional<Since> since,
    long top) {

  /** Which kinds of moment to show. */
  public enum Kinds {
    ALL,
    COLLISIONS,
    LONE
  }

  public Listing {
    Objects.requireNonNull(stems, "stems");
    Objects.requireNonNull(pass, "pass");
    Objects.requireNonNull(tempo, "tempo");
    Objects.requireNonNull(bands, "bands");
    Objects.requireNonNull(since, "since");
    moments = List.copyOf(moments);
    leftAlone = Set.copyOf(leftAlone);
    fixes = fixes.map(List::copyOf);
  }

  /**
   * Chooses moments.
   *
   * @param ledBy indices of stems of which at least one must lead the moment; empty: any
   * @param top how many at most, by rank
   * @param leftAlone indices of the stems that no fix may touch
   */
  public static Listing of(
      StemSet stems,
      Pass pass,
      Kinds kinds,
      List<Integer> ledBy,
      long top,
      Optional<TempoMap> tempo,
      Set<Integer> leftAlone) {
    List<Moment> chosen =
        pass.moments().stream()
            .filter(m -> kinds == Kinds.ALL || m.isLone() == (kinds == Kinds.LONE))
            .filter(
                m ->
                    ledBy.isEmpty()
                        || m.leading().stream().map(Contribution::stem).anyMatch(ledBy::contains))
            .limit(top)
            .toList();
    return new Listing(
        stems,
        pass,
        chosen,
        tempo,
        leftAlone,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        top);
  }

  /** The same with what can be done about each of its moments. */
  public Listing withFixes(List<MomentFixes> newFixes) {
    return new Listing(
        stems, pass, moments, tempo, leftAlone, Optional.of(newFixes), bands, since, top);
  }

  /** The same with where the leading stems of each of its moments sit. */
  public Listing withBands(LeadingBands newBands) {
    return new Listing(
        stems, pass, moments, tempo, leftAlone, fixes, Optional.of(newBands), since, top);
  }

  /** The same beside an earlier pass. */
  public Listing withSince(Since newSince) {
    return new Listing(
        stems, pass, moments, tempo, leftAlone, fixes, bands, Optional.of(newSince), top);
  }

  /** What can be done about one of the moments; only where it was asked for. */
  MomentFixes fixesOf(Moment moment) {
    return fixes.orElseThrow().get(placeOf(moment));
  }

  /** By rank the moments stand in order, so the place is found without comparing whole moments. */
  int placeOf(Moment moment) {
    return Collections.binarySearch(moments, moment, Comparator.comparingInt(Moment::rank));
  }

  /** The name of stem {@code k}. */
  String name(int k) {
    return stems.stems().get(k).name();
  }

  /** {@code collision} or {@code lone}. */
  static String kind(Moment moment) {
    return moment.isLone() ? "lone" : "collision";
  }

  /** How far a stem near a moment stands above its own average peak in dB; NaN if it is silent. */
  double aboveOwnAverageDb(Contribution contribution) {
    return pass.stems().get(contribution.stem()).aboveOwnAverageDb(contribution.levelNear());
  }
}
