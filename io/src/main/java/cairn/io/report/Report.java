package cairn.io.report;

import cairn.collisions.Pass;
import cairn.collisions.time.TempoMap;
import cairn.io.listing.CompareReport;
import cairn.io.stems.StemSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * All that a report tells.
 *
 * @param title what the song is called, safe to show
 * @param stems its stems
 * @param pass the pass, metered with its stems where the sample rate allows
 * @param tempo for musical positions; empty: none are shown
 * @param sections named parts of the song
 * @param marked the fixes; empty: there are none, or a second pass stands in their place
 * @param second what this pass is held against
 * @param spectrum the sum beside a reference
 * @param closeUps the highest moments from near
 */
public record Report(
    String title,
    StemSet stems,
    Pass pass,
    Optional<TempoMap> tempo,
    List<Section> sections,
    Optional<Marked> marked,
    Optional<SecondPass> second,
    Optional<CompareReport> spectrum,
    List<CloseUp> closeUps) {
  public Report {
    Objects.requireNonNull(title, "title");
    Objects.requireNonNull(stems, "stems");
    Objects.requireNonNull(pass, "pass");
    Objects.requireNonNull(tempo, "tempo");
    Objects.requireNonNull(marked, "marked");
    Objects.requireNonNull(second, "second");
    Objects.requireNonNull(spectrum, "spectrum");
    sections = List.copyOf(sections);
    closeUps = List.copyOf(closeUps);
  }

  /** Whether bars and beats are a guess. */
  boolean isTempoEstimated() {
    return tempo.filter(TempoMap::isEstimate).isPresent();
  }

  /** The name of stem {@code k}. */
  String name(int k) {
    return stems.stems().get(k).name();
  }
}
