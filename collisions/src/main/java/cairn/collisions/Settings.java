package cairn.collisions;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.time.TempoMap;
import java.util.Objects;
import java.util.Optional;

/**
 * What is asked of an analysis.
 *
 * @param range the stretch of the song to look at; empty: all of it
 * @param beatWindows windows of one beat of this tempo; empty: of 500 ms
 * @param baseline which windows the average peak is the mean of
 * @param section the section that stands for the loud part; empty: found
 * @param line the line
 */
public record Settings(
    Optional<TimeRange> range,
    Optional<TempoMap> beatWindows,
    Baseline baseline,
    Optional<TimeRange> section,
    Line line) {

  /** The whole song, the loud part found, the line 1 dB above its average peak. */
  public static final Settings DEFAULT =
      new Settings(
          Optional.empty(), Optional.empty(), Baseline.LOUD, Optional.empty(), Line.DEFAULT);

  public Settings {
    Objects.requireNonNull(range, "range");
    Objects.requireNonNull(beatWindows, "beatWindows");
    Objects.requireNonNull(baseline, "baseline");
    Objects.requireNonNull(section, "section");
    Objects.requireNonNull(line, "line");
  }

  /** The same with another line. */
  public Settings withLine(Line newLine) {
    return new Settings(range, beatWindows, baseline, section, newLine);
  }

  /** The same with another baseline. */
  public Settings withBaseline(Baseline newBaseline) {
    return new Settings(range, beatWindows, newBaseline, section, line);
  }

  /** The same for another stretch of the song. */
  public Settings withRange(TimeRange newRange) {
    return new Settings(Optional.of(newRange), beatWindows, baseline, section, line);
  }

  /** The same with a named section as loud part. */
  public Settings withSection(TimeRange newSection) {
    return new Settings(range, beatWindows, baseline, Optional.of(newSection), line);
  }

  /** The same with windows of one beat. */
  public Settings withBeatWindows(TempoMap tempo) {
    return new Settings(range, Optional.of(tempo), baseline, section, line);
  }
}
