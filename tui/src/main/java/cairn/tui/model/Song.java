package cairn.tui.model;

import cairn.collisions.Pass;
import cairn.collisions.time.TempoMap;
import java.util.List;
import java.util.Optional;

/**
 * The stems and what their analysis found; it stays as it is while marks come and go.
 *
 * @param title name of the folder, safe to show
 * @param passNumber 1 for the first pass over these stems
 * @param pass the analysis: session, settings, line, moments by rank, grouped by likeness
 * @param stems names of the stems, safe to show, in session order
 * @param files the files of each stem, for messages, safe to show, in session order
 * @param groups first-level folder of each stem, safe to show; empty: none
 * @param sections sections that have a name, in time order
 * @param tempo for bars and beats
 * @param earlier the pass before; empty: there is none, or it cannot be compared with
 */
public record Song(
    String title,
    int passNumber,
    Pass pass,
    List<String> stems,
    List<String> files,
    List<String> groups,
    List<Section> sections,
    Optional<TempoMap> tempo,
    Optional<Earlier> earlier) {

  /** A song that is not compared with an earlier pass. */
  public Song(
      String title,
      int passNumber,
      Pass pass,
      List<String> stems,
      List<String> files,
      List<String> groups,
      List<Section> sections,
      Optional<TempoMap> tempo) {
    this(title, passNumber, pass, stems, files, groups, sections, tempo, Optional.empty());
  }

  /**
   * A stretch of the song with a name.
   *
   * @param name safe to show
   * @param firstFrame its first frame
   * @param endFrame frame after its last one
   */
  public record Section(String name, long firstFrame, long endFrame) {}

  public Song {
    stems = List.copyOf(stems);
    files = List.copyOf(files);
    groups = List.copyOf(groups);
    sections = List.copyOf(sections);
  }

  /** Frames a second. */
  public int sampleRateHz() {
    return pass.session().sampleRateHz();
  }
}
