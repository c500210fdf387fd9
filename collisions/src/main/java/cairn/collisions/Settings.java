package cairn.collisions;

import cairn.collisions.line.Baseline;
import cairn.collisions.line.Line;
import cairn.collisions.loudness.Goal;
import cairn.collisions.loudness.Metering;
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
 * @param line the line; where {@code goalDrawsLine}, that of the goal takes its place
 * @param metering what is metered along; a goal needs the bus
 * @param goal what the master is to come to
 * @param goalDrawsLine whether the goal line is the line; definitions.md, 6
 * @param mode what levels are read from
 */
public record Settings(
    Optional<TimeRange> range,
    Optional<TempoMap> beatWindows,
    Baseline baseline,
    Optional<TimeRange> section,
    Line line,
    Metering metering,
    Optional<Goal> goal,
    boolean goalDrawsLine,
    PeakMode mode) {

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
    Objects.requireNonNull(metering, "metering");
    Objects.requireNonNull(mode, "mode");
    if (goal.isPresent()) {
      metering = metering.and(Metering.BUS);
    }
    if (goalDrawsLine && goal.isEmpty()) {
      throw new IllegalArgumentException("there must be a goal to draw the line");
    }
  }

  /** Of sample peaks, without metering and without a goal. */
  public Settings(
      Optional<TimeRange> range,
      Optional<TempoMap> beatWindows,
      Baseline baseline,
      Optional<TimeRange> section,
      Line line) {
    this(
        range,
        beatWindows,
        baseline,
        section,
        line,
        Metering.NONE,
        Optional.empty(),
        false,
        PeakMode.SAMPLE_PEAK);
  }

  /** The same with another line, which takes the place of the goal's. */
  public Settings withLine(Line newLine) {
    return new Settings(
        range, beatWindows, baseline, section, newLine, metering, goal, false, mode);
  }

  /** The same with another baseline. */
  public Settings withBaseline(Baseline newBaseline) {
    return new Settings(
        range, beatWindows, newBaseline, section, line, metering, goal, goalDrawsLine, mode);
  }

  /** The same for another stretch of the song. */
  public Settings withRange(TimeRange newRange) {
    return new Settings(
        Optional.of(newRange),
        beatWindows,
        baseline,
        section,
        line,
        metering,
        goal,
        goalDrawsLine,
        mode);
  }

  /** The same with a named section as loud part. */
  public Settings withSection(TimeRange newSection) {
    return new Settings(
        range,
        beatWindows,
        baseline,
        Optional.of(newSection),
        line,
        metering,
        goal,
        goalDrawsLine,
        mode);
  }

  /**
   * The same part of the song in stems that are later by so many frames; below 0: earlier. What
   * falls before the start is left out.
   */
  public Settings shifted(long frames) {
    Settings moved = this;
    if (range.isPresent()) {
      moved = moved.withRange(shifted(range.get(), frames));
    }
    return section.isPresent() ? moved.withSection(shifted(section.get(), frames)) : moved;
  }

  private static TimeRange shifted(TimeRange range, long frames) {
    long from = Math.max(0, range.firstFrame() + frames);
    return new TimeRange(from, Math.max(from + 1, range.endFrame() + frames));
  }

  /** The same with windows of one beat. */
  public Settings withBeatWindows(TempoMap tempo) {
    return new Settings(
        range, Optional.of(tempo), baseline, section, line, metering, goal, goalDrawsLine, mode);
  }

  /** The same with something metered along, and with what was metered before. */
  public Settings withMetering(Metering more) {
    return new Settings(
        range, beatWindows, baseline, section, line, metering.and(more), goal, goalDrawsLine, mode);
  }

  /** The same with a goal, whose line is the line or not. */
  public Settings withGoal(Goal newGoal, boolean drawsLine) {
    return new Settings(
        range,
        beatWindows,
        baseline,
        section,
        line,
        metering,
        Optional.of(newGoal),
        drawsLine,
        mode);
  }

  /** The same without a goal; a line that was the goal's is the one that stood before it. */
  public Settings withoutGoal() {
    return new Settings(
        range, beatWindows, baseline, section, line, metering, Optional.empty(), false, mode);
  }

  /** The same with levels read from something else. */
  public Settings withMode(PeakMode newMode) {
    return new Settings(
        range, beatWindows, baseline, section, line, metering, goal, goalDrawsLine, newMode);
  }
}
